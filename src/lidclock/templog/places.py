"""What a place did in a window, and what each of its sensors said there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from itertools import combinations

from lidclock.domain.kitchens import Place
from lidclock.domain.readings import Reading, Sensor, Spell
from lidclock.templog.course import Course
from lidclock.templog.disagree import Disagreement, disagreements, spots_apart
from lidclock.templog.excursions import Excursion, excursions
from lidclock.templog.gaps import Pace, Silence
from lidclock.templog.limits import PlaceLimit
from lidclock.templog.series import Series, seconds


@dataclass(frozen=True, slots=True, eq=False)
class Member:
    """One sensor while it measured a place: what it said there, put right.

    `series` is what it said, `course` what that makes of the time between. `latest` is
    its last reading there, also from before the window; `silence` is None once it was
    taken elsewhere.
    """

    sensor: Sensor
    spell: Spell
    series: Series
    course: Course
    pace: Pace
    latest: Reading | None
    silence: Silence | None

    @property
    def is_heard(self) -> bool:
        """Whether it is there and spoke in time, so that something is known of now."""
        return self.silence is not None and not self.silence.is_alarm

    @property
    def quiet_from(self) -> float:
        """From when on it is silent, if it says nothing more  [s]."""
        if self.spell.ended is not None or not len(self.series):
            return seconds(self.spell.ended or self.spell.began)
        return float(self.series.times[-1]) + self.pace.longest_s


@dataclass(frozen=True, slots=True, eq=False)
class Apart:
    """Two sensors of one place that said different things for a time.

    `is_current` if it was so when both spoke last, and both may still speak.
    """

    first: Member
    second: Member
    found: Disagreement
    is_current: bool


@dataclass(frozen=True, slots=True, eq=False)
class PlaceCourse:
    """What a place did in a window, by the worst of its sensors at each instant."""

    place: Place
    limit: PlaceLimit | None
    lag_s: float
    members: tuple[Member, ...]
    course: Course

    @property
    def current(self) -> tuple[Member, ...]:
        """The sensors that are there now."""
        return tuple(one for one in self.members if one.spell.ended is None)

    @property
    def is_heard(self) -> bool:
        """Whether any sensor there spoke in time, so that something is known of now."""
        return any(one.is_heard for one in self.current)

    @property
    def latest(self) -> Reading | None:
        """The worst of what its sensors said last, of those that spoke in time.

        Where none did, the last word of any.
        """
        known = [one for one in self.current if one.latest is not None]
        heard = [one for one in known if one.is_heard]
        # A probe tells more of now than a hand that wrote something down hours ago.
        probes = [one for one in heard if not one.sensor.is_typed]
        readings = [one.latest for one in probes or heard or known if one.latest]
        if not readings:
            return None
        if not heard:
            return max(readings, key=lambda one: one.at)
        is_floor = self.limit is not None and self.limit.is_floor
        return (min if is_floor else max)(readings, key=lambda one: one.temp_c)

    def excursions(self, since: datetime) -> list[Excursion]:
        """The excursions that reach into the time from `since` on, whole."""
        if self.limit is None:
            return []
        found = excursions(
            self.course,
            self.limit.limit_c,
            is_floor=self.limit.is_floor,
            lag_s=self.lag_s,
        )
        return [one for one in found if one.ended > since]

    def disagreements(self, since: datetime) -> list[Apart]:
        """When two of its sensors lay too far apart; of two people nobody asks."""
        return [
            Apart(one, other, found, _is_current(one, other, found))
            for one, other in combinations(self.members, 2)
            if one.sensor.id != other.sensor.id
            for found in _found_apart(one, other)
            if found.ended > since
        ]


def _found_apart(one: Member, other: Member) -> list[Disagreement]:
    if one.sensor.is_typed and not other.sensor.is_typed:
        return spots_apart(one.series, other.course)
    if other.sensor.is_typed:
        return spots_apart(other.series, one.course)
    return disagreements(one.course, other.course)


def _is_current(one: Member, other: Member, found: Disagreement) -> bool:
    if not (one.is_heard and other.is_heard):
        return False
    if one.latest is None or other.latest is None:
        return False
    typed = [x.latest.at for x in (one, other) if x.sensor.is_typed and x.latest]
    return found.ended >= min([one.latest.at, other.latest.at, *typed])
