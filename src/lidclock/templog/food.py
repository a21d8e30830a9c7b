"""Food lags behind the air around it: opening a door is not yet warming the food."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from lidclock.kinetics.lag import lagged
from lidclock.templog.course import Course
from lidclock.templog.series import Floats

# A layer of 10 mm of wet food (3.8 MJ per m³ and K) with fridge air on both faces
# (10 W per m² and K): 3.8e6 * 0.010 / (2 * 10) = 1900 s. Our choice: half an hour, on
# the quick side, since thicker food lags more; each place can be told its own.
LAG_S = 1800.0
_HOUR_S = 3600.0


def peaks_behind(course: Course, lag_s: float = LAG_S) -> Floats:
    """How warm food behind this air gets between each two points.

    Parameters
    ----------
    course : the air, n points
    lag_s : time constant: after a step 63 % of the way is done in it; 0 for none  [s]

    Returns
    -------
    (n - 1,) array  [°C]
        The highest temperature in each piece. In a gap the food is taken to have
        followed all the way to the warmer of the two readings, if it was not warmer.

    Raises
    ------
    ValueError
        If the lag is no number, or below 0.

    Notes
    -----
    ``lag dF/dt = A - F`` with A linear of slope s has the exact answer
    ``F = A - s lag + (F0 - A0 + s lag) exp(-t / lag)``; F is highest where it meets A.
    The food begins at the temperature of the air. One time constant fits a small
    body; the middle of a deep pan lags more. It tells a spike from warming and moves no
    limit: hours are charged by the air.
    """
    if not (math.isfinite(lag_s) and lag_s >= 0):
        raise ValueError(f"a lag must be a number, not below 0: {lag_s}")
    if len(course) < 2:
        return np.empty(0)
    air, food = course.temps, food_behind(course, lag_s)
    peaks = np.maximum(food[:-1], food[1:])
    if lag_s > 0:
        length = np.diff(course.times)
        drift = np.diff(air) / length * lag_s
        behind = food[:-1] - air[:-1] + drift
        # Falling air meets the food at the logarithm of this ratio, if that is above 0.
        meets = np.flatnonzero((drift < 0) & (behind < drift))
        after = lag_s * (np.log(-behind[meets]) - np.log(-drift[meets]))
        at_meeting = air[meets] + drift[meets] * (after / lag_s)
        is_inside = after < length[meets]
        meets, at_meeting = meets[is_inside], at_meeting[is_inside]
        peaks[meets] = np.maximum(peaks[meets], at_meeting)
    in_gap = np.maximum(peaks, np.maximum(air[:-1], air[1:]))
    return np.where(course.is_gap, in_gap, peaks)


def course_behind(
    course: Course, lag_s: float, *, step_s: float, is_floor: bool = False
) -> Course:
    """How warm food behind this air is, with a point every `step_s` at least  [s].

    For a hot hold (`is_floor`) a gap leaves it as cool as the cooler reading beside it.
    """
    if is_floor:
        return course_behind(course.mirrored(), lag_s, step_s=step_s).mirrored()
    if not len(course):
        return course
    steps = np.arange(course.times[0], course.times[-1], step_s)
    fine = course.through(np.union1d(course.times, steps))
    return Course(fine.times, food_behind(fine, lag_s), fine.is_gap)


def food_behind(course: Course, lag_s: float = LAG_S) -> Floats:
    """The temperature of the food at each point of a course  [°C]."""
    air, times = course.temps, course.times
    if lag_s == 0 or not len(course):
        return air.copy()
    food, hours = np.empty(len(course)), (times - times[0]) / _HOUR_S
    edges = [0, *(np.flatnonzero(course.is_gap) + 1), len(course)]
    start = float(air[0])
    for first, end in pairwise(edges):
        if first:
            # Nobody measured: long enough for the food to follow all the way.
            start = max(food[first - 1], air[first - 1], air[first])
        run = slice(first, end)
        food[run] = lagged(hours[run], air[run], lag_s / _HOUR_S, start)
    return food
