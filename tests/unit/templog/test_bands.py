"""Windows cut at thresholds: pieces that clocks can compare without a mistake."""

from datetime import timedelta

import pytest

from lidclock.templog.bands import bands
from lidclock.templog.course import EMPTY_COURSE, course_of
from unit.templog.conftest import FIVE_MINUTES, after


def cut(course, began, ended, *thresholds):
    """The pieces as (first minute, last minute, °C)."""
    found = bands(course, after(began), after(ended), thresholds)
    return [
        (
            (one.began - after(0)).total_seconds() / 60,
            (one.ended - after(0)).total_seconds() / 60,
            one.temp_c,
        )
        for one in found
    ]


def test_a_window_without_readings_is_one_unmeasured_piece():
    assert cut(EMPTY_COURSE, 0, 60, 5.0) == [(0, 60, None)]


def test_before_the_first_and_after_the_last_reading_nobody_measured(series):
    """The last reading counts for its interval of five minutes."""
    read = course_of(series({10: 4, 15: 4.5}), FIVE_MINUTES)

    assert cut(read, 0, 60, 5.0) == [(0, 10, None), (10, 20, 4.5), (20, 60, None)]


def test_in_a_gap_nobody_measured(series):
    read = course_of(series({0: 4, 60: 4}), FIVE_MINUTES)

    assert cut(read, 0, 65, 5.0) == [(0, 5, 4), (5, 60, None), (60, 65, 4)]


def test_it_is_cut_where_it_crosses(course):
    """4 to 8 in 8 minutes: 5 after 2. The cooler piece stays below its threshold."""
    first, second = cut(course({0: 4, 8: 8}), 0, 8, 5.0)

    assert first[:2] == (0, 2)
    assert first[2] < 5.0
    assert first[2] == pytest.approx(5.0)
    assert second == (2, 8, 8.0)


def test_rounding_never_shortens_the_warm_piece(course):
    """4 to 11 in a minute crosses 5 after 60/7 s: 8.571428 and a bit. Down likewise."""
    up, down = course({0: 4, 1: 11}), course({0: 11, 1: 4})
    (_, warm), (hot, _) = (bands(x, after(0), after(1), [5.0]) for x in (up, down))

    assert warm.began - after(0) == timedelta(seconds=8, microseconds=571_428)
    assert hot.ended - after(0) == timedelta(seconds=51, microseconds=428_572)


def test_several_thresholds_in_one_line_cut_it_several_times(course):
    found = cut(course({0: 0, 10: 50}), 0, 10, 40.0, 5.0, 21.0)

    assert [one[:2] for one in found] == [(0, 1), (1, 4.2), (4.2, 8), (8, 10)]
    assert found[-1][2] == 50


def test_a_time_exactly_at_a_threshold_is_a_piece_of_its_own(course):
    """Not above it for `>`, and hot enough for `>=`."""
    found = cut(course({0: 50, 5: 60, 10: 60, 15: 50}), 0, 15, 60.0)

    assert [one[:2] for one in found] == [(0, 5), (5, 10), (10, 15)]
    assert found[1][2] == 60.0
    assert found[0][2] < 60.0
    assert found[2][2] < 60.0


def test_a_threshold_that_is_only_touched_cuts_nothing(course):
    (found,) = cut(course({0: 4, 5: 5, 10: 4}), 0, 10, 5.0)

    assert found[:2] == (0, 10)
    assert found[2] < 5.0


def test_neighbouring_pieces_of_one_band_are_one(course):
    assert cut(course({0: 4, 5: 4.5, 10: 3, 15: 4}), 0, 15, 5.0) == [(0, 15, 4.5)]


def test_without_thresholds_only_gaps_cut(series):
    read = course_of(series({0: 4, 5: 90, 60: 4}), FIVE_MINUTES)

    assert cut(read, 0, 60) == [(0, 10, 90), (10, 60, None)]


def test_the_window_may_lie_inside(course):
    assert cut(course({0: 4, 8: 8}), 3, 6, 5.0) == [(3, 6, 7.0)]


def test_a_temperature_of_0_counts_as_a_number(course):
    assert cut(course({0: -1, 5: 0, 10: -1}), 0, 10, 5.0) == [(0, 10, 0.0)]


def test_no_time_has_no_pieces(course):
    assert cut(course({0: 4, 8: 8}), 4, 4, 5.0) == []


def test_a_window_must_not_end_before_it_begins(course):
    with pytest.raises(ValueError, match="end before it begins"):
        cut(course({0: 4}), 8, 4, 5.0)


def test_a_threshold_must_be_a_number(course):
    with pytest.raises(ValueError, match="threshold must be a number"):
        cut(course({0: 4}), 0, 4, float("nan"))
