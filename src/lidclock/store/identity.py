"""Whether a SQLite file is one of ours, and which revision of the schema it has."""

from __future__ import annotations

import sqlite3

from lidclock.errors import StoreError
from lidclock.store import migrations

_OURS = {"alembic_version", "kitchen", "event"}


def revision_of(connection: sqlite3.Connection, where: str) -> str | None:
    """The revision that the database has; None if it is still empty.

    Raises StoreError if another program's tables are in it, or a newer lidclock's.
    """
    query = "SELECT name FROM sqlite_master WHERE type = 'table'"
    tables = {name for (name,) in connection.execute(query)}
    if not tables:
        return None
    if not tables >= _OURS:
        raise StoreError(
            f"{where} belongs to another program: name another file for the kitchen"
        )
    rows = connection.execute("SELECT version_num FROM alembic_version").fetchall()
    revision: str = rows[0][0] if len(rows) == 1 else ""
    if revision not in migrations.REVISIONS:
        raise StoreError(
            f"{where} was written by a newer lidclock "
            f"(schema {revision or 'unknown'}): update lidclock"
        )
    return revision


def no_kitchen_yet(where: str) -> StoreError:
    """The refusal for a file that is missing or empty."""
    return StoreError(f"no kitchen yet: run `lidclock init` (looked for {where})")
