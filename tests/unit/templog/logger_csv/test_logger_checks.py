"""What values show of the sensor; nothing is altered, everything left out is named."""

import numpy as np
import pytest

from lidclock.templog.logger_csv.checks import Checks, Series
from lidclock.templog.logger_csv.findings import Findings
from lidclock.templog.logger_csv.words import say_local

MINUTE_US = 60_000_000
START_US = 1_790_000_000_000_000  # 21 Sep 2026 14:13:20


def series(temps, raw=None, *, step=1, at=None):
    count = len(temps)
    at_us = START_US + MINUTE_US * (np.arange(count) * step if at is None else at)
    raw = np.array(temps if raw is None else raw, float)
    return Series(
        np.arange(1, count + 1), np.asarray(at_us), raw, np.array(temps, float)
    )


def checked(name, readings, *more, unit="C"):
    findings = Findings()
    result = getattr(Checks(findings, unit, say_local), name)(readings, *more)
    return result, [one.say() for one in findings.all()]


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (-999.0, "-999 stands for no reading"),
        (-9999.0, "-9999 stands for no reading"),
        (6553.5, "6553.5 stands for no reading"),
        (-127.0, "-127 °C means that no sensor answered"),
        (412.0, "412 °C is no temperature of a kitchen"),
    ],
)
def test_numbers_that_are_no_temperature_are_left_out_by_name(value, said):
    result, told = checked("values", series([4.0, value, 4.5]))

    assert result.temp_c.tolist() == [4.0, 4.5]
    assert told == [f"line 2: {said}"]


def test_a_missing_sensor_in_fahrenheit_is_known_too():
    readings = series([4.0, -127.0], raw=[39.2, -196.6])

    result, told = checked("values", readings, unit="F")

    assert result.temp_c.tolist() == [4.0]
    assert told == ["line 2: -196.6 °F means that no sensor answered"]


def test_readings_that_are_missing_go_without_a_word():
    """The row was named where it was read."""
    result, told = checked("values", series([4.0, float("nan")]))

    assert result.temp_c.tolist() == [4.0]
    assert told == []


@pytest.mark.parametrize(
    "temps",
    [[4.0, 85.0, 4.5], [85.0, 4.0, 4.5], [4.0, 85.0], [4.0, 85.0, 85.0, 85.0, 4.0]],
)
def test_85_at_a_jump_is_what_a_sensor_starts_with(temps):
    result, told = checked("power_on", series(temps))

    assert 85.0 not in result.temp_c
    assert len(told) == 1
    assert told[0].endswith("85 °C at a jump: what a sensor shows at power-on")


@pytest.mark.parametrize(
    "temps", [[80.0, 85.0, 88.0], [85.0], [85.0, 85.0], [70.0, 85.0, 4.0]]
)
def test_food_that_passes_85_is_hot(temps):
    """One side near, or none at all: it may be true."""
    result, told = checked("power_on", series(temps))

    assert result.temp_c.tolist() == temps
    assert told == []


@pytest.mark.parametrize(("beside", "kept"), [(65.0, 1), (65.1, 2), (104.9, 2)])
def test_twenty_degrees_make_a_jump(beside, kept):
    result, _ = checked("power_on", series([beside, 85.0]))

    assert result.temp_c.size == kept


def test_85_for_long_is_kept_and_told():
    temps = [4.0, *[85.0] * 10, 4.0]

    result, told = checked("power_on", series(temps))

    assert result.temp_c.tolist() == temps
    assert told == [
        "lines 2, 3 and 8 more: 85 °C between jumps: a sensor that restarts? kept"
    ]


def test_the_future_and_the_time_before_loggers_are_left_out():
    readings = series([1.0, 2.0, 3.0, 4.0], at=np.array([0, 5, 6, -20_000_000]))

    result, told = checked("moments", readings, START_US)

    assert result.temp_c.tolist() == [1.0, 2.0]
    assert told == [
        "line 3: in the future, up to Mon 21 Sep 2026 14:19:20: a wrong clock or zone? "
        "--shift and --zone correct it",
        "line 4: before 2001: had the logger lost its clock?",
    ]


def test_rows_are_sorted_and_that_is_told():
    result, told = checked("order", series([1.0, 2.0, 3.0], at=np.array([0, 2, 1])))

    assert result.temp_c.tolist() == [1.0, 3.0, 2.0]
    assert told == ["line 3: not in the order of time; sorted"]


def test_newest_first_has_its_own_rows_out_of_order():
    at = np.array([9, 8, 6, 7, 5, 4])

    result, told = checked("order", series([9.0, 8.0, 6.0, 7.0, 5.0, 4.0], at=at))

    assert result.temp_c.tolist() == [4.0, 5.0, 6.0, 7.0, 8.0, 9.0]
    assert told == ["line 4: not in the order of time; sorted"]


def test_newest_first_is_an_order():
    result, told = checked("order", series([1.0, 2.0, 3.0], at=np.array([2, 1, 0])))

    assert result.temp_c.tolist() == [3.0, 2.0, 1.0]
    assert told == []


def test_the_same_reading_again_is_one():
    result, told = checked("order", series([1.0, 1.0, 2.0], at=np.array([0, 0, 1])))

    assert result.temp_c.tolist() == [1.0, 2.0]
    assert told == ["line 2: the same reading again"]


def test_of_two_values_for_one_moment_the_warmer_is_kept():
    result, told = checked("order", series([1.0, 3.0, 2.0], at=np.array([0, 0, 1])))

    assert result.temp_c.tolist() == [3.0, 2.0]
    assert told == [
        "line 1: another temperature for the same moment; the warmer is kept"
    ]


def test_a_value_that_stands_for_hours_is_told_and_kept():
    temps = [3.0, *[4.0] * 73, 5.0]

    _, told = checked("stuck", series(temps, step=5))

    assert told == [
        "lines 2, 3 and 71 more: 4 °C unchanged for 6.0 h from Mon 21 Sep 2026 "
        "14:18:20 on: is the sensor stuck? kept"
    ]


@pytest.mark.parametrize(("count", "step"), [(72, 5), (11, 60)])
def test_less_than_six_hours_or_few_readings_are_no_sticking(count, step):
    """71 steps of 5 minutes are 5 h 55 min; 10 steps of an hour are 11 readings."""
    _, told = checked("stuck", series([3.0, *[4.0] * count, 5.0], step=step))

    assert told == []
