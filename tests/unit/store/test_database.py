"""Opening a database, and every way in which it can refuse to be used."""

import os
import resource
import sqlite3
import subprocess
import sys
from contextlib import ExitStack
from pathlib import Path

import pytest

from lidclock.errors import StoreError
from lidclock.store import Database, Kitchens, Ledger


def count_of(path):
    connection = sqlite3.connect(path)
    try:
        return connection.execute("SELECT count(*) FROM event").fetchone()[0]
    finally:
        connection.close()


def test_a_missing_file_says_what_to_run(path):
    with pytest.raises(StoreError, match="no kitchen yet: run `lidclock init`"):
        Database.open(path)


def test_a_missing_file_is_not_made_by_looking(path):
    with pytest.raises(StoreError):
        Database.open(path)

    assert not path.exists()


def test_an_empty_file_says_what_to_run(path):
    path.touch()

    with pytest.raises(StoreError, match="no kitchen yet: run `lidclock init`"):
        Database.open(path)


def test_a_created_database_opens_again(database, path, event):
    with database.begin() as connection:
        Ledger(connection, "home").append(event(1))

    with Database.open(path) as again, again.read() as connection:
        assert list(Ledger(connection, "home").all()) == [event(1)]


@pytest.mark.usefixtures("database")
def test_creating_leaves_what_is_there(path):
    with Database.open(path, create=True) as again, again.read() as connection:
        assert Kitchens(connection).get("home").name == "Home"


@pytest.mark.parametrize("form", ["sqlite:///{}", "file:{}", "{}"])
@pytest.mark.usefixtures("database")
def test_a_database_opens_by_address_too(path, form):
    with Database.open(form.format(path)) as again, again.read() as connection:
        assert Kitchens(connection).get().id == "home"


def test_odd_signs_in_a_path_are_part_of_the_name(tmp_path):
    odd = tmp_path / "a?mode=memory#100% été.db"
    with Database.open(odd, create=True):
        pass

    assert odd.exists()


def test_another_kind_of_database_is_refused():
    with pytest.raises(StoreError, match="postgresql is no database that lidclock"):
        Database.open("postgresql://localhost/kitchen")


def test_durable_writes_are_asked_for(database):
    names = ("journal_mode", "synchronous", "foreign_keys")
    with database.read() as connection:
        found = [
            connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in names
        ]

    assert found == ["wal", 2, 1]  # 2 is FULL: SQLite documentation, pragma.html


def test_a_folder_is_refused(tmp_path):
    with pytest.raises(StoreError, match="is a folder: name a file in it"):
        Database.open(tmp_path, create=True)


def test_a_folder_that_is_missing_is_named(tmp_path):
    with pytest.raises(StoreError, match=r"nowhere is no folder: make it first"):
        Database.open(tmp_path / "nowhere" / "kitchen.db", create=True)


def test_a_file_that_cannot_be_opened_is_refused(tmp_path):
    with pytest.raises(StoreError, match="cannot be opened: check that its folder"):
        Database.open(f"file:{tmp_path}/nowhere/kitchen.db?mode=rw")


def test_a_file_that_is_no_database_is_refused(path):
    path.write_bytes(b"a shopping list, not a database\n" * 100)

    with pytest.raises(StoreError, match="is not a lidclock database"):
        Database.open(path)


def foreign(path):
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE alembic_version (version_num TEXT)")
    connection.execute("INSERT INTO alembic_version VALUES ('0001')")
    connection.execute("CREATE TABLE song (title TEXT)")
    connection.commit()
    connection.close()


@pytest.mark.parametrize("create", [False, True])
def test_the_database_of_another_program_is_refused(path, create):
    foreign(path)

    with pytest.raises(StoreError, match="belongs to another program"):
        Database.open(path, create=create)


def test_the_database_of_another_program_is_left_as_it_was(path):
    foreign(path)
    before = path.read_bytes()
    with pytest.raises(StoreError):
        Database.open(path, create=True)

    assert path.read_bytes() == before


def test_the_database_of_a_newer_lidclock_is_refused(database, path):
    with database.begin() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")

    with pytest.raises(StoreError, match=r"newer lidclock \(schema 9999\): update"):
        Database.open(path)


def test_a_lock_held_by_another_is_reported_after_waiting(database, path):
    with (
        Database.open(path, busy_ms=20) as other,
        database.begin(),
        pytest.raises(StoreError, match="locked by another program: try again"),
        other.begin(),
    ):
        pass


def test_a_reader_is_not_kept_waiting_by_a_writer(database, path, event):
    with Database.open(path, busy_ms=20) as other, database.begin() as connection:
        Ledger(connection, "home").append(event(1))
        with other.read() as view:
            seen = list(Ledger(view, "home").all())

    assert seen == []


def test_as_many_look_at_once_as_want_to(database):
    """Who writes looks elsewhere meanwhile: those who wait must not hold its place."""
    with ExitStack() as open_looks:
        for _ in range(40):
            open_looks.enter_context(database.read())
        with database.begin() as connection, database.read() as other:
            assert connection is not other


@pytest.mark.usefixtures("database")
def test_a_read_only_file_is_reported(path):
    with (
        Database.open(f"file:{path}?mode=ro") as frozen,
        pytest.raises(StoreError, match="is read-only: make the file and its folder"),
        frozen.begin() as connection,
    ):
        connection.exec_driver_sql("DELETE FROM place")


def fill_up(database, event, spare_pages):
    """Record more than fits, in a database that may grow by so many pages only."""
    with database.begin() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        most = pages + spare_pages
        connection.exec_driver_sql(f"PRAGMA max_page_count = {most}")
        Ledger(connection, "home").append_all(
            event(n, body={"note": "x" * 5000}) for n in range(99)
        )


def test_a_full_disk_is_reported(database, event):
    with pytest.raises(StoreError, match=r"no room left .* nothing was recorded"):
        fill_up(database, event, spare_pages=0)


def test_a_full_disk_leaves_nothing_half_written(database, path, event):
    with pytest.raises(StoreError):
        fill_up(database, event, spare_pages=8)
    database.close()

    assert count_of(path) == 0


def record_once(database, event, *, most_bytes=None):
    """Record one event, while this process can write no file beyond `most_bytes`.

    The limit is lifted before anything else runs: the test runner's own output may be
    a file.
    """
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    try:
        with database.begin() as connection:
            if most_bytes is not None:
                resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, before[1]))
            Ledger(connection, "home").append(event(1))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


def test_a_failing_disk_is_reported(database, event):
    with pytest.raises(StoreError, match=r"disk under .* failed \(disk I/O error\)"):
        record_once(database, event, most_bytes=4096)


def test_a_write_that_failed_can_be_repeated(database, path, event):
    with pytest.raises(StoreError):
        record_once(database, event, most_bytes=4096)
    record_once(database, event)
    database.close()

    assert count_of(path) == 1


def test_a_damaged_database_is_reported(database, path, event):
    with database.begin() as connection:
        Ledger(connection, "home").append_all(event(n) for n in range(500))
    database.close()
    intact = path.read_bytes()
    path.write_bytes(intact[:8192] + b"\xa5" * (len(intact) - 8192))

    with (
        pytest.raises(StoreError, match=r"is damaged .* restore the latest backup"),
        Database.open(path) as damaged,
        damaged.read() as connection,
    ):
        list(Ledger(connection, "home").all())


def test_an_exception_undoes_the_whole_block(database, path, event):
    def fail():
        with database.begin() as connection:
            Ledger(connection, "home").append(event(1))
            raise KeyError("spilled")

    with pytest.raises(KeyError, match="spilled"):
        fail()
    database.close()

    assert count_of(path) == 0


def test_a_mistake_in_the_program_is_not_dressed_up(database):
    with (
        pytest.raises(Exception, match="no such table: nonsense"),
        database.read() as connection,
    ):
        connection.exec_driver_sql("SELECT * FROM nonsense")


def test_an_event_of_no_kitchen_is_refused_by_the_database(database, event):
    with (
        pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"),
        database.begin() as connection,
    ):
        Ledger(connection, "nobody").append(event(1))


@pytest.mark.usefixtures("database")
def test_opening_a_current_database_imports_no_alembic(path):
    script = (
        "import sys; from lidclock.store import Database;"
        f"Database.open({str(path)!r}).close();"
        "print(sorted(name for name in sys.modules if name == 'alembic'))"
    )
    source = Path(sys.modules["lidclock"].__file__).parents[1]
    environment = {**os.environ, "PYTHONPATH": str(source)}
    run = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        check=True,
        env=environment,
    )

    assert run.stdout == "[]\n"
