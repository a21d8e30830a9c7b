"""How many to keep: the edges of the rule; the published case is in tests/external."""

import math

import pytest

from lidclock.plan.demand import certain, listed, poisson
from lidclock.plan.keep import keep

# P(D >= s) = 1, 3/4, 1/2, 1/4 for s = 1, 2, 3, 4.
EVEN = listed({1: 0.25, 2: 0.25, 3: 0.25, 4: 0.25})


def test_a_portion_stays_while_its_odds_reach_the_line() -> None:
    """worth 4, freezing 2: the line is 1 - 2/4 = 1/2, which the third just meets."""
    kept = keep(6, EVEN, 4, 2)

    assert (kept.keep, kept.freeze, kept.wanted) == (3, 3, 0.5)
    assert kept.odds == (1, 0.75, 0.5, 0.25, 0, 0)
    # Three kept: 2, 1, 0, 0 left, a quarter of the time each.
    assert kept.expected_left == pytest.approx(0.75)
    assert kept.left == pytest.approx((0, 0.25, 0.75, 1.5, 2.5, 3.5))


def test_just_below_the_line_it_is_frozen() -> None:
    assert keep(6, EVEN, 4, 1.99).keep == 2


@pytest.mark.parametrize(("worth", "freezing"), [(1, 1), (1, 2), (0, 0), (0, 1)])
def test_nothing_is_frozen_that_costs_as_much_as_its_waste(
    worth: float, freezing: float
) -> None:
    assert keep(6, certain(0), worth, freezing).keep == 6


def test_where_freezing_costs_nothing_only_what_is_certain_stays() -> None:
    assert keep(6, certain(4), 3, 0).keep == 4
    assert keep(6, EVEN, 3, 0).keep == 1


def test_nobody_wants_any_so_all_are_frozen() -> None:
    assert keep(5, poisson(0), 3, 1).freeze == 5


def test_more_are_wanted_than_there_are() -> None:
    kept = keep(5, poisson(60), 3, 1)

    assert (kept.keep, kept.freeze) == (5, 0)
    assert kept.expected_left == pytest.approx(0, abs=1e-9)


def test_no_portions_leave_nothing_to_decide() -> None:
    kept = keep(0, EVEN, 3, 1)

    assert (kept.keep, kept.freeze, kept.odds, kept.expected_left) == (0, 0, (), 0)


@pytest.mark.parametrize("worth", [0.5, 1, 3, 10])
@pytest.mark.parametrize("freezing", [0, 0.3, 1, 4])
@pytest.mark.parametrize("mean", [0.2, 2, 4.8])
def test_no_other_number_costs_less(worth: float, freezing: float, mean: float) -> None:
    """Cost of keeping s of n: worth x expected left + freezing x (n - s)."""
    kept = keep(8, poisson(mean), worth, freezing)
    left = (0.0, *kept.left)

    costs = [worth * left[s] + freezing * (8 - s) for s in range(9)]

    assert costs[kept.keep] == pytest.approx(min(costs), abs=1e-9)


@pytest.mark.parametrize(
    ("portions", "worth", "freezing"),
    [(-1, 3, 1), (3, -3, 1), (3, 3, -1), (3, math.nan, 1), (3, 3, math.inf)],
)
def test_what_is_no_cost_is_refused(
    portions: int, worth: float, freezing: float
) -> None:
    with pytest.raises(ValueError, match=r"cannot be|a cost is"):
        keep(portions, EVEN, worth, freezing)
