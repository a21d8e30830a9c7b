"""One-off amounts: edges and identities; published cases are in tests/external."""

import math

import pytest

from lidclock.plan.demand import certain, counted, listed
from lidclock.plan.newsvendor import (
    Money,
    NormalDemand,
    amount,
    critical_ratio,
    to_add,
)

PARTY = NormalDemand(112, 6)
TWO_OR_FOUR = listed({2: 0.5, 4: 0.5})


def test_the_ratio_is_the_share_that_should_be_enough() -> None:
    assert critical_ratio(9, 3) == 0.75
    assert critical_ratio(0, 3) == 0
    assert critical_ratio(9, 0) == 1
    assert critical_ratio(1e308, 1e308) == 0.5


@pytest.mark.parametrize("costs", [(0, 0), (-1, 3), (1, -3), (math.nan, 1), (1, 1e999)])
def test_costs_that_decide_nothing_are_refused(costs: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match=r"a cost is|costs anything"):
        critical_ratio(*costs)


def test_a_ratio_that_is_just_met_is_met() -> None:
    """P(D <= 2) = 1/2 = 3/(3 + 3)."""
    assert amount(TWO_OR_FOUR, 3, 3) == 2
    assert amount(TWO_OR_FOUR, 3.01, 3) == 4


@pytest.mark.parametrize("short", [0.0, 0.27, 1, 9])
@pytest.mark.parametrize("over", [0.05, 1, 3])
def test_no_other_amount_costs_less(short: float, over: float) -> None:
    demand = counted(6, 14)
    costs = [
        short * demand.expected_short(made) + over * demand.expected_left(made)
        for made in range(60)
    ]

    assert costs[amount(demand, short, over)] == pytest.approx(min(costs), abs=1e-9)


def test_what_is_there_is_not_made_again() -> None:
    assert (to_add(25, 20), to_add(25, 28)) == (5, 0)


@pytest.mark.parametrize("made", [-40.0, 90.0, 112.0, 117.0, 130.0, 200.0])
def test_left_and_lost_add_up(made: float) -> None:
    """(Q - D)+ - (D - Q)+ = Q - D and min(Q, D) = Q - (Q - D)+."""
    assert PARTY.left(made) - PARTY.lost(made) == pytest.approx(made - 112)
    assert PARTY.sold(made) + PARTY.left(made) == pytest.approx(made)
    assert PARTY.lost(made) >= 0


def test_the_profit_is_what_was_sold_less_what_it_cost() -> None:
    """Exactly ten come: 8 made sell at 5 and cost 2 each; of 12 two bring 1 each."""
    sure, money = NormalDemand(10, 0), Money(cost=2, price=5, salvage=1)

    assert (money.short, money.over) == (3, 1)
    assert sure.profit(8, money) == 24
    assert sure.profit(12, money) == 50 + 2 - 24


def test_an_exact_number_of_eaters_is_the_amount() -> None:
    sure = NormalDemand(4, 0)

    assert sure.portions(0.01) == sure.portions(0.99) == 4
    assert (sure.enough(3), sure.enough(4), sure.lost(3), sure.left(5)) == (0, 1, 1, 1)


def test_an_amount_is_never_below_none() -> None:
    assert NormalDemand(1, 6).portions(0.1) == 0


@pytest.mark.parametrize("ratio", [0, 1, -1, math.nan])
def test_no_amount_is_enough_for_certain(ratio: float) -> None:
    with pytest.raises(ValueError, match="no amount"):
        PARTY.amount(ratio)


@pytest.mark.parametrize("facts", [(math.nan, 1), (1, -1), (1, math.inf)])
def test_what_is_no_normal_demand_is_refused(facts: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="no normal demand"):
        NormalDemand(*facts)


def test_certain_demand_is_made() -> None:
    assert amount(certain(7), 1, 1) == 7
