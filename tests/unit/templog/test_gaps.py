"""Gaps by the expected interval, and silence as time goes by."""

from datetime import timedelta

import numpy as np
import pytest

from lidclock.templog.course import EMPTY_COURSE, Course, course_of
from lidclock.templog.gaps import (
    GAP_FACTOR,
    TYPED_FACTOR,
    UNKNOWN_INTERVAL_S,
    Pace,
    gaps_of,
    pace_of,
    silence_of,
    unmeasured,
)
from lidclock.templog.series import EMPTY
from unit.templog.conftest import FIVE_MINUTES, after


def found_gaps(series, pace=FIVE_MINUTES):
    return [(one.began, one.ended) for one in gaps_of(course_of(series, pace))]


def test_three_expected_intervals_are_no_gap_and_more_are(series):
    """A reading counts for its interval of 5 minutes, and the gap begins then."""
    assert found_gaps(series({0: 4, 15: 4})) == []
    assert found_gaps(series({0: 4, 16: 4})) == [(after(5), after(16))]


def test_every_gap_is_found(series):
    read = series({0: 4, 5: 4, 60: 5, 65: 5, 200: 4})

    assert found_gaps(read) == [(after(10), after(60)), (after(70), after(200))]


def test_a_pace_that_is_set_wins():
    assert pace_of(EMPTY, 60.0) == Pace(60.0, GAP_FACTOR)


def test_a_pace_is_guessed_as_the_median(series):
    """Intervals of 5, 5, 5, 5 and 100 minutes: the median is 5."""
    read = series({0: 4, 5: 4, 10: 4, 15: 4, 20: 4, 120: 4})

    assert pace_of(read) == Pace(300.0, GAP_FACTOR, is_guessed=True)


@pytest.mark.parametrize("readings", [{}, {0: 4}, {0: 4, 1: 4}])
def test_too_few_readings_guess_nothing(series, readings):
    assert pace_of(series(readings)).interval_s == UNKNOWN_INTERVAL_S


def test_a_person_who_misses_a_look_leaves_a_gap():
    pace = pace_of(EMPTY, 12 * 3600.0, is_typed=True)

    assert pace.factor == TYPED_FACTOR
    assert pace.longest_s == 18 * 3600


def test_a_pace_needs_some_time():
    with pytest.raises(ValueError, match="no pace"):
        Pace(0.0)


def test_silence_becomes_an_alarm_after_three_intervals():
    assert not silence_of(after(0), after(15), FIVE_MINUTES).is_alarm
    assert silence_of(after(0), after(16), FIVE_MINUTES).is_alarm


def test_silence_says_how_long_it_has_lasted():
    silence = silence_of(after(0), after(190), FIVE_MINUTES)

    assert silence.lasted == timedelta(hours=3, minutes=10)
    assert silence.longest == timedelta(minutes=15)


def test_a_reading_from_a_clock_ahead_is_no_silence():
    assert silence_of(after(10), after(0), FIVE_MINUTES).lasted == timedelta(0)


def test_time_before_and_after_the_readings_was_not_measured_either():
    course = Course(
        np.array([10.0, 20.0, 30.0, 40.0]), np.zeros(4), np.array([False, True, False])
    )

    assert unmeasured(course, 0.0, 50.0) == [(0.0, 10.0), (20.0, 30.0), (40.0, 50.0)]
    assert unmeasured(course, 10.0, 40.0) == [(20.0, 30.0)]
    assert unmeasured(EMPTY_COURSE, 0.0, 50.0) == [(0.0, 50.0)]
