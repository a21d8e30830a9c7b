"""The cooling estimate on made-up readings whose answer is known by hand."""

import math

import pytest

from lidclock.heat.cooling import (
    ON_COURSE,
    TOO_SLOW,
    UNCERTAIN,
    Crossing,
    crossing,
    curve,
    fit,
    foresee,
    lag_h,
    required_rate,
    two_point_rate,
)

MEDIUM_C = 3.0
HALF_HOURS = (0.5, 1.0, 1.5)


def cooling(time_h, rate=0.6, from_c=57.2, medium_c=MEDIUM_C):
    return medium_c + (from_c - medium_c) * math.exp(-rate * time_h)


def fitted(times_h, *, rate=0.6, medium_c=MEDIUM_C, **more):
    temps = [cooling(t, rate, medium_c=medium_c) for t in times_h]
    return fit(times_h, temps, medium_c, **more)


def test_the_middle_time_is_that_of_the_curve_the_readings_lie_on():
    """ln(54.2 / 18.1) / 0.6 = 1.828 h to 21.1 °C."""
    assert crossing(fitted(HALF_HOURS), 21.1).middle_h == pytest.approx(1.828, abs=0.01)


def test_the_band_holds_the_middle_between_early_and_late():
    found = crossing(fitted(HALF_HOURS), 5.0)

    assert found.early_h < found.middle_h < found.late_h


def test_the_same_readings_always_give_the_same_times():
    assert crossing(fitted(HALF_HOURS), 5.0) == crossing(fitted(HALF_HOURS), 5.0)


def test_readings_further_apart_narrow_the_band():
    near, far = fitted((0.5, 0.6)), fitted((0.5, 1.5))
    widths = [
        one.late_h - one.early_h for one in (crossing(x, 21.1) for x in (near, far))
    ]

    assert widths[1] < widths[0] / 2


def test_readings_that_scatter_widen_the_band():
    temps = [cooling(t) for t in HALF_HOURS]
    noisy = [temps[0] + 4, temps[1] - 4, temps[2] + 4]
    calm = crossing(fit(HALF_HOURS, temps, MEDIUM_C), 21.1)
    wild = crossing(fit(HALF_HOURS, noisy, MEDIUM_C), 21.1)

    assert wild.late_h - wild.early_h > 2 * (calm.late_h - calm.early_h)


def test_a_medium_of_unknown_temperature_decides_the_last_degrees():
    """Near the medium the band is far wider than its noise alone would make it."""
    found = crossing(fitted(HALF_HOURS), 5.0)

    noise_alone = 0.25  # hours, half the band of the source for an exact medium

    assert found.late_h - found.middle_h > 4 * noise_alone


@pytest.mark.parametrize("medium_c", [5.0, 5.1, 12.0])
def test_a_medium_at_the_limit_never_brings_food_below_it(medium_c):
    found = fitted(HALF_HOURS, medium_c=medium_c)

    assert crossing(found, 5.0) == Crossing(math.inf, math.inf, math.inf)


def test_a_medium_just_below_the_limit_may_never_bring_it_there():
    found = crossing(fitted(HALF_HOURS, medium_c=4.6), 5.0)

    assert math.isfinite(found.middle_h)
    assert math.isinf(found.late_h)


def test_food_that_does_not_cool_is_not_expected_to():
    """Its noise leaves a slight chance, days away."""
    found = crossing(fit((0.5, 1.0, 1.5), (50, 50.2, 50.4), MEDIUM_C), 21.0)

    assert math.isinf(found.middle_h)
    assert found.early_h > 24


def test_readings_before_the_lag_are_left_out():
    found = fitted((0.0, 0.1, 0.5, 1.0), after_h=0.25)

    assert (found.used, found.is_rough) == (2, False)


def test_one_reading_after_the_lag_makes_a_rough_estimate_with_the_one_before():
    found = fitted((0.0, 0.1, 0.75), after_h=0.25)

    assert (found.used, found.is_rough) == (2, True)


@pytest.mark.parametrize("times", [(), (0.5,), (0.0, 0.1, 0.2)])
def test_too_few_readings_give_no_estimate(times):
    assert fitted(times, after_h=0.25) is None


def test_readings_no_warmer_than_the_medium_say_nothing():
    found = fit((1.0, 2.0), (2.0, 1.0), MEDIUM_C)

    assert math.isinf(crossing(found, 21.0).early_h)


def test_times_must_increase():
    with pytest.raises(ValueError, match="increase"):
        fit((1.0, 1.0), (50.0, 40.0), MEDIUM_C)


def test_each_time_needs_its_temperature():
    with pytest.raises(ValueError, match="2 times for 1"):
        fit((1.0, 2.0), (50.0,), MEDIUM_C)


def test_an_unknown_depth_lags_like_the_deepest_pan():
    assert lag_h(None) == lag_h(100.0)


@pytest.mark.parametrize("depth_mm", [0.0, -5.0, math.nan])
def test_a_depth_that_is_none_is_refused(depth_mm):
    with pytest.raises(ValueError, match="positive"):
        lag_h(depth_mm)


def test_nothing_is_required_of_food_that_is_cold_already():
    assert required_rate(4.0, 5.0, 6.0, 3.0) == 0.0


def test_no_rate_is_enough_where_the_medium_is_at_the_limit():
    assert math.isinf(required_rate(57.2, 5.0, 6.0, 5.0))


def test_hours_must_be_positive():
    with pytest.raises(ValueError, match="positive"):
        required_rate(57.2, 5.0, 0.0, 3.0)


@pytest.mark.parametrize("pair", [(57.0, 3.0), (3.0, 2.0)])
def test_two_points_lie_above_the_medium(pair):
    with pytest.raises(ValueError, match="above the medium"):
        two_point_rate(*pair, 1.0, 3.0)


@pytest.mark.parametrize(
    ("early_h", "late_h", "expected"),
    [
        (1.0, 2.0, ON_COURSE),
        (1.0, 2.1, UNCERTAIN),
        (2.0, 3.0, UNCERTAIN),
        (2.1, 3.0, TOO_SLOW),
        (math.inf, math.inf, TOO_SLOW),
    ],
)
def test_on_course_takes_the_late_time_and_too_slow_the_early_one(
    early_h, late_h, expected
):
    assert foresee(Crossing(early_h, early_h, late_h), 2.0, 2.0) == expected


def test_a_stage_that_may_turn_out_due_sooner_is_on_course_by_that():
    one = Crossing(1.0, 1.5, 1.8)

    assert foresee(one, 1.7, 2.0) == UNCERTAIN


def test_a_figure_gets_readings_stages_and_the_band_around_the_curve():
    times = (0.0, *HALF_HOURS)
    temps = [cooling(t) for t in times]
    found = curve(times, temps, MEDIUM_C, [(2.0, 21.1), (6.0, 5.0)], after_h=0.25)

    assert found.is_used == (False, True, True, True)
    assert found.stages == ((2.0, 21.1), (6.0, 5.0))
    assert (found.grid_h[0], found.grid_h[-1]) == (0.5, 6.0)
    for time_h, low, middle, high in zip(
        found.grid_h, found.low_c, found.middle_c, found.high_c, strict=True
    ):
        assert low < middle < high
        assert middle == pytest.approx(cooling(time_h), abs=0.15)


def test_the_band_of_a_figure_crosses_a_stage_when_the_estimate_says():
    times = HALF_HOURS
    temps = [cooling(t) for t in times]
    found = curve(times, temps, MEDIUM_C, [(4.0, 21.1)], points=701)
    late_h = next(
        t for t, c in zip(found.grid_h, found.high_c, strict=True) if c <= 21.1
    )

    assert late_h == pytest.approx(
        crossing(fit(times, temps, 3.0), 21.1).late_h, abs=0.02
    )


def test_a_figure_without_an_estimate_still_shows_the_readings():
    found = curve((0.0,), (57.2,), MEDIUM_C, [(2.0, 21.1)])

    assert (found.temps_c, found.is_used, found.grid_h) == ((57.2,), (False,), ())
