"""Courses: lines between readings, gaps, and the worst of two sensors."""

import numpy as np
import pytest

from lidclock.templog.course import EMPTY_COURSE, Course, course_of, filled_by, worst_of
from lidclock.templog.gaps import Pace, gaps_of
from lidclock.templog.series import EMPTY, seconds
from unit.templog.conftest import FIVE_MINUTES, after


def minutes(*numbers):
    return np.array([seconds(after(one)) for one in numbers])


def read_off(course, *numbers):
    """The temperatures at so many minutes; None where nobody measured."""
    values = course.at(minutes(*numbers)).tolist()
    return [None if np.isnan(value) else pytest.approx(value) for value in values]


def test_between_readings_it_is_linear(course):
    assert read_off(course({0: 4, 10: 6}), 0, 2.5, 10) == [4, 4.5, 6]


def test_nothing_is_known_before_the_first_reading_in_gaps_and_after_the_last(series):
    found = course_of(series({0: 4, 60: 6}), FIVE_MINUTES)

    assert read_off(found, -1, 0, 5, 6, 59, 60, 65, 66) == (
        [None, 4, 4, None, None, 6, 6, None]
    )


def test_a_reading_does_not_hold_into_the_future(series):
    found = course_of(series({0: 4, 5: 4}), FIVE_MINUTES, until=seconds(after(7)))

    assert read_off(found, 7, 8) == [4, None]


def test_a_lone_reading_at_the_end_of_time_is_a_point(series):
    """Reading at 60 after a gap, and `until` the same instant: nothing to hold."""
    found = course_of(series({0: 4, 60: 6}), FIVE_MINUTES, until=seconds(after(60)))

    assert read_off(found, 5, 30, 60, 61) == [4, None, 6, None]
    assert len(gaps_of(found)) == 1


def test_no_readings_are_no_course():
    assert len(course_of(EMPTY, FIVE_MINUTES)) == 0
    assert read_off(EMPTY_COURSE, 0) == [None]


@pytest.mark.parametrize("numbers", [(2, 8), (0, 10), (-5, 4), (6, 40), (20, 70)])
def test_a_part_of_a_course_says_the_same(series, numbers):
    whole = course_of(series({0: 4, 5: 6, 10: 4, 60: 8, 65: 8}), FIVE_MINUTES)
    part = whole.clip(*minutes(*numbers))
    inside = np.linspace(*numbers, 41)

    assert read_off(part, *inside) == read_off(whole, *inside)
    assert read_off(part, numbers[0] - 1, numbers[1] + 1) == [None, None]


def test_the_warmer_of_two_sensors_counts(course):
    """They cross at minute 5, where both say 5: 4 to 6 against 6 to 4."""
    both = worst_of([course({0: 4, 10: 6}), course({0: 6, 10: 4})])

    assert read_off(both, 0, 2.5, 5, 7.5, 10) == [6, 5.5, 5, 5.5, 6]


def test_in_a_hot_hold_the_cooler_one_counts(course):
    both = worst_of([course({0: 64, 10: 66}), course({0: 66, 10: 64})], is_floor=True)

    assert read_off(both, 0, 2.5, 5, 7.5, 10) == [64, 64.5, 65, 64.5, 64]


def test_where_one_is_silent_the_other_counts_alone(series):
    warm = course_of(series({0: 9, 5: 9}), FIVE_MINUTES)
    cold = course_of(series({0: 4, 5: 4, 10: 4, 15: 4, 20: 4}), FIVE_MINUTES)

    assert read_off(worst_of([warm, cold]), 0, 9, 10, 10.5, 20, 26) == (
        [9, 9, 9, 4, 4, None]
    )


def test_where_both_are_silent_nothing_is_known(series):
    one = course_of(series({0: 4, 60: 4}), FIVE_MINUTES)
    other = course_of(series({0: 5, 30: 5}), FIVE_MINUTES)

    assert read_off(worst_of([one, other]), 2, 20, 32, 50, 62) == [5, None, 5, None, 4]


def test_a_gap_is_filled_and_what_was_measured_stays(series):
    """A probe at 3, silent from 10 to 60; a hand wrote 8 down at 0 and at 65."""
    probe = course_of(series({0: 3, 5: 3, 60: 3, 65: 3}), FIVE_MINUTES)
    hand = course_of(series({0: 8, 65: 8}), Pace(7200.0, 1.5))
    both = filled_by(probe, hand, quiet_from=seconds(after(80)))

    assert read_off(both, 0, 9, 11, 59, 61, 69) == [3, 3, 8, 8, 3, 3]


def test_a_sensor_that_may_still_speak_is_not_filled_in_for(series):
    """The probe counts to 10 and is silent from 15 on; the hand's 8 counts later."""
    probe = course_of(series({0: 3, 5: 3}), FIVE_MINUTES)
    hand = course_of(series({0: 8}), Pace(7200.0, 1.5))
    both = filled_by(probe, hand, quiet_from=seconds(after(20)))

    assert read_off(both, 0, 10, 12, 19, 21, 119) == [3, 3, None, None, 8, 8]


def test_before_the_first_reading_another_fills_in(series):
    probe = course_of(series({60: 3, 65: 3}), FIVE_MINUTES)
    hand = course_of(series({0: 8}), Pace(7200.0, 1.5))
    both = filled_by(probe, hand, quiet_from=seconds(after(200)))

    assert read_off(both, 0, 59, 61, 69, 71) == [8, 8, 3, 3, None]


def test_filling_in_a_hot_hold_is_the_same_turned_over(series):
    probe = course_of(series({0: 66, 5: 66, 60: 66, 65: 66}), FIVE_MINUTES)
    hand = course_of(series({0: 58, 65: 58}), Pace(7200.0, 1.5))
    both = filled_by(probe, hand, quiet_from=seconds(after(80)), is_floor=True)

    assert read_off(both, 9, 11, 59, 61) == [66, 58, 58, 66]


def test_nothing_fills_in_for_nothing(series):
    hand = course_of(series({0: 8, 5: 8}), FIVE_MINUTES)

    assert filled_by(EMPTY_COURSE, hand, quiet_from=0.0) is hand
    assert filled_by(hand, EMPTY_COURSE, quiet_from=0.0) is hand


def test_the_marks_must_fit_the_points():
    with pytest.raises(ValueError, match="one mark between"):
        Course(minutes(0, 1), np.array([4.0, 5.0]), np.zeros(2, dtype=bool))
