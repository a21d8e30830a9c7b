"""A kitchen's printers: names of their own, one default for each stock."""

import sqlite3
from dataclasses import replace

import pytest
import sqlalchemy as sa

from lidclock.domain.kitchens import Kitchen
from lidclock.errors import RefusedError
from lidclock.store import Database, Kitchens, migrations
from lidclock.store.printers import Printer, Printers

BENCH = Printer("Bench", "ipp://192.0.2.7:631/ipp/print", "roll-50x25")
OFFICE = Printer("Office", "cups:office", "letter-3x10")


@pytest.fixture
def connection(database):
    with database.begin() as connection:
        yield connection


@pytest.fixture
def printers(connection):
    return Printers(connection, "home")


def test_every_fact_about_a_printer_comes_back(printers):
    printers.add(replace(BENCH, is_default=True))

    assert printers.all() == [replace(BENCH, is_default=True)]


def test_printers_come_by_name(printers):
    printers.add(OFFICE)
    printers.add(BENCH)

    assert [one.name for one in printers.all()] == ["Bench", "Office"]


def test_a_printer_is_found_in_any_case(printers):
    printers.add(BENCH)

    assert printers.get(" bench ") == BENCH
    assert printers.get("Office") is None


def test_two_printers_differ_in_more_than_case(printers):
    printers.add(BENCH)

    with pytest.raises(RefusedError, match="printer 'BENCH' already"):
        printers.add(replace(OFFICE, name="BENCH"))


def test_no_printer_is_a_default_unasked(printers):
    printers.add(BENCH)

    assert printers.default("roll-50x25") is None


def test_each_stock_has_a_default_of_its_own(printers):
    printers.add(replace(BENCH, is_default=True))
    printers.add(replace(OFFICE, is_default=True))

    assert printers.default("roll-50x25").name == "Bench"
    assert printers.default("letter-3x10").name == "Office"
    assert printers.default("a4-3x8") is None


def test_a_new_default_takes_the_place_of_the_old_one(printers):
    printers.add(replace(BENCH, is_default=True))
    printers.add(replace(BENCH, name="Counter", is_default=True))

    assert printers.default("roll-50x25").name == "Counter"
    assert [one.is_default for one in printers.all()] == [False, True]


def test_the_database_itself_refuses_two_defaults_for_a_stock(printers, connection):
    printers.add(replace(BENCH, is_default=True))
    printers.add(replace(BENCH, name="Counter"))

    with pytest.raises(sa.exc.IntegrityError, match="UNIQUE constraint failed"):
        connection.exec_driver_sql("UPDATE printer SET is_default = 1")


def test_a_printer_prints_where_it_prints_until_it_is_told_otherwise(printers):
    printers.add(BENCH)

    assert printers.get("Bench").offset_mm == (0.0, 0.0)


def test_an_offset_belongs_to_one_printer_and_comes_back_to_the_micrometre(printers):
    printers.add(BENCH)
    printers.add(OFFICE)

    assert printers.set_offset(" bench ", (1.5, -0.125))
    assert printers.get("Bench").offset_mm == (1.5, -0.125)
    assert printers.get("Office").offset_mm == (0.0, 0.0)
    assert not printers.set_offset("Cellar", (1.0, 1.0))


@pytest.mark.parametrize("offset_mm", [(20.001, 0.0), (0.0, -20.001)])
def test_the_database_itself_refuses_an_offset_beyond_the_label(printers, offset_mm):
    printers.add(BENCH)

    with pytest.raises((sa.exc.IntegrityError, sqlite3.IntegrityError), match="CHECK"):
        printers.set_offset("Bench", offset_mm)


def test_a_removed_printer_is_gone_and_its_name_free(printers):
    printers.add(BENCH)

    assert printers.remove("BENCH")
    assert printers.all() == []
    assert not printers.remove("Bench")


def test_printers_belong_to_one_kitchen(printers, connection):
    Kitchens(connection).add(Kitchen("hall", "Hall", "Europe/London"))
    printers.add(BENCH)

    assert Printers(connection, "hall").all() == []


def test_a_database_from_before_there_were_printers_gets_their_table(path, monkeypatch):
    with monkeypatch.context() as old:
        old.setattr(migrations, "REVISIONS", ("0001", "0002", "0003"))
        with Database.open(path, create=True) as database, database.begin() as before:
            Kitchens(before).add(Kitchen("home", "Home", "Europe/London"))
    with Database.open(path) as upgraded, upgraded.begin() as connection:
        Printers(connection, "home").add(BENCH)

        assert Printers(connection, "home").all() == [BENCH]
        assert Kitchens(connection).get("home").name == "Home"


def test_a_printer_from_before_there_were_offsets_has_none(path, monkeypatch):
    """The row is written as the fourth revision had it."""
    with monkeypatch.context() as old:
        old.setattr(migrations, "REVISIONS", ("0001", "0002", "0003", "0004"))
        with Database.open(path, create=True) as database, database.begin() as before:
            Kitchens(before).add(Kitchen("home", "Home", "Europe/London"))
            before.exec_driver_sql(
                "INSERT INTO printer VALUES ('home', 'bench', 'Bench', "
                "'ipp://192.0.2.7:631/ipp/print', 'roll-50x25', 0)"
            )
    with Database.open(path) as upgraded, upgraded.begin() as connection:
        assert Printers(connection, "home").all() == [BENCH]
