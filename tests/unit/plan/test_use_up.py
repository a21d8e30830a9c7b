"""The meal that saves most of what would be lost."""

from datetime import UTC, datetime

from lidclock.plan.lots import Lot
from lidclock.plan.surplus import Risk
from lidclock.plan.use_up import Dish, use_up

NOON = datetime(2026, 11, 3, 12, tzinfo=UTC)
BUNS = Dish("buns", (("dough", 1), ("filling", 1)))
SOUP = Dish("soup", (("stock", 1), ("beans", 2)))


def risk(code, food, *odds, surplus=True):
    return Risk(Lot(code, food, len(odds), NOON), odds, surplus)


def flat(_):
    return 3.0


def codes(found):
    return [(one.lot.code, one.portions) for one in found.taken]


SHELF = {
    "dough": [risk("d1", "dough", 0.9, surplus=False)],
    "filling": [risk("f1", "filling", 0.1)],
    "stock": [risk("s1", "stock", 0.8, 0.2)],
    "beans": [risk("b1", "beans", 0.6, 0.6)],
}


def test_the_dish_that_saves_most_wins():
    """Buns save 0.1 + 0.9; soup the less wanted of two, 0.8, and 2 x 0.4 of beans."""
    found = use_up([BUNS, SOUP], SHELF, flat)

    assert found.dish == SOUP
    assert round(found.saved, 9) == 1.6
    assert round(found.money, 9) == 4.8
    assert codes(found) == [("s1", 1), ("b1", 2)]


def test_money_counts_not_portions():
    dear = {"filling": 9.0}

    assert use_up([BUNS, SOUP], SHELF, lambda food: dear.get(food, 1)).dish == BUNS


def test_a_dish_needs_all_that_is_in_it():
    shelf = {food: risks for food, risks in SHELF.items() if food != "dough"}

    assert use_up([BUNS], shelf, flat).dish is None


def test_without_a_dish_the_dearest_of_what_is_surplus():
    found = use_up([], SHELF, lambda food: 5.0 if food == "beans" else 1.0)

    assert codes(found)[0] == ("b1", 2)
    assert ("d1", 1) not in codes(found)


def test_no_more_than_there_are_eaters():
    assert codes(use_up([], {"stock": SHELF["stock"]}, flat, eaters=1)) == [("s1", 1)]


def test_what_is_wanted_anyway_makes_no_meal():
    shelf = {"dough": SHELF["dough"]}

    assert use_up([Dish("dough", (("dough", 1),))], shelf, flat) is None
    assert use_up([], {}, flat) is None
