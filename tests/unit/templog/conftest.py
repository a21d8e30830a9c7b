"""Short courses written as minutes since a start, and the temperatures read then."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from lidclock.templog.course import course_of
from lidclock.templog.gaps import Pace
from lidclock.templog.series import Series, seconds

START = datetime(2026, 11, 2, 8, tzinfo=UTC)
FIVE_MINUTES = Pace(300.0)


def after(minutes):
    """The instant so many minutes after the start."""
    return START + timedelta(minutes=minutes)


@pytest.fixture
def series():
    """Make a series of {minute: temperature}."""

    def make(readings):
        times = np.array([seconds(after(minute)) for minute in readings])
        return Series(times, np.array([*readings.values()], dtype=float))

    return make


@pytest.fixture
def course(series):
    """Make a course of {minute: temperature}; it ends with its last reading."""

    def make(readings, pace=FIVE_MINUTES):
        return course_of(
            series(readings), pace, until=seconds(after(max(readings, default=0)))
        )

    return make
