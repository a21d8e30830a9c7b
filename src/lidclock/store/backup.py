"""Copies of the database, taken while it is in use, and their way back."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from lidclock.errors import RefusedError, StoreError
from lidclock.store.database import address_of
from lidclock.store.faults import explained, is_fault
from lidclock.store.identity import no_kitchen_yet, revision_of

_UNFINISHED = ".unfinished"
_SIDE_FILES = ("-wal", "-shm", "-journal")


def backup(source_path: str | Path, target_path: str | Path) -> None:
    """Copy the database as it stands at one instant, and check the copy.

    Nobody has to stop working meanwhile. An existing file is never overwritten.
    """
    source, target = Path(source_path), Path(target_path)
    with explained(str(source)), _ours(source) as original, _new_file(target):
        _copy(original, target)


def restore(
    backup_path: str | Path, target_path: str | Path, *, replace: bool = False
) -> None:
    """Put a checked backup in the place of the database, whole or not at all.

    An existing database stays unless `replace`, and while somebody has it open. On a
    fresh machine the folder of the database is made.
    """
    source, target = Path(backup_path), Path(target_path)
    if _is_same(source, target):
        raise RefusedError(f"{source} is the database itself: name a backup")
    with explained(str(source)), _ours(source) as original:
        _check_sound(original, source)
        _make_folder(target.parent)
        if not replace:
            with _new_file(target):
                _copy(original, target)
            return
        if target.exists():
            _retire(target)
        _copy(original, target)


@contextmanager
def _ours(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection to one of our databases; StoreError if it is anything else."""
    if path.is_dir():
        raise StoreError(f"{path} is a folder: name a file in it")
    if not path.exists():
        raise StoreError(f"there is no file {path}: check its name")
    address = address_of(str(path), create=False)
    with closing(sqlite3.connect(address, uri=True)) as connection:
        if revision_of(connection, str(path)) is None:
            raise no_kitchen_yet(str(path))
        yield connection


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"cannot make {folder}: {error.strerror}") from error


@contextmanager
def _new_file(path: Path) -> Iterator[None]:
    """Claim a file name that nobody has; give it up again if the work fails."""
    try:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o666))
    except FileExistsError as error:
        raise RefusedError(f"{path} exists already: name a new file") from error
    except OSError as error:
        raise StoreError(f"{path} cannot be made ({error.strerror})") from error
    try:
        yield
    except BaseException:
        path.unlink(missing_ok=True)
        raise


def _copy(original: sqlite3.Connection, target: Path) -> None:
    """Copy beside the target, check, flush to disk, and only then rename."""
    unfinished = target.with_name(target.name + _UNFINISHED)
    unfinished.unlink(missing_ok=True)
    try:
        with explained(str(target)), closing(sqlite3.connect(unfinished)) as copy:
            original.backup(copy)
            # One file, complete in itself; opening it turns the log on again.
            copy.execute("PRAGMA journal_mode = DELETE")
            _check_sound(copy, target)
        _flush(unfinished)
        os.replace(unfinished, target)
        _flush(target.absolute().parent)
    except OSError as error:
        raise StoreError(f"{target} cannot be written ({error.strerror})") from error
    finally:
        unfinished.unlink(missing_ok=True)


def _check_sound(connection: sqlite3.Connection, path: Path) -> None:
    found = connection.execute("PRAGMA quick_check(1)").fetchone()[0]
    if found != "ok":
        raise StoreError(f"{path} is damaged ({found}): use another backup")


def _retire(target: Path) -> None:
    """Empty the write-ahead log of the database that is about to be replaced.

    A log left behind would be replayed into the new file. Emptying it fails while
    anybody else has the database open; a database too damaged to open loses its log.
    """
    address = address_of(str(target), create=False)
    try:
        with closing(sqlite3.connect(address, uri=True)) as old:
            old.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.DatabaseError as error:
        if is_fault(error, sqlite3.SQLITE_BUSY):
            raise RefusedError(
                f"{target} is in use: stop every lidclock first, then restore"
            ) from error
    for ending in _SIDE_FILES:
        target.with_name(target.name + ending).unlink(missing_ok=True)


def _flush(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _is_same(one: Path, other: Path) -> bool:
    return one.exists() and other.exists() and one.samefile(other)
