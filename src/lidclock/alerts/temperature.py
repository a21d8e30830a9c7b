"""Which places need somebody now: too warm, too cool, or silent."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from lidclock.domain.kitchens import Place
from lidclock.domain.readings import Reading
from lidclock.templog.disagree import Disagreement
from lidclock.templog.excursions import Excursion
from lidclock.templog.gaps import Silence
from lidclock.templog.limits import PlaceLimit
from lidclock.templog.places import Member, PlaceCourse

# Most urgent first. A spike is told and needs nobody yet: its food is still cold.
URGENCY = ("excursion", "silent", "disagree", "spike")


@dataclass(frozen=True, slots=True)
class TemperatureAlert:
    """One place that needs somebody, and why.

    `sensors` names who is silent, or which two disagree. `reading` is the last one;
    where it stands alone there is no `excursion` to measure yet.
    """

    kind: str
    place: Place
    since: datetime
    limit: PlaceLimit | None = None
    reading: Reading | None = None
    excursion: Excursion | None = None
    silence: Silence | None = None
    disagreement: Disagreement | None = None
    sensors: tuple[str, ...] = ()

    @property
    def is_pressing(self) -> bool:
        """Whether somebody has to do something now."""
        return self.kind != "spike"


def pick(course: PlaceCourse, began: datetime) -> list[TemperatureAlert]:
    """What one place needs now, where its course ends, from what it did since `began`.

    An excursion is told while the place is beyond its limit, a spike likewise while
    its food is not. Silence is told of each sensor: what is not read is not fine.
    """
    found = [*_beyond(course, began)]
    found += [_silent(course, one) for one in course.current if _is_silent(course, one)]
    found += [
        TemperatureAlert(
            "disagree",
            course.place,
            one.found.began,
            course.limit,
            course.latest,
            disagreement=one.found,
            sensors=(one.first.sensor.name, one.second.sensor.name),
        )
        for one in course.disagreements(began)
        if one.is_current
    ]
    return found


def _beyond(course: PlaceCourse, began: datetime) -> Iterator[TemperatureAlert]:
    """What goes on beyond the limit, as far as anybody knows of now."""
    reading, limit = course.latest, course.limit
    if limit is None or reading is None or not course.is_heard:
        return
    ongoing = [one for one in course.excursions(began) if one.is_open]
    for one in ongoing:
        kind = "spike" if one.is_spike else "excursion"
        yield TemperatureAlert(kind, course.place, one.began, limit, reading, one)
    if not ongoing and limit.is_beyond(reading.temp_c):
        # A first reading: it has lasted for no time yet, but who knows since when.
        yield TemperatureAlert("excursion", course.place, reading.at, limit, reading)


def _is_silent(course: PlaceCourse, one: Member) -> bool:
    """A counter is held to nothing, so nobody has to go and read it."""
    is_owed = not one.sensor.is_typed or course.place.state != "counter"
    return is_owed and one.silence is not None and one.silence.is_alarm


def _silent(course: PlaceCourse, one: Member) -> TemperatureAlert:
    assert one.silence is not None
    return TemperatureAlert(
        "silent",
        course.place,
        one.silence.since,
        course.limit,
        one.latest,
        silence=one.silence,
        sensors=(one.sensor.name,),
    )


def in_order(alerts: list[TemperatureAlert]) -> list[TemperatureAlert]:
    """The most urgent first, then what has lasted longest."""
    return sorted(
        alerts, key=lambda x: (URGENCY.index(x.kind), x.since, x.place.name.casefold())
    )
