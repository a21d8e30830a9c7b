"""Silence: how often a sensor is expected to speak, and when nobody measured."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import numpy as np

from lidclock.templog.series import Series, moment

if TYPE_CHECKING:
    from lidclock.templog.course import Course

# A radio loses a message now and then; three in a row are silence. Our choice.
GAP_FACTOR = 3.0
# A person who looks twice a day has missed a look after one and a half times as long.
# Our choice.
TYPED_FACTOR = 1.5
# Until a sensor has shown how often it speaks. Our choice.
UNKNOWN_INTERVAL_S = 3600.0
_ENOUGH_TO_GUESS = 3


@dataclass(frozen=True, slots=True)
class Pace:
    """How often a sensor is expected to speak; `is_guessed` from its own readings.

    After `factor` intervals without a reading there is a gap.
    """

    interval_s: float
    factor: float = GAP_FACTOR
    is_guessed: bool = False

    def __post_init__(self) -> None:
        if not (self.interval_s > 0 and self.factor > 1):
            raise ValueError(f"no pace: {self.factor} times {self.interval_s} s")

    @property
    def longest_s(self) -> float:
        """The longest time between two readings that is not yet a gap."""
        return self.interval_s * self.factor


def pace_of(
    series: Series, interval_s: float | None = None, *, is_typed: bool = False
) -> Pace:
    """The pace set for a sensor, else the median time between its readings."""
    factor = TYPED_FACTOR if is_typed else GAP_FACTOR
    if interval_s is not None:
        return Pace(interval_s, factor)
    if len(series) < _ENOUGH_TO_GUESS:
        return Pace(UNKNOWN_INTERVAL_S, factor, is_guessed=True)
    typical = float(np.median(np.diff(series.times)))
    return Pace(typical, factor, is_guessed=True)


def steadied(pace: Pace) -> Pace:
    """A guessed pace rounded up to two figures, so that jitter does not move it."""
    if not pace.is_guessed:
        return pace
    unit = 10.0 ** (math.floor(math.log10(pace.interval_s)) - 1)
    # A whole number of units, but for the noise of the division.
    count = math.ceil(pace.interval_s / unit - 1e-9)
    return replace(pace, interval_s=count * unit)


@dataclass(frozen=True, slots=True)
class Gap:
    """A time between readings in which nobody measured."""

    began: datetime
    ended: datetime

    @property
    def length(self) -> timedelta:
        """How long it lasted."""
        return self.ended - self.began


def unmeasured(course: Course, began: float, ended: float) -> list[tuple[float, float]]:
    """When nobody measured between two instants, before and after it too  [s]."""
    if not len(course):
        return [(began, ended)]
    begins = np.r_[began, course.times[:-1][course.is_gap], course.times[-1]]
    ends = np.r_[course.times[0], course.times[1:][course.is_gap], ended]
    spans = zip(np.maximum(begins, began), np.minimum(ends, ended), strict=True)
    return [(float(a), float(b)) for a, b in spans if a < b]


def gaps_of(course: Course) -> list[Gap]:
    """Every gap of a course, each beginning where the reading before it counts out."""
    return [
        Gap(moment(course.times[i]), moment(course.times[i + 1]))
        for i in np.flatnonzero(course.is_gap)
    ]


@dataclass(frozen=True, slots=True)
class Silence:
    """For how long a sensor has said nothing; `is_alarm` once that is too long.

    Silence is never fine: within the pace it is only not yet an alarm. `since` is the
    last reading, or for a sensor that never spoke the time it was put in its place.
    """

    since: datetime
    lasted: timedelta
    longest: timedelta

    @property
    def is_alarm(self) -> bool:
        """Whether it has lasted longer than its pace allows."""
        return self.lasted > self.longest


def silence_of(since: datetime, now: datetime, pace: Pace) -> Silence:
    """How long it has been silent at `now`; never less than no time."""
    lasted = max(now - since, timedelta(0))
    return Silence(since, lasted, timedelta(seconds=pace.longest_s))
