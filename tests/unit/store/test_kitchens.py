"""Kitchens and their places."""

from dataclasses import replace

import pytest

from lidclock.domain.kitchens import Kitchen, Place
from lidclock.errors import RefusedError, StoreError, UnknownThingError
from lidclock.store import Database, Kitchens

HALL = Kitchen(
    id="hall",
    name="Village Hall",
    zone_name="Europe/London",
    guidance="uk",
    units="imperial",
    day_start_h=4,
    lead_h=24,
    stock="a4-3x8",
    symbol_base="HTTP://HALL.LOCAL",
    accepts_unmeasured=False,
)


@pytest.fixture
def kitchens(database):
    with database.begin() as connection:
        yield Kitchens(connection)


def test_every_choice_of_a_kitchen_comes_back(kitchens):
    kitchens.add(HALL)

    assert kitchens.get("hall") == HALL


def test_without_an_id_the_first_kitchen_is_meant(kitchens):
    assert kitchens.get().id == "home"


def test_all_kitchens_come_by_id(kitchens):
    kitchens.add(HALL)

    assert [kitchen.id for kitchen in kitchens.all()] == ["hall", "home"]


def test_an_unknown_kitchen_is_named(kitchens):
    with pytest.raises(UnknownThingError, match="no kitchen 'hall'"):
        kitchens.get("hall")


def test_a_database_without_a_kitchen_says_what_to_run(path):
    with (
        Database.open(path, create=True) as database,
        database.read() as connection,
        pytest.raises(StoreError, match="run `lidclock init`"),
    ):
        Kitchens(connection).get()


def test_a_kitchen_id_is_used_once(kitchens):
    kitchens.add(HALL)

    with pytest.raises(RefusedError, match="kitchen 'hall' already"):
        kitchens.add(HALL)


def test_places_keep_the_order_in_which_they_were_added(kitchens):
    places = [Place("Walk-in", "fridge"), Place("Chest", "freezer")]
    kitchens.add(HALL, places)

    assert kitchens.places("hall") == places


def test_two_places_differ_in_more_than_case(kitchens):
    with pytest.raises(RefusedError, match="place 'FRIDGE' already"):
        kitchens.add_place("home", Place("FRIDGE", "freezer"))


def test_changed_choices_are_kept(kitchens):
    kitchens.add(HALL)
    changed = replace(HALL, name="Hall", lead_h=72, accepts_unmeasured=True)
    kitchens.update(changed)

    assert kitchens.get("hall") == changed
    assert kitchens.get("home").name == "Home"


def test_an_unknown_kitchen_cannot_be_changed(kitchens):
    with pytest.raises(UnknownThingError, match="no kitchen 'hall'"):
        kitchens.update(HALL)
