"""Backups are whole, checked, and never take anything away."""

import sqlite3

import pytest

from lidclock.errors import RefusedError, StoreError
from lidclock.store import Database, Ledger
from lidclock.store.backup import backup, restore


def record(database, event):
    with database.begin() as connection:
        Ledger(connection, "home").append(event)


def events_in(path):
    with Database.open(path) as database, database.read() as connection:
        return list(Ledger(connection, "home").all())


def names_in(folder):
    return sorted(entry.name for entry in folder.iterdir())


@pytest.fixture
def copy(tmp_path):
    folder = tmp_path / "stick"
    folder.mkdir()
    return folder / "copy.db"


def damage(path):
    intact = path.read_bytes()
    path.write_bytes(intact[:8192] + b"\xa5" * (len(intact) - 8192))


def test_a_backup_holds_what_was_recorded_while_in_use(database, path, copy, event):
    record(database, event(1))
    backup(path, copy)

    assert events_in(copy) == [event(1)]


def test_a_backup_leaves_out_what_is_not_committed(database, path, copy, event):
    with database.begin() as connection:
        Ledger(connection, "home").append(event(1))
        backup(path, copy)

    assert events_in(copy) == []


@pytest.mark.usefixtures("database")
def test_a_backup_is_one_file(path, copy):
    backup(path, copy)

    assert names_in(copy.parent) == ["copy.db"]


@pytest.mark.usefixtures("database")
def test_a_backup_overwrites_nothing(path, copy):
    copy.write_text("an earlier backup")
    with pytest.raises(RefusedError, match=r"copy\.db exists already: name a new file"):
        backup(path, copy)

    assert copy.read_text() == "an earlier backup"


def test_backing_up_a_missing_database_leaves_no_file(path, copy):
    with pytest.raises(StoreError, match="there is no file"):
        backup(path, copy)

    assert names_in(copy.parent) == []


@pytest.mark.usefixtures("database")
def test_backing_up_into_a_missing_folder_is_refused(path, tmp_path):
    with pytest.raises(StoreError, match=r"cannot be made \(No such file or directory"):
        backup(path, tmp_path / "nowhere" / "copy.db")


def test_backing_up_a_damaged_database_leaves_no_file(database, path, copy, event):
    with database.begin() as connection:
        Ledger(connection, "home").append_all(event(n) for n in range(500))
    database.close()
    damage(path)
    with pytest.raises(StoreError, match="damaged"):
        backup(path, copy)

    assert names_in(copy.parent) == []


def test_a_backup_restores_into_an_empty_place(database, path, copy, tmp_path, event):
    record(database, event(1))
    backup(path, copy)
    restore(copy, tmp_path / "new.db")

    assert events_in(tmp_path / "new.db") == [event(1)]


@pytest.mark.parametrize("replace", [False, True])
def test_restoring_makes_the_folders_that_are_missing(
    database, path, copy, event, replace
):
    record(database, event(1))
    backup(path, copy)
    fresh = copy.parent / "data" / "lidclock" / "kitchen.db"
    restore(copy, fresh, replace=replace)

    assert events_in(fresh) == [event(1)]


def test_restoring_what_is_damaged_makes_no_folder(path, copy, tmp_path, database):
    backup(path, copy)
    database.close()
    damage(copy)
    with pytest.raises(StoreError):
        restore(copy, tmp_path / "data" / "kitchen.db")

    assert not (tmp_path / "data").exists()


def test_restoring_overwrites_nothing_unasked(database, path, copy, event):
    backup(path, copy)
    record(database, event(1))
    database.close()
    with pytest.raises(RefusedError, match="exists already"):
        restore(copy, path)

    assert events_in(path) == [event(1)]


def test_restoring_on_request_replaces_the_database(database, path, copy, event):
    record(database, event(1))
    backup(path, copy)
    record(database, event(2))
    database.close()
    restore(copy, path, replace=True)

    assert events_in(path) == [event(1)]


def test_restoring_waits_for_nobody_who_has_it_open(database, path, copy, event):
    backup(path, copy)
    record(database, event(1))
    with pytest.raises(RefusedError, match="in use: stop every lidclock first"):
        restore(copy, path, replace=True)

    assert events_in(path) == [event(1)]


def test_a_damaged_database_is_replaced_log_and_all(database, path, copy, event):
    record(database, event(1))
    backup(path, copy)
    database.close()
    path.write_bytes(b"\xa5" * 20_000)
    path.with_name(path.name + "-wal").write_bytes(b"a stale log")
    restore(copy, path, replace=True)

    assert events_in(path) == [event(1)]


def test_a_damaged_backup_is_not_restored(database, path, copy, event):
    with database.begin() as connection:
        Ledger(connection, "home").append_all(event(n) for n in range(500))
    backup(path, copy)
    database.close()
    damage(copy)
    with pytest.raises(StoreError, match="damaged"):
        restore(copy, path, replace=True)

    assert len(events_in(path)) == 500


@pytest.mark.usefixtures("database")
def test_a_file_that_is_no_database_is_not_restored(path, copy):
    copy.write_bytes(b"a shopping list" * 100)

    with pytest.raises(StoreError, match=r"copy\.db is not a lidclock database"):
        restore(copy, path, replace=True)


def test_the_database_of_another_program_is_not_restored(path, copy):
    other = sqlite3.connect(copy)
    other.execute("CREATE TABLE song (title TEXT)")
    other.close()

    with pytest.raises(StoreError, match="belongs to another program"):
        restore(copy, path)


@pytest.mark.usefixtures("database")
def test_a_database_is_not_restored_onto_itself(path):
    with pytest.raises(RefusedError, match="is the database itself"):
        restore(path, path, replace=True)
