"""The migrated schema is the one that the tables describe, and it is strict."""

import shutil
import sqlite3
from itertools import pairwise

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from lidclock.store import Database, Kitchens, migrations
from lidclock.store.tables import REVISION, metadata

REVISIONS = migrations.REVISIONS
NEXT_STEP = f'''"""Let a place carry a note."""

import sqlalchemy as sa
from alembic import op

revision = "9999"
down_revision = "{REVISIONS[-1]}"


def upgrade() -> None:
    op.add_column("place", sa.Column("note", sa.Text()))
'''


def schema_of(connection):
    """Every statement that made a table or an index, spaces evened out."""
    rows = connection.exec_driver_sql(
        "SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL"
    )
    return {name: " ".join(sql.replace('"', "").split()) for name, sql in rows}


def steps():
    config = Config()
    config.set_main_option("script_location", str(migrations.FOLDER))
    return [
        step.revision for step in ScriptDirectory.from_config(config).walk_revisions()
    ]


@pytest.fixture
def migrated():
    """A connection to an empty database that went through every step."""
    engine = sa.create_engine("sqlite://")
    with engine.connect() as connection:
        migrations.upgrade(connection)
        yield connection
    engine.dispose()


def test_migrating_leaves_no_difference_to_the_tables(migrated):
    context = MigrationContext.configure(migrated)

    assert compare_metadata(context, metadata) == []


def test_a_new_database_is_the_migrated_one(migrated, database):
    """Statement for statement, and row for row: a new one takes no steps."""
    with database.read() as connection:
        assert schema_of(connection) == schema_of(migrated)
        for one in (connection, migrated):
            written = one.exec_driver_sql("SELECT * FROM alembic_version").fetchall()
            assert written == [(REVISIONS[-1],)]
    assert {
        name: migrated.exec_driver_sql(f"SELECT count(*) FROM {name}").scalar()
        for name in metadata.tables
    } == dict.fromkeys(metadata.tables, 0)


def test_the_tables_are_described_as_the_last_step_leaves_them():
    """Else a new database goes through all the steps: right, but slow."""
    assert REVISIONS[-1] == REVISION


def test_tables_of_another_revision_are_made_by_the_steps(migrated, path, monkeypatch):
    monkeypatch.setattr("lidclock.store.tables.REVISION", "0001")
    with Database.open(path, create=True) as made, made.read() as connection:
        assert schema_of(connection) == schema_of(migrated)


def test_the_listed_revisions_are_those_in_the_files():
    assert list(migrations.REVISIONS) == steps()[::-1]


def test_revisions_are_listed_in_order():
    assert all(
        earlier < later for earlier, later in pairwise([*migrations.REVISIONS, "a"])
    )


@pytest.mark.parametrize("table", sorted(metadata.tables))
def test_every_table_is_strict(database, table):
    with database.read() as connection:
        row = connection.exec_driver_sql(
            "SELECT strict FROM pragma_table_list WHERE name = ?", (table,)
        )

        assert row.scalar() == 1


def test_text_in_a_number_column_is_refused(database):
    with (
        pytest.raises(
            sa.exc.IntegrityError, match="cannot store TEXT value in INTEGER"
        ),
        database.begin() as connection,
    ):
        connection.exec_driver_sql("UPDATE kitchen SET lead_h = 'two days'")


@pytest.fixture
def newer(monkeypatch, tmp_path):
    """Make this lidclock one revision newer than it is."""

    def advance():
        folder = tmp_path / "next"
        shutil.copytree(migrations.FOLDER, folder)
        (folder / "versions" / "9999_note.py").write_text(NEXT_STEP)
        monkeypatch.setattr(migrations, "FOLDER", folder)
        monkeypatch.setattr(migrations, "REVISIONS", (*REVISIONS, "9999"))

    return advance


def test_an_older_database_is_upgraded_on_opening(database, path, newer):
    database.close()
    newer()
    with Database.open(path) as upgraded, upgraded.read() as connection:
        note = connection.exec_driver_sql("SELECT name, note FROM place").fetchall()

        assert [tuple(row) for row in note] == [("Fridge", None)]
        assert Kitchens(connection).get("home").name == "Home"


def test_a_failing_upgrade_leaves_the_older_database(database, path, newer):
    database.close()
    newer()
    step = migrations.FOLDER / "versions" / "9999_note.py"
    step.write_text(NEXT_STEP + '    raise RuntimeError("power cut")\n')
    with pytest.raises(RuntimeError, match="power cut"):
        Database.open(path)

    raw = sqlite3.connect(path)
    columns = [row[1] for row in raw.execute("PRAGMA table_info(place)")]
    revision = raw.execute("SELECT version_num FROM alembic_version").fetchall()
    raw.close()

    assert "note" not in columns
    assert revision == [(REVISIONS[-1],)]


def test_a_database_of_the_first_release_is_upgraded(path, monkeypatch):
    """Every revision that was ever shipped still opens, with what is in it."""
    with monkeypatch.context() as old:
        old.setattr(migrations, "REVISIONS", REVISIONS[:1])
        Database.open(path, create=True).close()
    with Database.open(path) as upgraded, upgraded.read() as connection:
        found = connection.exec_driver_sql("SELECT version_num FROM alembic_version")

        assert found.scalar() == REVISIONS[-1]
