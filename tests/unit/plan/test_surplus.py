"""Containers of one food whose last moments differ: which will hardly be eaten."""

from datetime import UTC, datetime, timedelta

import pytest

from lidclock.plan.demand import certain, poisson
from lidclock.plan.keep import keep
from lidclock.plan.lots import Lot
from lidclock.plan.surplus import risks

NOON = datetime(2026, 11, 3, 12, tzinfo=UTC)
DAY = timedelta(days=1)


def lot(code, days, portions=1):
    return Lot(code, "soup", portions, NOON + days * DAY)


def surplus(found):
    return [one.lot.code for one in found if one.is_surplus]


@pytest.mark.parametrize("mean", [0.3, 2.0, 4.8, 9.0])
@pytest.mark.parametrize(("worth", "freezing"), [(3, 1), (3, 0), (1, 1), (5, 0.1)])
def test_of_equal_lives_as_many_stay_as_the_rule_for_one_life_says(
    mean, worth, freezing
):
    lots = [lot(f"box {number}", 5) for number in range(8)]

    found = risks(lots, lambda _: poisson(mean), worth, freezing)

    stay = 8 - len(surplus(found))
    assert stay == keep(8, poisson(mean), worth, freezing).keep


def test_what_ends_early_is_surplus_and_leaves_its_place_to_what_ends_late():
    """None is wanted before the first ends, one by the time the second does."""
    wanted = {1: certain(0), 5: certain(1)}

    found = risks(
        [lot("late", 5), lot("early", 1)],
        lambda at: wanted[(at - NOON).days],
        3,
        1,
    )

    assert [one.lot.code for one in found] == ["early", "late"]
    assert surplus(found) == ["early"]
    assert [one.odds for one in found] == [(0.0,), (1.0,)]


def test_a_tub_is_weighed_as_a_whole():
    """Of three portions one is wanted: two lost at 3 are more than freezing three."""
    tub = [lot("tub", 5, 3)]

    assert surplus(risks(tub, lambda _: certain(1), 3, 1)) == ["tub"]
    assert surplus(risks(tub, lambda _: certain(2), 3, 1)) == []
    assert risks(tub, lambda _: certain(1), 3, 1)[0].lost == 2


def test_a_frozen_one_is_not_at_risk():
    assert risks([Lot("ice", "soup", 1, None)], lambda _: certain(0), 3, 1) == ()


@pytest.mark.parametrize("freezing", [3, 4])
def test_where_acting_costs_as_much_as_waste_all_stay(freezing):
    assert surplus(risks([lot("box", 5)], lambda _: certain(0), 3, freezing)) == []
