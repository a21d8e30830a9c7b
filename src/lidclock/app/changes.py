"""Whether anything was recorded since, by whichever process."""

from __future__ import annotations

from lidclock.store import Database, Ledger


def latest_position(database: Database) -> int:
    """A number that grows with every event recorded in this database."""
    with database.read() as connection:
        return Ledger(connection, "").position()
