"""Readings in a time without power: what they speak for, and what they do not.

Hours of a cut that lasts from 0 to 6; the fridge is held to 4.4 °C.
"""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.templog.outage import OutageReadings, framed
from lidclock.templog.series import Series

LIMIT_C = 4.4
ENDED_H = 6


def series(*readings):
    """Readings as (hour, °C)."""
    hours, temps = zip(*readings, strict=True) if readings else ((), ())
    return Series(np.asarray(hours, float) * 3600, np.asarray(temps, float))


def told(*sensors, wait_h=1.0):
    """The readings of some sensors, framed by the cut."""
    return OutageReadings(
        0.0,
        ENDED_H * 3600.0,
        tuple(
            framed(series(*x), 0.0, ENDED_H * 3600.0, wait_h * 3600) for x in sensors
        ),
    )


def hours(readings, *window):
    seen = readings.seen(LIMIT_C, *(3600.0 * x for x in window))
    return seen.above_h, seen.unknown_h


@pytest.mark.parametrize(
    ("readings", "expected"),
    [
        ([], (0, 6)),
        ([(6, 4.0)], (0, 0)),
        ([(6, 4.4)], (0, 0)),
        ([(6, 4.5)], (6, 0)),
        ([(2, 4.0)], (0, 4)),
        ([(2, 9.0)], (6, 0)),
        ([(1, 4.0), (3, 6.0), (5, 4.0)], (4, 1)),
        ([(1, 3.0), (2, 4.0), (3, 6.0), (6, 9.0)], (4, 0)),
    ],
)
def test_a_cold_reading_speaks_for_the_time_before_it_only(readings, expected):
    assert hours(told(readings)) == pytest.approx(expected)


def test_of_several_sensors_the_worst_counts():
    assert hours(told([(6, 3.0)], [(2, 6.0), (3, 4.0), (6, 4.0)])) == (3, 0)


def test_where_one_sensor_falls_silent_the_other_counts():
    assert hours(told([(1, 3.0)], [(5, 3.0)])) == (0, 1)


def test_a_warm_reading_before_the_cut_counts_from_its_beginning():
    assert hours(told([(-0.5, 6.0), (2, 4.0)])) == (2, 4)


def test_a_cold_reading_before_the_cut_speaks_for_nothing():
    assert hours(told([(-0.5, 3.0)])) == (0, 6)
    assert told([(-0.5, 3.0)]).seen(LIMIT_C).peak_c == 3.0


def test_a_reading_long_before_the_cut_is_left_out():
    assert hours(told([(-3, 6.0), (2, 4.0)])) == (0, 4)


def test_after_the_power_came_back_only_a_warm_reading_counts():
    assert hours(told([(2, 3.0), (6.2, 4.0)])) == (0, 4)
    assert hours(told([(2, 3.0), (6.2, 7.0)])) == (4, 0)
    assert hours(told([(2, 3.0), (8, 7.0)])) == (0, 4)


def test_a_part_of_the_cut_is_told_by_readings_around_it():
    readings = told([(1, 3.0), (5, 8.0)])

    assert hours(readings, 0, 1) == (0, 0)
    assert hours(readings, 2, 3) == (1, 0)
    assert hours(readings, 3, 3) == (0, 0)
    assert readings.seen(LIMIT_C, 3600 * 2, 3600 * 3).peak_c is None


def test_it_counts_its_readings_and_the_longest_silence():
    readings = told([(-0.5, 3.0), (1, 3.0), (5, 8.0), (6.5, 4.0)])

    assert (readings.count, readings.peak_c, readings.silent_h) == (2, 8.0, 4)


points = st.lists(
    st.tuples(st.integers(-10, 80), st.floats(-5, 20)), unique_by=lambda one: one[0]
).map(lambda found: sorted((tenth / 10, temp_c) for tenth, temp_c in found))


@given(st.lists(points, max_size=3))
def test_what_is_told_never_exceeds_the_cut(sensors):
    above_h, unknown_h = hours(told(*sensors))

    assert above_h >= 0
    assert unknown_h >= 0
    assert above_h + unknown_h <= ENDED_H + 1e-9


@given(st.lists(points, min_size=1, max_size=3), st.floats(0, 5))
def test_warmer_readings_never_count_for_less(sensors, rise_c):
    warmer = [[(at, temp_c + rise_c) for at, temp_c in one] for one in sensors]
    (above_h, unknown_h), (more_h, _) = hours(told(*sensors)), hours(told(*warmer))

    assert more_h >= above_h - 1e-9
    assert sum(hours(told(*warmer))) >= above_h + unknown_h - 1e-9


@given(points, st.floats(0.1, 5.9), st.floats(0.1, 5.9))
def test_two_parts_are_together_the_whole(readings, one_h, other_h):
    cut = sorted({0.0, one_h, other_h, 6.0})
    parts = [hours(told(readings), began, ended) for began, ended in pairwise(cut)]

    assert [sum(one) for one in zip(*parts, strict=True)] == pytest.approx(
        hours(told(readings))
    )
