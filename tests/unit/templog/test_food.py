"""Food behind air: the answer of a first-order lag, worked out by hand."""

import math

import numpy as np
import pytest

from lidclock.templog.course import Course, course_of
from lidclock.templog.food import course_behind, food_behind, peaks_behind
from unit.templog.conftest import FIVE_MINUTES

HALF_HOUR = 1800.0


def test_food_in_steady_air_is_as_warm_as_the_air(course):
    still = course({0: 4, 5: 4, 10: 4})

    assert food_behind(still, HALF_HOUR).tolist() == [4, 4, 4]


def test_after_one_time_constant_63_percent_of_a_step_are_done(course):
    """Air jumps from 0 to 10 within a second, and half an hour goes by."""
    air = course({0: 0, 1 / 60: 10, 15: 10, 30: 10})
    expected = 10 * (1 - math.exp(-1))

    assert food_behind(air, HALF_HOUR)[-1] == pytest.approx(expected, abs=0.004)


def test_air_that_warms_steadily_runs_ahead_by_its_slope_times_the_lag(course):
    """1 °C in 10 minutes, for hours: in the end the food is 3 °C behind."""
    air = course({5 * step: step / 2 for step in range(200)})

    assert air.temps[-1] - food_behind(air, HALF_HOUR)[-1] == pytest.approx(3.0)


def test_without_a_lag_food_is_air(course):
    air = course({0: 4, 5: 9, 10: 3})

    assert food_behind(air, 0.0).tolist() == [4, 9, 3]
    assert peaks_behind(air, 0.0).tolist() == [9, 9]


def test_the_peak_lies_where_falling_air_meets_the_food(course):
    """Against the equation itself, taken in small steps.

    Air rises from 4 to 14 in 5 minutes and falls back in 10: the food peaks inside
    the fall, not at a reading.
    """
    air = course({0: 4, 5: 14, 15: 4})
    lag, step = 600.0, 0.05
    at = np.arange(0, 900, step) + air.times[0]
    values = np.interp(at, air.times, air.temps)
    food, highest = 4.0, 4.0
    for value in values:
        food += (value - food) * step / lag
        highest = max(highest, food)

    peaks = peaks_behind(air, lag)

    assert peaks[1] == pytest.approx(highest, abs=0.001)
    assert peaks[1] > food_behind(air, lag).max() + 0.05


def test_a_gap_warms_the_food_all_the_way(series):
    """One reading of 9 before an hour of silence: the food is taken to be at 9."""
    air = course_of(series({0: 4, 5: 4, 6: 9, 70: 4}), FIVE_MINUTES)
    food = food_behind(air, HALF_HOUR)

    assert food[air.times == air.times[4]] == 9
    assert peaks_behind(air, HALF_HOUR)[3] == 9


@pytest.mark.parametrize("lag", [-1.0, math.nan, math.inf])
def test_a_lag_must_be_a_number(course, lag):
    with pytest.raises(ValueError, match="a lag must be a number"):
        peaks_behind(course({0: 4, 5: 4}), lag)


def test_the_food_curve_is_bent_between_readings_far_apart():
    """Air at 10 from 0 on, food from 0: after one lag 63.2 % of the way is done."""
    course = Course(
        np.array([0.0, 0.001, 36_000.0]), np.array([0.0, 10.0, 10.0]), np.zeros(2, bool)
    )
    cold = Course(course.times, -course.temps, course.is_gap)
    curve = course_behind(course, 1800.0, step_s=600.0)
    hot = course_behind(cold, 1800.0, step_s=600.0, is_floor=True)

    assert np.interp(1800.0, curve.times, curve.temps) == pytest.approx(6.32, abs=0.01)
    assert np.diff(curve.times).max() <= 600.0
    assert np.array_equal(hot.temps, -curve.temps)
