"""Accents in the names of foods: one sign or two, it is one food (Unicode, UAX #15)."""

import unicodedata
from datetime import datetime

import pytest

from lidclock.app import prep
from lidclock.app.prep import Order
from lidclock.app.session import Session
from lidclock.domain.foods import Food
from lidclock.domain.moments import from_local, zone_of

ONE = "Cr\u00e8me br\u00fbl\u00e9e"
TWO = unicodedata.normalize("NFD", ONE)
FACTS = ("--category", "pudding", "--no-allergens")


def test_the_two_spellings_look_alike_and_differ():
    assert ONE != TWO
    assert unicodedata.normalize("NFC", TWO) == ONE


@pytest.mark.parametrize(("first", "second"), [(ONE, TWO), (TWO, ONE)])
def test_a_food_typed_either_way_is_one_food(cook, first, second):
    cook.run("food", "add", first, *FACTS)

    assert "changed" in cook.see("food", "add", second, "--portion", "100g")
    cook.run("prep", second, "--count", "2", "--place", "Fridge", "--no-labels")

    assert [one["name"] for one in cook.data("food", "list")] == [ONE]
    assert cook.data("food", "show", second)["name"] == ONE
    assert len(cook.codes(first)) == len(cook.codes(second)) == 2


def test_a_food_added_on_the_spot_is_composed(cook):
    cook.run("prep", TWO, *FACTS, "--count", "1", "--no-labels")

    assert [one["name"] for one in cook.data("food", "list")] == [ONE]


@pytest.mark.parametrize("typed", [ONE, TWO])
def test_what_was_recorded_before_keeps_its_name_and_is_found(cook, typed):
    """The past is not rewritten: new boxes go to the food as it stands there."""
    now = from_local(datetime.fromisoformat(cook.now), zone_of("America/New_York"))
    session = Session.open(cook.database, now=now)
    with session.write() as unit:
        prep.prep(unit, Order(Food(TWO, "pudding", ()), 1))
    session.close()

    cook.run("prep", typed, "--count", "1", "--no-labels")

    assert [one["name"] for one in cook.data("food", "list")] == [TWO]
    assert len(cook.codes(typed)) == 2
