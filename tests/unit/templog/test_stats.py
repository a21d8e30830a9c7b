"""Figures over time, not over readings; and thinning that loses no extreme."""

from datetime import timedelta

import numpy as np
import pytest

from lidclock.kinetics.mean_kinetic import mean_kinetic_temperature
from lidclock.templog.course import EMPTY_COURSE, course_of
from lidclock.templog.series import Series
from lidclock.templog.stats import stats_of, thinned
from unit.templog.conftest import FIVE_MINUTES


def test_the_mean_is_over_time(course):
    """10 minutes at 4, 5 from 4 to 8: (40 + 30) / 15."""
    found = stats_of(course({0: 4, 10: 4, 15: 8}))

    assert found.mean_c == pytest.approx(70 / 15)
    assert (found.min_c, found.max_c) == (4, 8)
    assert found.measured == timedelta(minutes=15)


def test_the_share_beyond_is_over_measured_time(series):
    """Measured 0 to 10 and 60 to 65; above 5 in the last five minutes: a third."""
    read = course_of(series({0: 4, 5: 4, 60: 8}), FIVE_MINUTES)
    found = stats_of(read, 5.0)

    assert found.measured == timedelta(minutes=15)
    assert found.share_beyond == pytest.approx(1 / 3)


def test_the_share_of_a_hot_hold_is_below(course):
    found = stats_of(course({0: 66, 8: 58, 16: 66}), 60.0, is_floor=True)

    assert found.share_beyond == pytest.approx(4 / 16)


def test_the_mean_kinetic_temperature_leans_to_the_warm_side(course):
    """As the function of kinetics gives it for 10 minutes at 4 and 5 at a mean of 6."""
    found = stats_of(course({0: 4, 10: 4, 15: 8}))

    assert found.kinetic_c == mean_kinetic_temperature([4, 6], [600, 300])
    assert found.mean_c < found.kinetic_c < 6


def test_nothing_measured_has_no_figures(course):
    assert stats_of(EMPTY_COURSE) is None
    assert stats_of(course({0: 4})) is None


def test_thinning_keeps_every_extreme():
    temps = np.sin(np.arange(10_000) / 300.0) * 3
    temps[4321], temps[7000] = 40.0, -20.0
    read = Series(np.arange(10_000.0), temps)
    few = thinned(read, 50)

    assert len(few) <= 200
    assert (few.temps.max(), few.temps.min()) == (40.0, -20.0)
    assert few.times[[0, -1]].tolist() == [0.0, 9999.0]
    assert np.isin(few.times, read.times).all()


def test_few_readings_are_left_as_they_are():
    read = Series(np.arange(8.0), np.arange(8.0))

    assert thinned(read, 2) is read


def test_thinning_needs_a_bucket():
    with pytest.raises(ValueError, match="buckets must be above 0"):
        thinned(Series(np.arange(8.0), np.arange(8.0)), 0)
