"""Every place as its page shows it: last reading, standing, contents."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from lidclock.app.lists import Listed, stocked
from lidclock.app.session import Session, Unit
from lidclock.app.temp_report import LOOK_BACK, PlaceReport, reports
from lidclock.domain.kitchens import Place
from lidclock.domain.readings import USUAL_C, Reading

if TYPE_CHECKING:
    from lidclock.store.readings import ReadingStore
    from lidclock.templog.limits import PlaceLimit

# How many readings a page lists, the newest ones; the figure shows all of them.
MOST_READINGS = 30


@dataclass(frozen=True, slots=True)
class PlaceNow:
    """A place as it stands: `kind` is that of its most urgent alert, if any.

    Else it is "within", or "unread" where nobody ever measured. `since` is when that
    began. `usual_c` is what nobody asks about when it is typed.
    """

    place: Place
    kind: str
    reading: Reading | None
    since: datetime | None
    limit: PlaceLimit | None
    usual_c: tuple[float, float]
    inside: tuple[Listed, ...]

    @property
    def is_beyond(self) -> bool:
        """Whether it is beyond its limit as far as anybody knows."""
        return self.kind in ("excursion", "spike")

    @property
    def over(self) -> tuple[Listed, ...]:
        """What is in it and past its last moment."""
        return tuple(one for one in self.inside if one.status == "over")


@dataclass(frozen=True, slots=True)
class NotedReading:
    """One reading with who recorded it and when; `temp_c` is None if it was struck.

    `was_c` is as it was read. Offsets of checked sensors are not in it.
    """

    at: datetime
    temp_c: float | None
    was_c: float
    sensor: str
    who: str
    device: str
    recorded_at: datetime


def places_now(session: Session) -> list[PlaceNow]:
    """Every place of the kitchen, in its order."""
    with session.read() as unit:
        found = reports(unit, session.places, LOOK_BACK)
    inside: dict[str, list[Listed]] = {}
    for one in stocked(session).containers:
        inside.setdefault(one.container.place, []).append(one)
    return [_now(one, inside.get(one.place.name, [])) for one in found]


def place_now(session: Session, name: str) -> PlaceNow:
    """One place; UnknownThingError names those there are."""
    where = session.place(name)
    with session.read() as unit:
        (found,) = reports(unit, [where], LOOK_BACK)
    return _now(found, stocked(session, place=where.name).containers)


def _now(report: PlaceReport, inside: list[Listed] | tuple[Listed, ...]) -> PlaceNow:
    from lidclock.alerts.temperature import in_order, pick

    found = report.found
    alert = next(iter(in_order(pick(found, report.since))), None)
    kind = alert.kind if alert else "unread" if found.latest is None else "within"
    return PlaceNow(
        report.place,
        kind,
        found.latest,
        alert.since if alert else None,
        found.limit,
        USUAL_C[report.place.state],
        tuple(inside),
    )


def readings_of(
    session: Session, name: str, within: timedelta, most: int = MOST_READINGS
) -> list[NotedReading]:
    """What was read in a place in the last `within`, the newest first."""
    where = session.place(name)
    with session.read() as unit:
        found = [
            one
            for sensor in _by_sensor(unit, where, session.now - within)
            for one in sensor
        ]
    found.sort(key=lambda one: one.at, reverse=True)
    return found[:most]


def _by_sensor(
    unit: Unit, where: Place, since: datetime
) -> Iterator[Iterator[NotedReading]]:
    from lidclock.app.temp_course import Thermometers

    meters = Thermometers(unit)
    for spell in meters.spells:
        if spell.place.casefold() != where.name.casefold():
            continue
        began = max(spell.began, since)
        ended = min(spell.ended or unit.session.now, unit.session.now)
        sensor = meters.known[spell.sensor_id]
        yield _noted(meters.readings, sensor.id, sensor.name, began, ended)


def _noted(
    store: ReadingStore, sensor_id: str, name: str, began: datetime, ended: datetime
) -> Iterator[NotedReading]:
    from lidclock.store.rows import instant, micros

    fixed = {one.at_us: one.temp_c for one in store.corrections(sensor_id)}
    first_us, last_us = micros(began), micros(ended)
    newest: deque[NotedReading] = deque(maxlen=_MOST_KEPT)
    for block in store.blocks(sensor_id, first_us, last_us):
        readings, mark = block.readings, block.mark
        pairs = zip(readings.times_us.tolist(), readings.temps_c.tolist(), strict=True)
        for at_us, temp_c in pairs:
            if first_us <= at_us <= last_us:
                newest.append(
                    NotedReading(
                        instant(at_us),
                        fixed.get(at_us, temp_c),
                        temp_c,
                        name,
                        mark.who,
                        mark.device,
                        instant(mark.recorded_us),
                    )
                )
    yield from newest


# A probe that speaks each second does so less often in a day.
_MOST_KEPT = 5_000
