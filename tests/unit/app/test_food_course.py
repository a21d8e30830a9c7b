"""What a container's temperature was taken to be: read, said or assumed."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from lidclock.app.food_course import Assumed, food_course
from lidclock.domain.history import History, Stay
from lidclock.templog.course import Course
from lidclock.templog.series import seconds

START = datetime(2026, 11, 2, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)
ASSUMED = Assumed(fridge=4.4, hot=57.2)


def hours(count):
    return START + count * HOUR


def course(points, gaps=()):
    """Points (hours, °C); `gaps` are the numbers of the pieces nobody measured."""
    times = np.array([seconds(hours(at)) for at, _ in points])
    is_gap = np.zeros(len(points) - 1, dtype=np.bool_)
    is_gap[list(gaps)] = True
    return Course(times, np.array([c for _, c in points], dtype=float), is_gap)


def told(history, found=None, until=10):
    """(hours from, hours to, how known, lowest, highest) of each stretch."""
    made = food_course(history, lambda _: found, ASSUMED, hours(until))
    return [
        (
            (one.began - START) / HOUR,
            (one.ended - START) / HOUR,
            one.known,
            float(one.course.temps.min()),
            float(one.course.temps.max()),
        )
        for one in made
    ]


def stays(*rows):
    return History(
        made_at=START,
        stays=tuple(
            Stay(state, hours(began), None if ended is None else hours(ended), **facts)
            for state, began, ended, facts in rows
        ),
    )


FRIDGE = stays(("fridge", 0, None, {"place": "Fridge"}))


@pytest.mark.parametrize(
    ("state", "temp_c"),
    [("fridge", 4.4), ("counter", 25), ("freezer", -18), ("hot", 57.2), ("shed", 25)],
)
def test_nobody_measured_so_it_is_assumed(state, temp_c):
    assert told(stays((state, 0, None, {}))) == [(0, 10, "assumed", temp_c, temp_c)]


def test_what_the_thermometer_said_counts_before_what_is_assumed():
    history = stays(("fridge", 0, 4, {"temp_c": 7.0}), ("counter", 4, None, {}))

    assert told(history) == [(0, 4, "said", 7, 7), (4, 10, "assumed", 25, 25)]


def test_readings_count_before_all_else():
    found = course([(0, 3), (10, 6)])

    assert told(FRIDGE, found) == [(0, 10, "measured", 3, 6)]


def test_silence_beside_a_warm_reading_counts_as_that_warm():
    """Before the first reading nobody can tell; between and after, the warmer one."""
    found = course([(2, 9), (3, 5), (5, 3), (6, 8)], gaps=[1])

    assert told(FRIDGE, found) == [
        (0, 2, "assumed", 4.4, 4.4),
        (2, 3, "measured", 5, 9),
        (3, 5, "assumed", 5, 5),
        (5, 6, "measured", 3, 8),
        (6, 10, "assumed", 8, 8),
    ]


def test_a_single_reading_has_no_length_but_is_not_lost():
    found = course([(2, 9), (5, 3), (6, 3)], gaps=[0])

    assert told(FRIDGE, found)[:2] == [
        (0, 2, "assumed", 4.4, 4.4),
        (2, 5, "assumed", 9, 9),
    ]


def test_silence_of_a_hot_hold_counts_as_the_cooler():
    history = stays(("hot", 0, None, {}))
    found = course([(0, 65), (2, 48)])

    assert told(history, found)[-1] == (2, 10, "assumed", 48, 48)


def test_a_gap_that_nobody_recorded_has_no_readings():
    history = stays(("counter", 0, None, {"recorded": False}))

    assert told(history, course([(0, 3), (10, 3)])) == [(0, 10, "assumed", 25, 25)]


def test_readings_of_the_food_go_before_those_of_the_air():
    cooled = ((hours(1), 60.0), (hours(3), 20.0), (hours(4), None))
    history = History(made_at=START, stays=FRIDGE.stays, coolings=cooled)

    assert told(history, course([(0, 3), (10, 3)])) == [
        (0, 1, "measured", 3, 3),
        (1, 3, "food", 20, 60),
        (3, 10, "measured", 3, 3),
    ]


def test_two_cools_a_day_apart_are_not_joined():
    cooled = ((hours(1), 60.0), (hours(3), 20.0), (hours(12), 70.0), (hours(14), 9.0))
    history = History(made_at=START, stays=FRIDGE.stays, coolings=cooled)

    assert [row[:3] for row in told(history, until=20)] == [
        (0, 1, "assumed"),
        (1, 3, "food"),
        (3, 12, "assumed"),
        (12, 14, "food"),
        (14, 20, "assumed"),
    ]


def test_one_reading_of_the_food_tells_no_time():
    history = History(made_at=START, stays=FRIDGE.stays, coolings=((hours(1), 60.0),))

    assert told(history) == [(0, 10, "assumed", 4.4, 4.4)]


def test_a_stay_beyond_the_end_is_left_out():
    history = stays(("fridge", 0, 12, {}), ("counter", 12, None, {}))

    assert told(history) == [(0, 10, "assumed", 4.4, 4.4)]
