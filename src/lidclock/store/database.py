"""One SQLite file: opening it, checking whose it is, and its transactions."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Self

import sqlalchemy as sa

from lidclock.errors import StoreError
from lidclock.store import migrations
from lidclock.store.faults import explained
from lidclock.store.identity import no_kitchen_yet, revision_of

BUSY_MS = 5000
_URL = "sqlite:///"
_MOST_STATEMENTS = 256  # kept prepared on each connection


class Database:
    """An open database; `begin` to write, `read` to look, `close` when done."""

    def __init__(self, engine: sa.Engine, where: str) -> None:
        self.engine = engine
        self.where = where
        self._writer = engine.execution_options(begin="BEGIN IMMEDIATE")

    @classmethod
    def open(
        cls, path_or_url: str | Path, *, create: bool = False, busy_ms: int = BUSY_MS
    ) -> Self:
        """Open a file by path, `sqlite:///PATH` or `file:` address; upgrade if old.

        `create` makes the tables in a missing or empty file, and leaves others alone.
        """
        where = place_of(path_or_url)
        _check_place(where, create=create)
        database = cls(_engine(address_of(where, create=create), busy_ms), where)
        try:
            with explained(where):
                database._prepare(create=create)
        except BaseException:
            database.close()
            raise
        return database

    def _prepare(self, *, create: bool) -> None:
        with self.engine.connect() as connection:
            raw = driver_of(connection)
            revision = revision_of(raw, self.where)
            if revision is None and not create:
                raise no_kitchen_yet(self.where)
            # Only now is it known that no other program's file is being changed.
            raw.execute("PRAGMA journal_mode = WAL")
        if revision != migrations.REVISIONS[-1]:
            self._upgrade()

    def _upgrade(self) -> None:
        with self._writer.begin() as connection:
            # Another process may have done it while this one waited for the lock.
            revision = revision_of(driver_of(connection), self.where)
            if revision is None:
                migrations.lay(connection)
            elif revision != migrations.REVISIONS[-1]:
                migrations.upgrade(connection)

    @contextmanager
    def begin(self) -> Iterator[sa.Connection]:
        """A write transaction, locked from its start; an exception undoes all of it."""
        with explained(self.where), self._writer.begin() as connection:
            yield connection

    @contextmanager
    def read(self) -> Iterator[sa.Connection]:
        """A read transaction: one consistent view that neither waits nor blocks."""
        with explained(self.where), self.engine.begin() as connection:
            yield connection

    def close(self) -> None:
        """Close every connection; the last one out tidies the write-ahead log."""
        self.engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()


def place_of(path_or_url: str | Path) -> str:
    """The path or `file:` address meant; StoreError for a database of another make."""
    text = str(path_or_url)
    if text.startswith(_URL):
        return text.removeprefix(_URL)
    if "://" in text and not text.startswith("file:"):
        kind = text.partition("://")[0]
        raise StoreError(f"{kind} is no database that lidclock opens: name a file")
    return text


def address_of(where: str, *, create: bool) -> str:
    """The `file:` address under which SQLite opens `where`, never making it unasked."""
    if where.startswith("file:"):
        return where
    return f"{Path(where).absolute().as_uri()}?mode={'rwc' if create else 'rw'}"


def driver_of(connection: sa.Connection) -> sqlite3.Connection:
    """The sqlite3 connection underneath."""
    raw = connection.connection.driver_connection
    if not isinstance(raw, sqlite3.Connection):
        raise TypeError(f"expected a sqlite3 connection, got {raw!r}")
    return raw


def _check_place(where: str, *, create: bool) -> None:
    if where.startswith("file:"):
        return
    path = Path(where)
    if path.is_dir():
        raise StoreError(f"{where} is a folder: name a file in it")
    if create and not path.absolute().parent.is_dir():
        raise StoreError(f"{path.parent} is no folder: make it first")
    if not create and not path.exists():
        raise no_kitchen_yet(where)


def _engine(address: str, busy_ms: int) -> sa.Engine:
    def connect() -> sqlite3.Connection:
        raw = sqlite3.connect(
            address,
            uri=True,
            timeout=busy_ms / 1000,
            # The driver must open no transaction of its own: `_begin` does.
            isolation_level=None,
            check_same_thread=False,
            cached_statements=_MOST_STATEMENTS,
        )
        raw.execute("PRAGMA synchronous = FULL")
        raw.execute("PRAGMA foreign_keys = ON")
        return raw

    engine = sa.create_engine(
        "sqlite://",
        creator=connect,
        poolclass=sa.QueuePool,
        # Who writes may look elsewhere meanwhile: with a bound, those who wait for the
        # lock would hold what the one who has it waits for.
        max_overflow=-1,
        paramstyle="named",
    )
    sa.event.listen(engine, "begin", _begin)
    return engine


def _begin(connection: sa.Connection) -> None:
    connection.exec_driver_sql(connection.get_execution_options().get("begin", "BEGIN"))
