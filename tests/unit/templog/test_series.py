"""Readings of one sensor: merged, cut, put right by the offsets of their day."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from lidclock.domain.readings import Offset
from lidclock.templog.series import (
    EMPTY,
    Conflict,
    Series,
    instant,
    joined,
    merge,
    micros,
    moment,
    seconds,
)

START = datetime(2026, 11, 2, 8, tzinfo=UTC)


def after(minutes):
    return START + timedelta(minutes=minutes)


def pairs(series):
    """The readings as {minute: temperature}."""
    minutes = [(moment(at) - START) / timedelta(minutes=1) for at in series.times]
    return dict(zip(minutes, series.temps.tolist(), strict=True))


def test_times_must_rise():
    with pytest.raises(ValueError, match="rise strictly"):
        Series(np.array([2.0, 1.0]), np.array([4.0, 4.0]))


@pytest.mark.parametrize("wrong", [np.nan, np.inf, -np.inf])
def test_a_temperature_must_be_a_number(wrong):
    with pytest.raises(ValueError, match="must be numbers"):
        Series(np.array([1.0]), np.array([wrong]))


def test_there_must_be_a_temperature_for_each_time():
    with pytest.raises(ValueError, match="two equal 1-d arrays"):
        Series(np.array([1.0, 2.0]), np.array([4.0]))


def test_readings_in_any_order_are_put_in_order():
    found = joined([3.0, 1.0, 2.0], [30.0, 10.0, 20.0])

    assert found.series.temps.tolist() == [10.0, 20.0, 30.0]


def test_the_same_reading_twice_is_one(series):
    found = merge(series({0: 4.0, 5: 4.5}), series({5: 4.5, 10: 5.0}))

    assert pairs(found.series) == {0: 4.0, 5: 4.5, 10: 5.0}
    assert found.duplicates == 1
    assert found.conflicts == ()


def test_of_two_values_for_one_instant_the_first_is_kept_and_both_are_told(series):
    found = merge(series({0: 4.0, 5: 4.5}), series({5: 9.5}))

    assert pairs(found.series) == {0: 4.0, 5: 4.5}
    assert found.conflicts == (Conflict(after(5), 4.5, 9.5),)
    assert found.duplicates == 0


def test_merging_nothing_leaves_nothing():
    assert len(merge().series) == 0
    assert len(merge(EMPTY, EMPTY).series) == 0


def test_a_window_holds_its_ends(series):
    cut = series({0: 1, 5: 2, 10: 3, 15: 4}).between(
        seconds(after(5)), seconds(after(10))
    )

    assert pairs(cut) == {5: 2, 10: 3}


def test_times_survive_to_the_microsecond():
    at = datetime(2026, 11, 2, 8, 0, 0, 123457, tzinfo=UTC)
    series = Series.from_micros([micros(at)], [4.0])

    assert series.times_us.tolist() == [micros(at)]
    assert moment(series.times[0]) == at == instant(micros(at))


def test_an_offset_counts_from_its_day_on_and_not_before(series):
    offsets = [Offset("s", after(10), -0.4, "ice-point", 0.4)]
    read = series({0: 6.5, 10: 6.5, 20: 6.5})

    assert pairs(read.put_right(offsets)) == {0: 6.5, 10: 6.1, 20: 6.1}
    assert pairs(read) == {0: 6.5, 10: 6.5, 20: 6.5}


def test_a_later_offset_replaces_the_one_before(series):
    offsets = [Offset("s", after(10), 1.0), Offset("s", after(0), -1.0)]

    assert pairs(series({0: 5.0, 10: 5.0}).put_right(offsets)) == {0: 4.0, 10: 6.0}
