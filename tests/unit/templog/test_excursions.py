"""Excursions worked by hand: crossings, degree-hours, gaps, open ends, spikes."""

from datetime import timedelta

import pytest

from lidclock.templog.course import course_of
from lidclock.templog.disagree import DISAGREE_C, disagreements, spots_apart
from lidclock.templog.excursions import excursions
from lidclock.templog.food import LAG_S
from unit.templog.conftest import FIVE_MINUTES, after

LIMIT = 5.0


def test_a_place_within_its_limit_has_none(course):
    assert excursions(course({0: 4, 5: 4.9, 10: 4}), LIMIT) == []


def test_exactly_at_the_limit_is_within(course):
    assert excursions(course({0: 5, 5: 5, 10: 5}), LIMIT) == []


def test_it_begins_and_ends_where_the_line_crosses(course):
    """4 to 8 in 8 minutes crosses 5 after 2; 8 to 4 in 8 crosses 5 after 6.

    Triangle of 12 minutes and 3 °C: 18 °C min, 0.3 °C h; mean 5 + 1.5.
    """
    (found,) = excursions(course({0: 4, 8: 8, 16: 4}), LIMIT)

    assert (found.began, found.ended) == (after(2), after(14))
    assert found.peak_c == 8
    assert found.degree_hours == pytest.approx(0.3)
    assert found.mean_c == pytest.approx(6.5)
    assert found.length == timedelta(minutes=12)
    assert not found.is_open
    assert not found.is_bounded


def test_over_several_readings_it_is_one(course):
    """Trapezoids of 10 min each: (0 + 2) / 2, (2 + 4) / 2 above 5: 40 °C min."""
    (found,) = excursions(course({0: 5, 10: 7, 20: 9, 20.001: 5}), LIMIT)

    assert found.degree_hours == pytest.approx(40 / 60, rel=1e-3)


def test_two_times_are_two(course):
    found = excursions(course({0: 4, 5: 6, 10: 4, 15: 6, 20: 4}), LIMIT)

    assert [one.began for one in found] == [after(2.5), after(12.5)]


def test_times_that_touch_are_one(course):
    found = excursions(course({0: 6, 5: 5, 10: 6}), LIMIT)

    assert [(one.began, one.ended) for one in found] == [(after(0), after(10))]


def test_it_is_open_while_the_last_reading_is_beyond(course):
    (found,) = excursions(course({0: 4, 10: 6}), LIMIT)

    assert found.is_open
    assert found.ended == after(10)


def test_the_last_reading_holds_for_one_interval(series):
    (found,) = excursions(course_of(series({0: 6, 5: 6}), FIVE_MINUTES), LIMIT)

    assert found.ended == after(10)
    assert found.degree_hours == pytest.approx(10 / 60)


def test_a_gap_between_warm_readings_is_bounded_not_measured(series):
    """6 until minute 10, silence, 8 at 60 held to 65: the gap counts as 8.

    10 min at 1, 50 min at 3, 5 min at 3 above the limit: 175 °C min.
    """
    air = course_of(series({0: 6, 5: 6, 60: 8}), FIVE_MINUTES)
    (found,) = excursions(air, LIMIT)

    assert (found.began, found.ended) == (after(0), after(65))
    assert found.bridged == timedelta(minutes=50)
    assert found.is_bounded
    assert found.degree_hours == pytest.approx(175 / 60)


@pytest.mark.parametrize("readings", [{0: 6, 60: 4}, {0: 4, 60: 6}])
def test_a_gap_is_as_warm_as_the_warmer_of_its_ends(series, readings):
    (found,) = excursions(course_of(series(readings), FIVE_MINUTES), LIMIT)

    assert found.bridged == timedelta(minutes=55)
    assert found.peak_c == 6


def test_a_gap_between_cold_readings_is_no_excursion(series):
    assert excursions(course_of(series({0: 4, 60: 4}), FIVE_MINUTES), LIMIT) == []


def test_a_hot_hold_goes_beyond_by_cooling(course):
    """66 to 58 in 8 minutes, back in 8: below 60 from 6 to 10, by 2 at most."""
    (found,) = excursions(course({0: 66, 8: 58, 16: 66}), 60.0, is_floor=True)

    assert (found.began, found.ended) == (after(6), after(10))
    assert found.peak_c == 58
    assert found.mean_c == pytest.approx(59)
    assert found.degree_hours == pytest.approx(4 / 60)


def test_an_open_door_is_a_spike(course):
    """Ten minutes up to 9: food half an hour behind stays below 5."""
    (found,) = excursions(course({0: 3, 15: 3, 18: 9, 25: 3, 40: 3}), LIMIT)

    assert found.is_spike
    assert found.food_peak_c < LIMIT < found.peak_c


def test_lasting_warmth_is_no_spike(course):
    (found,) = excursions(course({5 * n: 3 if n < 3 else 9 for n in range(24)}), LIMIT)

    assert not found.is_spike
    assert found.food_peak_c > LIMIT


def test_without_a_lag_nothing_is_a_spike(course):
    air = course({0: 3, 15: 3, 18: 9, 25: 3, 40: 3})

    assert [one.is_spike for one in excursions(air, LIMIT, lag_s=0)] == [False]
    assert [one.is_spike for one in excursions(air, LIMIT, lag_s=LAG_S)] == [True]


def test_warm_from_its_first_reading_on_it_is_no_spike(course):
    """Nobody knows what was before: food begins as warm as the air."""
    (found,) = excursions(course({0: 6, 5: 3, 10: 3}), LIMIT)

    assert not found.is_spike


def test_two_sensors_that_differ_by_more_than_their_tolerance_disagree(course):
    """Apart by 0, 6, 0 within 20 minutes: more than 3 from minute 5 to 15."""
    one, other = course({0: 4, 10: 4, 20: 4}), course({0: 4, 10: 10, 20: 4})
    (found,) = disagreements(one, other)

    assert (found.began, found.ended) == (after(5), after(15))
    assert found.most_c == pytest.approx(6)


def test_two_sensors_within_their_tolerances_agree(course):
    one, other = course({0: 4, 10: 4}), course({0: 4 + DISAGREE_C, 10: 7})

    assert disagreements(one, other) == []


def test_sensors_that_never_measured_together_cannot_disagree(course):
    assert disagreements(course({0: 4, 5: 4}), course({60: 12, 65: 12})) == []


def test_a_disagreement_on_both_sides_of_a_gap_is_two(series):
    one = course_of(series({0: 4, 5: 4, 60: 4, 65: 4}), FIVE_MINUTES)
    other = course_of(series(dict.fromkeys(range(0, 66, 5), 9)), FIVE_MINUTES)
    found = disagreements(one, other)

    assert [(one.began, one.ended) for one in found] == [
        (after(0), after(10)),
        (after(60), after(70)),
    ]


def test_a_typed_reading_is_compared_where_it_was_read_only(series, course):
    """The hand says 9 at 10 and 4.5 at 20; the probe 4 all along."""
    probe = course({0: 4, 10: 4, 20: 4, 25: 4})
    (found,) = spots_apart(series({10: 9, 20: 4.5, 90: 30}), probe)

    assert (found.began, found.ended, found.most_c) == (after(10), after(10), 5)
