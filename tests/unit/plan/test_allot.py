"""Containers to meals: which goes first, what is short, what is left."""

from datetime import UTC, datetime, timedelta

import pytest

from lidclock.plan.allot import Need, allot, issue_order
from lidclock.plan.lots import Lot, portions_in

NOON = datetime(2026, 11, 3, 12, tzinfo=UTC)
DAY = timedelta(days=1)


def lot(code, last=None, portions=1, food="soup", **more):
    return Lot(
        code, food, portions, None if last is None else NOON + last * DAY, **more
    )


def need(day, portions=1, food="soup", key="meal"):
    return Need(NOON + day * DAY, food, portions, key)


def codes(serving):
    return [(share.lot.code, share.portions) for share in serving.shares]


def test_the_earliest_last_moment_goes_first_whatever_its_age():
    found = allot(
        [lot("old", 7, made_at=NOON - 2 * DAY), lot("young", 3, made_at=NOON)],
        [need(1)],
    )

    assert codes(found.servings[0]) == [("young", 1)]
    assert found.left == {"old": 1, "young": 0}


def test_of_equal_ends_an_opened_one_goes_first_then_the_oldest():
    lots = [
        lot("new", 3, made_at=NOON),
        lot("old", 3, made_at=NOON - DAY),
        lot("opened", 3, made_at=NOON, opened_at=NOON),
    ]

    assert [one.code for one in sorted(lots, key=issue_order)] == [
        "opened",
        "old",
        "new",
    ]


def test_a_frozen_one_waits_until_the_fridge_is_empty_and_it_is_thawed():
    frozen = lot("frozen", ready_at=NOON + 1.5 * DAY)

    found = allot([frozen, lot("cold", 9)], [need(1), need(1.2), need(2)])

    assert [codes(one) for one in found.servings] == [
        [("cold", 1)],
        [],
        [("frozen", 1)],
    ]
    assert found.short == 1


def test_a_last_moment_is_past_at_that_very_instant():
    assert allot([lot("a", 1)], [need(1)]).short == 1
    assert allot([lot("a", 1)], [need(0.999)]).short == 0


def test_a_tub_serves_several_meals_and_a_meal_takes_from_several_tubs():
    found = allot([lot("a", 2, 3), lot("b", 4, 3)], [need(1, 4), need(3, 4)])

    assert [codes(one) for one in found.servings] == [
        [("a", 3), ("b", 1)],
        [("b", 2)],
    ]
    assert [one.short for one in found.servings] == [0, 2]


def test_needs_come_back_in_the_order_in_which_they_were_asked():
    found = allot([lot("a", 9)], [need(2, key="late"), need(1, key="early")])

    assert [one.need.key for one in found.servings] == ["late", "early"]
    assert [one.short for one in found.servings] == [1, 0]


def test_foods_do_not_stand_in_for_each_other():
    assert allot([lot("a", 9)], [need(1, food="stew")]).short == 1


@pytest.mark.parametrize(
    ("lots", "needs"), [([lot("a", 1, 0)], []), ([], [need(1, 0)])]
)
def test_nothing_is_no_portion(lots, needs):
    with pytest.raises(ValueError, match="portions"):
        allot(lots, needs)


@pytest.mark.parametrize(
    ("mass_g", "portion_g", "portions"),
    [
        (None, 200, 1),
        (300, None, 1),
        (8000, 230, 34),
        (308, 300, 1),
        (580, 300, 2),
        (560, 300, 1),
        (50, 300, 1),
        (300, 0, 1),
    ],
)
def test_whole_portions_are_counted(mass_g, portion_g, portions):
    assert portions_in(mass_g, portion_g) == portions
