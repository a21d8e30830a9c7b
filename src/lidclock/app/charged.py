"""Which readings count against a container, and who read them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING

from lidclock.domain.history import MELTING_C, History, Stay
from lidclock.domain.moments import say_moment

if TYPE_CHECKING:
    from lidclock.app.session import Session, Unit, View


@dataclass(frozen=True, slots=True)
class Charged:
    """A time in which a place was too warm for a container that was there.

    `readers` are the sensors that spoke in it, each with how often. `is_silent` where
    nobody read the place, and what was read beside it counts.
    """

    place: str
    began: datetime
    ended: datetime | None
    readers: tuple[tuple[str, int], ...]
    is_silent: bool


def charged(session: Session, view: View) -> list[Charged]:
    """The warm times of a container's own stays, as far as somebody read the place."""
    times = _warm_times(view.verdict.history, session.guidance.cold_c)
    if not times:
        return []
    with session.read() as unit:
        return [
            Charged(one.place, one.began, one.ended, _readers(unit, one), one.is_silent)
            for one in times
        ]


def _warm_times(history: History, cold_c: float) -> list[Stay]:
    """Warm pieces, those that touch as one."""
    found: list[Stay] = []
    for stay in history.stays:
        warm_from = MELTING_C if stay.state == "freezer" else cold_c
        if stay.state == "hot" or stay.temp_c is None or stay.temp_c <= warm_from:
            continue
        last = found[-1] if found else None
        if (
            last is not None
            and last.ended == stay.began
            and (last.place, last.is_silent) == (stay.place, stay.is_silent)
        ):
            found[-1] = replace(last, ended=stay.ended)
        else:
            found.append(stay)
    return found


def _readers(unit: Unit, stay: Stay) -> tuple[tuple[str, int], ...]:
    if stay.is_silent:
        return ()
    from lidclock.app.temp_course import Thermometers

    place = next(
        (x for x in unit.session.places if x.name.casefold() == stay.place.casefold()),
        None,
    )
    if place is None:
        return ()
    ended = stay.ended or unit.session.now
    from lidclock.templog.series import seconds

    ended = max(ended, stay.began)
    course = Thermometers(unit).place_course(place, stay.began, ended)
    counts = [
        (one.sensor.name, len(one.series.between(seconds(stay.began), seconds(ended))))
        for one in course.members
    ]
    return tuple((name, count) for name, count in counts if count)


def charged_lines(found: Iterable[Charged], session: Session) -> list[str]:
    """`Fridge, Mon 2 Nov 12:53 to 16:53: 24 readings of Probe A`."""
    zone = session.kitchen.zone
    lines = []
    for one in found:
        until = f"to {say_moment(one.ended, zone)}" if one.ended else "on"
        said = " and ".join(
            f"{count} reading{'' if count == 1 else 's'} of {name}"
            for name, count in one.readers
        )
        silent = "nobody read it; what was read beside counts"
        if not said:
            said = silent if one.is_silent else "by the readings beside"
        lines.append(f"{one.place}, {say_moment(one.began, zone)} {until}: {said}")
    return lines
