"""Distributions of demand, against scipy's and against sums done by hand.

scipy has its own series for every one of these; the two share no code.
"""

import math

import pytest
import scipy.stats

from lidclock.plan.demand import (
    MOST,
    Demand,
    certain,
    counted,
    eaters,
    listed,
    poisson,
    seen,
)

MEANS = [1e-9, 0.001, 0.3, 1, 4.8, 6, 37.5, 400, 10_000]
QUARTERS = listed({0: 0.25, 1: 0.25, 2: 0.25, 3: 0.25})


def near(mean: float, variance: float) -> list[int]:
    """Numbers around the mean, and far out on both sides."""
    sd = math.sqrt(variance)
    return sorted({max(0, math.floor(mean + z * sd)) for z in (-6, -2, 0, 1, 3, 7)})


@pytest.mark.parametrize("mean", MEANS)
def test_poisson_has_the_tails_of_scipy_to_twelve_digits(mean: float) -> None:
    ours, theirs = poisson(mean), scipy.stats.poisson(mean)

    for number in near(mean, mean):
        assert ours.at_most(number) == pytest.approx(theirs.cdf(number), rel=1e-12)
        assert ours.at_least(number + 1) == pytest.approx(theirs.sf(number), rel=1e-12)
    assert ours.mean == pytest.approx(mean, rel=1e-12)
    assert ours.variance == pytest.approx(mean, rel=1e-10)


@pytest.mark.parametrize("mean", MEANS)
@pytest.mark.parametrize("times", [1.2, 14 / 6, 40])
def test_what_varies_more_is_scipys_negative_binomial(
    mean: float, times: float
) -> None:
    ours = counted(mean, mean * times)
    theirs = scipy.stats.nbinom(mean / (times - 1), 1 / times)

    for number in near(mean, mean * times):
        assert ours.at_most(number) == pytest.approx(theirs.cdf(number), rel=1e-11)
        assert ours.at_least(number + 1) == pytest.approx(theirs.sf(number), rel=1e-11)
    assert ours.mean == pytest.approx(mean, rel=1e-12)
    assert ours.variance == pytest.approx(mean * times, rel=1e-9)


@pytest.mark.parametrize("mean", MEANS)
@pytest.mark.parametrize("share", [0.001, 0.25, 0.5, 0.95, 0.999])
def test_quantiles_are_those_of_scipy(mean: float, share: float) -> None:
    expected = (
        scipy.stats.poisson.ppf(share, mean),
        scipy.stats.nbinom.ppf(share, mean / 1.5, 1 / 2.5),
    )

    result = (
        poisson(mean).quantile(share),
        counted(mean, 2.5 * mean).quantile(share),
    )

    assert result == expected


def test_a_variance_a_hair_above_the_mean_is_no_cliff() -> None:
    """The textbook's r = m^2/(v - m) loses seven digits here."""
    plain, close = poisson(400), counted(400, 400 * (1 + 1e-9))

    assert close.at_least(460) == pytest.approx(plain.at_least(460), rel=1e-6)


def test_a_variance_below_the_mean_is_taken_as_the_mean() -> None:
    assert counted(6, 2) == poisson(6)


def test_no_demand_wants_nothing() -> None:
    none = poisson(0)

    assert (none.at_least(0), none.at_least(1)) == (1, 0)
    assert (none.quantile(0), none.quantile(1), none.mean) == (0, 0, 0)
    assert none.expected_left(4) == 4


def test_what_is_left_and_short_of_four_equal_numbers() -> None:
    """Of two kept: left 2, 1, 0, 0 and short 0, 0, 0, 1, each a quarter of the time."""
    assert QUARTERS.expected_left(2) == pytest.approx(3 / 4)
    assert QUARTERS.expected_short(2) == pytest.approx(1 / 4)
    assert QUARTERS.expected_left(0) == 0
    # All four numbers and one more: 5 - 1.5.
    assert QUARTERS.expected_left(5) == pytest.approx(3.5)
    assert QUARTERS.expected_short(5) == 0


@pytest.mark.parametrize("kept", [0, 3, 6, 7, 12, 40, 400])
def test_left_less_short_is_kept_less_wanted(kept: int) -> None:
    """(Q - D)+ - (D - Q)+ = Q - D, so the means differ by Q - E[D]."""
    demand = counted(6, 14)

    result = demand.expected_left(kept) - demand.expected_short(kept)

    assert result == pytest.approx(kept - 6, abs=1e-9)


def test_a_share_that_is_just_met_is_met() -> None:
    """0.1 + 0.2 is a little more than 0.3 in 64 bits, and 0.7 + 0.1 less than 0.8."""
    demand = listed({3: 0.7, 4: 0.1, 9: 0.2})

    assert demand.quantile(0.8) == 4
    assert demand.quantile(0.8 + 1e-6) == 9


def test_planned_portions_are_certain() -> None:
    demand = poisson(1.5).plus(4)

    assert (demand.at_least(4), demand.at_most(3)) == (1, 0)
    assert demand.at_least(5) == poisson(1.5).at_least(1)
    assert demand.mean == pytest.approx(5.5)


def test_two_poisson_demands_add_up_to_one() -> None:
    both = poisson(2.5).and_also(poisson(3.5))

    for number in range(25):
        assert both.at_least(number) == pytest.approx(
            poisson(6).at_least(number), rel=1e-10
        )


def test_adding_none_for_certain_changes_nothing() -> None:
    assert certain(0).and_also(QUARTERS) == QUARTERS.and_also(certain(0)) == QUARTERS


def test_what_was_seen_has_its_own_odds() -> None:
    demand = seen([0, 2, 2, 5])

    assert [demand.at_least(number) for number in range(7)] == [
        *(1, 0.75, 0.75, 0.25, 0.25, 0.25, 0)
    ]


def test_eaters_are_whole_and_keep_mean_and_spread() -> None:
    """Rounding to whole numbers adds a variance of 1/12 (Sheppard, 1898; memory)."""
    demand = eaters(112, 6)

    assert demand.mean == pytest.approx(112, abs=1e-9)
    assert demand.variance == pytest.approx(36 + 1 / 12, abs=1e-6)
    # Half an eater above 117: z = 5.5/6.
    assert demand.at_most(117) == pytest.approx(scipy.stats.norm.cdf(5.5 / 6))


def test_eaters_below_none_are_none() -> None:
    demand = eaters(0.3, 2)

    assert demand.first == 0
    assert demand.at_most(0) == pytest.approx(scipy.stats.norm.cdf(0.1))


@pytest.mark.parametrize(("mean", "whole"), [(4, 4), (4.4, 4), (4.5, 5), (0, 0)])
def test_eaters_without_a_spread_are_certain(mean: float, whole: int) -> None:
    assert eaters(mean, 0) == certain(whole)


@pytest.mark.parametrize(
    "make",
    [
        lambda: poisson(-1),
        lambda: poisson(math.nan),
        lambda: poisson(MOST + 1),
        lambda: counted(3, math.inf),
        lambda: counted(3, math.nan),
        lambda: listed({}),
        lambda: listed({1: 0.5}),
        lambda: listed({1: 1.5, 2: -0.5}),
        lambda: listed({-1: 1.0}),
        lambda: listed({0: 0.5, 10**9: 0.5}),
        lambda: eaters(math.nan, 1),
        lambda: eaters(3, -1),
        lambda: Demand(0, (math.nan, 1.0)),
        lambda: poisson(3).quantile(1.01),
        lambda: poisson(3).quantile(math.nan),
    ],
)
def test_what_is_no_demand_is_refused(make) -> None:
    with pytest.raises(ValueError):  # noqa: PT011 - any of their words will do
        make()
