"""Readings charged to a history: each stay in pieces of the temperature it had."""

from datetime import UTC, datetime, timedelta

import pytest

from lidclock.clock import judge
from lidclock.domain.foods import Food
from lidclock.domain.history import Component, History, Stay
from lidclock.domain.moments import zone_of
from lidclock.guidance.load import load_set
from lidclock.templog.charging import Record, measured
from lidclock.templog.course import course_of
from lidclock.templog.gaps import pace_of
from lidclock.templog.series import joined, seconds

NOON = datetime(2026, 7, 1, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)
CODE = load_set("us-food-code")
SOUP = Food("soup", "soup-stew")


def at(hours):
    return NOON + hours * HOUR


def log(*points):
    """What a place did that was read at these hours."""
    series = joined([seconds(at(hours)) for hours, _ in points],
                    [temp_c for _, temp_c in points]).series  # fmt: skip
    return course_of(series, pace_of(series))


def fridge(began=0, ended=None, **more):
    end = None if ended is None else at(ended)
    return Stay("fridge", at(began), end, "Fridge", **more)


def charged(history, readings):
    record = None if readings is None else Record(readings, [0.0, 5.0, 57.0])
    return measured(history, lambda _: record, 5.0)


def told(history):
    return [
        (
            (one.began - NOON) / HOUR,
            None if one.ended is None else (one.ended - NOON) / HOUR,
            one.temp_c,
        )
        for one in history.stays
    ]


def test_warm_hours_become_stays_of_their_own():
    history = History(made_at=NOON, stays=(fridge(0, 10),))

    found = charged(history, log(*((h, 3) for h in range(4)), (4, 8), (5, 8), (6, 2),
                                 *((h, 2) for h in range(7, 11))))  # fmt: skip

    assert told(found) == [
        (0, pytest.approx(3.4), pytest.approx(5.0)),
        (pytest.approx(3.4), pytest.approx(5.5), 8.0),
        (pytest.approx(5.5), 10, pytest.approx(5.0)),
    ]
    # Up to the limit is not above it.
    assert [stay.temp_c > 5.0 for stay in found.stays] == [False, True, False]


def test_silence_between_warm_readings_counts_as_warm_and_is_named():
    history = History(made_at=NOON, stays=(fridge(0, 20),))

    found = charged(history, log((0, 3), (1, 9), (12, 3), (13, 3), (14, 3)))
    silent = [x for x in found.stays if x.is_silent and x.temp_c is not None]

    assert [(one.began, one.ended, one.temp_c) for one in silent] == [
        (at(2), at(12), 9.0)
    ]


def test_silence_between_cold_readings_is_unmeasured():
    history = History(made_at=NOON, stays=(fridge(0, 14),))

    found = charged(history, log((0, 3), (1, 3), (12, 3), (13, 3), (14, 3)))

    assert told(found) == [(0, 2, 3.0), (2, 12, None), (12, 14, 3.0)]


def test_a_place_that_was_warm_last_is_taken_to_be_warm_on():
    history = History(made_at=NOON, stays=(fridge(0),))

    found = charged(history, log((0, 3), (1, 3), (2, 9)))

    assert told(found)[-1][1:] == (None, 9.0)
    assert judge(SOUP, found, CODE, zone=zone_of("UTC"), now=at(30)).status == "over"


def test_food_that_comes_into_a_silent_place_comes_into_the_one_last_heard():
    """Read warm at 1, next at 12; food comes at 4, and goes again at 8."""
    readings = log((0, 9), (1, 9), (12, 3), (13, 3), (14, 3))
    history = History(made_at=NOON, stays=(fridge(4, 8), fridge(8, 20)))

    assert told(charged(history, readings))[:2] == [(4, 8, 9.0), (8, 12, 9.0)]


def test_silence_that_a_stay_ends_in_is_as_warm_as_the_next_reading():
    history = History(made_at=NOON, stays=(fridge(0, 8),))

    found = charged(history, log((0, 3), (1, 3), (2, 3), (12, 9), (13, 9)))

    assert told(found) == [(0, 3, 3.0), (3, 8, 9.0)]


def test_what_was_before_the_first_reading_nobody_can_tell():
    history = History(made_at=NOON, stays=(fridge(0, 8),))

    found = charged(history, log((5, 9), (6, 9), (7, 9), (8, 9)))

    assert told(found) == [(0, 5, None), (5, 8, 9.0)]


def test_a_cold_place_is_measured_up_to_its_last_reading_and_then_silent():
    history = History(made_at=NOON, stays=(fridge(0),))

    found = charged(history, log((0, 3), (1, 3), (2, 3)))

    # The last reading holds for the usual time between two.
    assert told(found) == [(0, 3, 3.0), (3, None, None)]
    assert [one.is_silent for one in found.stays] == [False, True]


def test_of_a_hot_hold_the_cooler_reading_counts_through_silence():
    hot = Stay("hot", NOON, at(14), "Hot hold")
    readings = log((0, 65), (1, 65), (2, 50), (10, 65), (11, 65), (12, 65), (13, 65))

    found = charged(History(made_at=NOON, stays=(hot,)), readings)

    # The warmest of the piece below 57 °C that came before the silence.
    assert [one.temp_c < 57 for one in found.stays if one.is_silent] == [True]


def test_a_freezer_that_was_above_melting_is_not_frozen_through_silence():
    stay = Stay("freezer", NOON, at(14), "Freezer")
    readings = log((0, -18), (1, -18), (2, 1), (10, -18), (11, -18), (12, -18), (13, 0))

    found = charged(History(made_at=NOON, stays=(stay,)), readings)
    (silent,) = [one for one in found.stays if one.is_silent]

    assert (silent.temp_c, silent.is_frozen) == (1.0, False)


def test_what_is_put_into_a_place_that_was_warm_last_is_charged_for_a_day():
    """Later nobody reads the place: it is unmeasured, as before its first reading."""
    readings = log((0, 3), (1, 3), (2, 9))

    soon = charged(History(stays=(fridge(26, 30),)), readings)
    late = charged(History(stays=(fridge(28, 30),)), readings)

    assert told(soon) == [(26, 30, 9.0)]
    assert told(late) == [(28, 30, None)]
    assert not late.stays[0].is_silent


def test_what_nobody_measured_stays_as_it_was():
    history = History(made_at=NOON, stays=(fridge(0, 5), fridge(5, 48)))

    assert charged(history, None) is history
    assert charged(history, log()) is history
    assert charged(history, log((90, 3), (91, 3))) is history


def test_the_parts_of_a_mixture_are_charged_too():
    part = Component("sauce", SOUP, History(made_at=NOON, stays=(fridge(0, 3),)))
    history = History(made_at=at(3), stays=(fridge(3, 4),), components=(part,))

    found = charged(history, log((0, 9), (1, 9), (2, 9), (3, 3), (4, 3)))

    assert found.components[0].history.stays[0].temp_c == 9.0


def test_four_hours_of_a_warm_fridge_end_soup_under_the_food_code():
    """Food Code 3-501.19: four hours out of temperature control."""
    history = History(made_at=NOON, stays=(fridge(0),))
    readings = log(*((h / 2, 3) for h in range(5)), *((h / 2, 7) for h in range(5, 40)))

    found = charged(history, readings)
    verdict = judge(SOUP, found, CODE, zone=zone_of("UTC"), now=at(19))

    # From 3 °C at 14:00 to 7 °C at 14:30: 5 °C at 14:15.
    assert verdict.last_moment == at(2.25 + 4)
    assert any("in Fridge, at most 7 °C" in line for line in verdict.binding.why)


def test_a_warm_last_word_holds_on_in_a_stay_however_long_its_sensor_may_take():
    """Read every 20 h, so that silence begins 60 h after the last reading."""
    readings = log((0, 3), (20, 3), (40, 9))
    record = Record(readings, [0.0, 5.0, 57.0], at(100))

    found = measured(History(NOON, stays=(fridge(0),)), lambda _: record, 5.0)

    assert told(found)[-1] == (100, None, 9.0)
    assert found.stays[-1].is_silent
