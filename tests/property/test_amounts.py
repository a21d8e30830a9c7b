"""What holds for every demand, stock and record."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from lidclock.plan.demand import Demand, counted, listed
from lidclock.plan.forecast import MONTH, NAIVE, OURS, choose, croston, expected
from lidclock.plan.keep import keep
from lidclock.plan.newsvendor import NormalDemand
from lidclock.plan.par import Step, expected_outdating, options, to_make

MEANS = st.floats(0, 1_000)
SMALL = st.floats(0, 15)
TIMES = st.floats(1, 8)
SHARES = st.floats(0.01, 0.999)
MONEY = st.floats(0, 1e6)
RECORDS = st.lists(st.none() | st.integers(0, 30), max_size=80)


@st.composite
def any_demand(draw: st.DrawFn) -> Demand:
    """A count of any mean and spread, or a list of a few numbers."""
    if draw(st.booleans()):
        mean = draw(SMALL)
        return counted(mean, mean * draw(TIMES)).plus(draw(st.integers(0, 5)))
    weights = draw(st.dictionaries(st.integers(0, 30), st.floats(0.01, 1), min_size=1))
    total = sum(weights.values())
    return listed({number: weight / total for number, weight in weights.items()})


@given(MEANS, TIMES)
def test_odds_are_odds_whatever_the_mean(mean: float, times: float) -> None:
    demand = counted(mean, mean * times)
    number = demand.quantile(0.5)

    assert abs(demand.mean - mean) <= 1e-9 * max(1.0, mean)
    assert abs(demand.at_most(number) + demand.at_least(number + 1) - 1) < 1e-9
    assert demand.at_most(number) >= 0.5 - 1e-9
    assert number == 0 or demand.at_most(number - 1) < 0.5 + 1e-9


@given(any_demand(), SHARES, SHARES)
def test_a_higher_share_never_asks_for_less(
    demand: Demand, one: float, other: float
) -> None:
    low, high = sorted((one, other))

    assert demand.quantile(low) <= demand.quantile(high)
    assert demand.at_most(demand.quantile(high)) >= high - 1e-9


@given(any_demand(), st.integers(0, 40), MONEY, MONEY)
def test_every_portion_is_kept_or_frozen(
    demand: Demand, portions: int, worth: float, freezing: float
) -> None:
    kept = keep(portions, demand, worth, freezing)

    assert kept.keep + kept.freeze == portions
    assert 0 <= kept.keep <= portions
    assert all(0 <= odds <= 1 for odds in kept.odds)
    assert all(one >= later - 1e-12 for one, later in pairwise(kept.odds))
    assert all(one <= later + 1e-12 for one, later in pairwise((0.0, *kept.left)))


@given(any_demand(), st.integers(0, 40), st.floats(0.1, 10), SHARES, SHARES)
def test_dearer_freezing_never_freezes_more(
    demand: Demand, portions: int, worth: float, one: float, other: float
) -> None:
    low, high = sorted((one, other))
    cheap = keep(portions, demand, worth, low * worth)

    assert cheap.freeze >= keep(portions, demand, worth, high * worth).freeze


@given(st.lists(st.tuples(st.integers(0, 8), any_demand()), max_size=4))
def test_no_more_passes_its_last_moment_than_there_is(
    stock: list[tuple[int, Demand]],
) -> None:
    steps = [Step(number, demand) for number, demand in stock]
    total = sum(number for number, _ in stock)
    wanted = sum(demand.mean for _, demand in stock)

    wasted = expected_outdating(steps)

    assert -1e-9 <= wasted <= total + 1e-9
    assert wasted >= total - wanted - 1e-6
    # If each lot had all that is wanted up to its end to itself, less would be wasted.
    alone = 0.0
    so_far = listed({0: 1.0})
    for number, demand in stock:
        so_far = so_far.and_also(demand)
        alone += so_far.expected_left(number)
    assert wasted >= alone - 1e-6


@given(any_demand(), SHARES, st.integers(0, 60), st.floats(0, 1))
def test_what_is_made_and_there_is_enough(
    demand: Demand, share: float, usable: int, spoilt: float
) -> None:
    outdating = spoilt * usable

    make = to_make(demand, share, usable, outdating)

    assert make >= 0
    assert make + usable - outdating >= demand.quantile(share) - 1e-6
    assert make == 0 or make - 1 + usable - outdating < demand.quantile(share)
    shown = options(demand, make, usable, outdating)
    assert make in [one.make for one in shown]
    for one, more in pairwise(shown):
        assert one.short_odds >= more.short_odds
        assert one.short >= more.short - 1e-9
        assert one.left <= more.left + 1e-9


@given(MEANS, st.floats(0, 1_000), SHARES)
def test_whole_portions_are_the_least_that_are_enough(
    mean: float, spread: float, share: float
) -> None:
    demand = NormalDemand(mean, spread)

    portions = demand.portions(share)

    # A hair of a portion above a whole one is no portion more.
    assert demand.enough(portions + 1e-9 * max(1.0, mean)) >= share - 1e-9
    if portions:
        assert demand.amount(share) > portions - 1 - 1e-6


@given(RECORDS, SHARES)
def test_ours_is_never_chosen_where_it_loses(
    record: list[int | None], share: float
) -> None:
    chosen = choose(record, share)

    assert chosen.shows_ours == (chosen.method == OURS)
    assert chosen.claims or chosen.method == MONTH
    if chosen.method == OURS:
        for naive in NAIVE:
            assert chosen.errors[OURS].absolute <= chosen.errors[naive].absolute
            assert chosen.errors[OURS].pinball <= chosen.errors[naive].pinball


@given(RECORDS)
def test_no_forecast_lies_outside_of_what_was_seen(record: list[int | None]) -> None:
    seen = [number for number in record if number is not None]
    for method in (OURS, *NAIVE):
        mean = expected(method, record)
        assert mean is None or 0 <= mean <= max(seen, default=0) + 1e-9
    rate = croston(seen)
    assert rate is None or rate.gap >= 1
