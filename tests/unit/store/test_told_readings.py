"""Readings that devices told: found by their id, of one kitchen, each once."""

import pytest

from lidclock.store.told_readings import ToldReading, ToldReadings

ONE, OTHER = ToldReading("Fridge", 1_000_000, 3.25), ToldReading("Freezer", 5, -18.0)


@pytest.fixture
def told(database):
    with database.begin() as connection:
        yield ToldReadings(connection, "home")


def test_what_was_told_is_found_by_its_id(told):
    told.add("a", ONE)
    told.add("b", OTHER)

    assert told.get("a") == ONE
    assert told.get("b") == OTHER
    assert told.get("c") is None


def test_the_first_word_under_an_id_stays(told):
    told.add("a", ONE)
    told.add("a", OTHER)

    assert told.get("a") == ONE


def test_another_kitchen_knows_nothing_of_it(database):
    with database.begin() as connection:
        ToldReadings(connection, "home").add("a", ONE)

        assert ToldReadings(connection, "away").get("a") is None
