"""What SQLite complains about, in one line that says what to do."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import sqlalchemy as sa

from lidclock.errors import StoreError

# Primary result codes: SQLite documentation, "Result and Error Codes" (rescode.html).
_ADVICE = {
    sqlite3.SQLITE_PERM: "{where} may not be used: ask for access to the file",
    sqlite3.SQLITE_BUSY: "{where} is locked by another program: try again shortly",
    sqlite3.SQLITE_LOCKED: "{where} is locked by another program: try again shortly",
    sqlite3.SQLITE_READONLY: (
        "{where} is read-only: make the file and its folder writable"
    ),
    sqlite3.SQLITE_IOERR: (
        "the disk under {where} failed ({detail}): check the disk before going on"
    ),
    sqlite3.SQLITE_CORRUPT: (
        "{where} is damaged ({detail}): keep it, and restore the latest backup"
    ),
    sqlite3.SQLITE_FULL: (
        "the disk is full: no room left for {where}; free some space and repeat, "
        "nothing was recorded"
    ),
    sqlite3.SQLITE_CANTOPEN: (
        "{where} cannot be opened: check that its folder exists and is writable"
    ),
    sqlite3.SQLITE_NOTADB: "{where} is not a lidclock database: name another file",
}
_HARDLY_ANY = 65_536  # bytes: less than the write-ahead log needs for one act
_PRIMARY = 0xFF  # the low byte of an extended result code


def is_fault(error: BaseException, code: int) -> bool:
    """Whether SQLite reported `code`, however SQLAlchemy wrapped it."""
    return _code_of(error) == code


@contextmanager
def explained(where: str) -> Iterator[None]:
    """Turn what a person can act on into a StoreError; let bugs through as they are."""
    try:
        yield
    except (sqlite3.Error, sa.exc.DBAPIError) as error:
        code = _code_of(error)
        if code == sqlite3.SQLITE_IOERR and _is_full(where):
            code = sqlite3.SQLITE_FULL
        advice = _ADVICE.get(code)
        if advice is None:
            raise
        detail = error.orig if isinstance(error, sa.exc.DBAPIError) else error
        raise StoreError(advice.format(where=where, detail=detail)) from error


def _is_full(where: str) -> bool:
    """Whether no room is left: SQLite then often reports a bare I/O error."""
    try:
        return shutil.disk_usage(Path(where).absolute().parent).free < _HARDLY_ANY
    except OSError:
        return False


def _code_of(error: BaseException) -> int:
    cause = error.orig if isinstance(error, sa.exc.DBAPIError) else error
    return int(getattr(cause, "sqlite_errorcode", 0)) & _PRIMARY
