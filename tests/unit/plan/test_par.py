"""Repeated amounts, and what of the stock passes its last moment first."""

import itertools
import random

import pytest

from lidclock.plan.demand import Demand, certain, listed, poisson
from lidclock.plan.par import Step, expected_outdating, options, to_make, to_order

COIN = listed({0: 0.5, 2: 0.5})


def test_what_is_there_is_taken_off_and_what_will_spoil_put_back() -> None:
    """Poisson 6 at 95 % is 10; 10 - (4 - 1.2) = 7.2, so 8."""
    demand = poisson(6)

    assert to_make(demand, 0.95) == 10
    assert to_make(demand, 0.95, usable=4) == 6
    assert to_make(demand, 0.95, usable=4, outdating=1.2) == 8
    assert to_make(demand, 0.95, usable=12) == 0


def test_a_hair_over_a_whole_portion_is_no_portion_more() -> None:
    """3 x 0.1 is a little more than 0.3 in 64 bits."""
    assert to_make(certain(5), 0.95, usable=4, outdating=3 * 0.1 + 0.7) == 2


def test_an_order_is_never_below_none() -> None:
    assert to_order(10, 2, 3, 60) == 0


def test_nothing_spoils_of_nothing() -> None:
    assert expected_outdating([]) == 0
    assert expected_outdating([Step(0, poisson(3))]) == 0


def test_one_step_is_what_nobody_wanted() -> None:
    assert expected_outdating([Step(6, poisson(4.8))]) == pytest.approx(
        poisson(4.8).expected_left(6)
    )


def test_two_steps_by_hand() -> None:
    """3 expire, then 2 more; each time 0 or 2 are wanted, evenly.

    First 0: 3 are lost, then 0 -> 2 lost (5), 2 -> 0 (3). First 2: 1 is lost, then
    0 -> 2 (3), 2 -> 0 (1). On average (5 + 3 + 3 + 1)/4.
    """
    result = expected_outdating([Step(3, COIN), Step(2, COIN)])

    assert result == pytest.approx(3)


def test_demand_beyond_the_first_lot_eats_of_the_second() -> None:
    """4 wanted: 1 of the first lot, 3 of the second, of which 2 are left over."""
    assert expected_outdating([Step(1, certain(4)), Step(5, certain(0))]) == 2


def outdated(expiring: list[int], wanted: tuple[int, ...]) -> int:
    """One course of things, oldest first, portion by portion."""
    lots, lost = list(expiring), 0
    for place, number in enumerate(wanted):
        for lot in range(place, len(lots)):
            eaten = min(number, lots[lot])
            lots[lot] -= eaten
            number -= eaten
        lost += lots[place]
        lots[place] = 0
    return lost


def test_every_course_of_things_counted_one_by_one() -> None:
    """Against all combinations of demands, each served portion by portion."""
    rng = random.Random(7)
    for _ in range(60):
        expiring = [rng.randrange(5) for _ in range(rng.randrange(1, 5))]
        demands = [some(rng) for _ in expiring]

        ways = itertools.product(*(enumerate(one.odds, one.first) for one in demands))
        total = 0.0
        for way in ways:
            chance = 1.0
            for _, odds in way:
                chance *= odds
            total += chance * outdated(expiring, tuple(number for number, _ in way))

        steps = [Step(n, one) for n, one in zip(expiring, demands, strict=True)]
        assert expected_outdating(steps) == pytest.approx(total, abs=1e-12)


def some(rng: random.Random) -> Demand:
    weights = [rng.random() for _ in range(4)]
    first = rng.randrange(2)
    return listed({first + n: one / sum(weights) for n, one in enumerate(weights)})


def test_one_fewer_and_one_more_are_beside_it() -> None:
    """D is 0 or 2, evenly, with one there: 0 made leaves 1 or is short of 1."""
    none, one = options(COIN, 0, usable=1)

    assert (none.make, none.short_odds, none.short, none.left) == (0, 0.5, 0.5, 0.5)
    assert (one.make, one.short_odds, one.short, one.left) == (1, 0, 0, 1)


def test_what_will_spoil_is_not_counted_on() -> None:
    (_, two, _) = options(certain(4), 2, usable=3, outdating=0.4)

    assert (two.make, two.short_odds, two.short, two.left) == (2, 0, 0, 0)
