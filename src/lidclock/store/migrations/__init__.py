"""Schema history: one short step per file, forward only.

A new database has no history: it gets the tables as they are described, at once.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import sqlalchemy as sa

FOLDER = Path(__file__).parent
# Kept here as well as in the files, so that opening a database needs no Alembic. The
# last one is also `REVISION` in store/tables.py, by which a new database is made.
REVISIONS = (
    *("0001", "0002", "0003", "0004", "0005", "0006", "0007", "0008", "0009"),
    *("0010", "0011", "0012", "0013", "0014", "0015", "0016", "0017"),
)


def upgrade(connection: sa.Connection) -> None:
    """Bring the schema up to the newest revision, within the caller's transaction."""
    from alembic import command
    from alembic.config import Config

    config = Config()
    # Alembic reads options through a parser to which a percent sign is special.
    config.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, REVISIONS[-1])


def lay(connection: sa.Connection) -> None:
    """Make all of an empty database, as the steps one after another would."""
    from lidclock.store import tables

    if REVISIONS[-1] != tables.REVISION:  # the tables are described by another lidclock
        upgrade(connection)
        return
    tables.version.create(connection, checkfirst=False)
    tables.metadata.create_all(connection, checkfirst=False)
    connection.execute(tables.version.insert().values(version_num=tables.REVISION))
