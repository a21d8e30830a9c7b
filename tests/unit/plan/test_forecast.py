"""Forecasts of a kitchen's own record; the published series is in tests/external."""

import random

import pytest

from lidclock.plan.forecast import (
    MONTH,
    OURS,
    WEEK,
    choose,
    count_of,
    croston,
    dispersion,
    errors_of,
    expected,
    pinball,
)


def test_croston_by_hand() -> None:
    """Sizes 4, 2; gaps 2, 3: 4 + 0.1 x (2 - 4) = 3.8 and 2 + 0.1 x (3 - 2) = 2.1."""
    known = croston([0, 4, 0, 0, 2, 0])

    assert (known.size, known.gap) == pytest.approx((3.8, 2.1))
    assert known.corrected == pytest.approx(3.8 / 2.1 * 0.95)


def test_a_demand_every_day_is_smoothed_without_correction() -> None:
    """4, then 2: 4 + 0.1 x (2 - 4)."""
    assert croston([4, 2]).corrected == pytest.approx(3.8)


def test_no_demand_has_no_rate() -> None:
    assert croston([]) is None
    assert croston([0, 0]) is None
    assert expected(OURS, [0, 0]) == 0
    assert expected(OURS, []) is None


def test_last_week_is_the_same_weekday_or_an_earlier_one_that_tells() -> None:
    record = [1, 2, 3, 4, 5, 6, 7, 8, None, 10, 11, 12, 13, 14]

    assert [expected(WEEK, record, ahead) for ahead in range(8)] == [
        *(8, 2, 10, 11, 12, 13, 14, 8)
    ]
    assert expected(WEEK, [None] * 7) is None
    assert expected(WEEK, [3]) is None


def test_four_weeks_are_the_mean_of_the_days_that_say_something() -> None:
    record = [100, *[None] * 26, 3, 5]

    assert expected(MONTH, record) == 4
    assert expected(MONTH, [None]) is None


def test_a_day_without_stock_is_no_day_without_demand() -> None:
    """Six portions on three of three days that say something."""
    with_gaps = [2, None, 2, None, None, 2]

    assert expected(OURS, with_gaps) == 2
    assert expected(MONTH, with_gaps) == 2


def test_dispersion_is_variance_over_mean_and_at_least_one() -> None:
    """0, 0, 6: mean 2, variance (4 + 4 + 16)/2 = 12."""
    assert dispersion([0, 0, 6]) == 6
    assert dispersion([0, None, 0, 6]) == 6
    assert dispersion([2, 2, 2]) == 1
    assert dispersion([0, 0]) == dispersion([5]) == dispersion([]) == 1


def test_a_count_varies_as_the_record_does() -> None:
    demand = count_of(6, 14 / 6)

    assert demand.mean == pytest.approx(6)
    assert demand.variance == pytest.approx(14)


def test_the_pinball_loss_weighs_short_and_over() -> None:
    """At 95 % each one short weighs 0.95, each one over 0.05."""
    assert pinball(12, 10, 0.95) == pytest.approx(1.9)
    assert pinball(6, 10, 0.95) == pytest.approx(0.2)


def test_the_pinball_loss_is_least_at_the_quantile() -> None:
    demand = count_of(6, 2)
    losses = [
        sum(
            odds * pinball(number, quantile, 0.9)
            for number, odds in enumerate(demand.odds, demand.first)
        )
        for quantile in range(25)
    ]

    assert losses.index(min(losses)) == demand.quantile(0.9)


def test_errors_are_made_with_what_came_before_only() -> None:
    """A jump on the last day is seen by no method: each is off by all of it."""
    calm = errors_of([2] * 56, 0.95)
    jump = errors_of([*[2] * 55, 30], 0.95)

    for method in (OURS, WEEK, MONTH):
        assert calm[method].absolute == pytest.approx(0, abs=1e-12)
        assert jump[method].absolute == pytest.approx(1)
        assert jump[method].days == 28


def test_days_that_say_nothing_are_not_tried() -> None:
    record = [2] * 50 + [None] * 6

    assert errors_of(record, 0.95)[OURS].days == 22
    assert errors_of([None] * 60, 0.95) == {}
    assert errors_of([], 0.95) == {}


def test_under_eight_weeks_nothing_is_claimed() -> None:
    chosen = choose([3] * 55, 0.95)

    assert (chosen.method, chosen.weeks, chosen.errors) == (MONTH, 7, {})
    assert not chosen.claims
    assert not chosen.shows_ours


def test_a_weekly_rhythm_is_last_weeks_and_ours_is_hidden() -> None:
    chosen = choose([0, 0, 0, 0, 0, 9, 0] * 8, 0.95)

    assert chosen.method == WEEK
    assert chosen.claims
    assert not chosen.shows_ours
    assert chosen.errors[WEEK].absolute == 0


def test_where_all_are_equally_right_ours_loses_to_none() -> None:
    chosen = choose([3] * 56, 0.95)

    assert chosen.method == OURS
    assert chosen.shows_ours


def test_ours_is_shown_only_where_it_beats_both_in_both() -> None:
    """Over many records: never with an error above that of a naive one."""
    rng, shown = random.Random(3), 0
    for _ in range(40):
        chosen = choose([rng.randrange(5) for _ in range(56)], 0.9)
        if chosen.shows_ours:
            shown += 1
            ours = chosen.errors[OURS]
            assert chosen.method == OURS
            for naive in (WEEK, MONTH):
                assert ours.absolute <= chosen.errors[naive].absolute
                assert ours.pinball <= chosen.errors[naive].pinball
        else:
            assert chosen.method != OURS
    assert 0 < shown < 40


def test_a_record_without_a_day_that_says_something_claims_nothing() -> None:
    assert not choose([None] * 70, 0.95).claims


def test_thirteen_days_that_say_something_compare_nothing() -> None:
    assert not choose([2] * 41 + [None] * 15, 0.95).claims
    assert choose([2] * 42 + [None] * 14, 0.95).claims


def test_errors_of_large_kitchens_go_by_the_normal_distribution() -> None:
    """1200 a day for certain, at 95 %: 1200 + 1.645 x sqrt(1200) = 1257 are too many.

    Each of the 57 weighs 0.05.
    """
    errors = errors_of([1200] * 56, 0.95)

    assert errors[MONTH].pinball == pytest.approx(57 * 0.05)
    assert count_of(1200, 1).quantile(0.95) == 1257
