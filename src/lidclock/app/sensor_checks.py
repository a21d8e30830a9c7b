"""When sensors were and will be checked in ice or boiling water, and what is due."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from lidclock.app.sensors import CHECK_EVERY, TOLERANCE_C, need_sensor, sensors_of
from lidclock.app.session import Session
from lidclock.domain.readings import (
    Offset,
    Sensor,
    Spell,
    points_apart,
    spells,
)
from lidclock.errors import InputError, RefusedError
from lidclock.store.sensors import Sensors

# Our choice: nobody checks more often than daily, or counts on a check for years.
_SHORTEST, _LONGEST = timedelta(days=1), timedelta(days=366)


@dataclass(frozen=True, slots=True)
class Check:
    """How the checks of one sensor stand; `last` is None where none was ever made.

    `next_at` is None for what people type, since any thermometer may have said it, and
    for a sensor in no place. `apart_c` is how far ice and boiling water of one day lie
    apart, None where the last day with both agrees within the tolerance, or none has.
    """

    sensor: Sensor
    place: str
    last: Offset | None
    next_at: datetime | None
    apart_c: float | None = None

    def is_due(self, at: datetime) -> bool:
        """Whether it should have been checked by then."""
        return self.next_at is not None and self.next_at <= at

    @property
    def is_off(self) -> bool:
        """Whether the last check found it beyond its tolerance."""
        return self.last is not None and abs(self.last.offset_c) > TOLERANCE_C


def check_of(
    sensor: Sensor, own: Sequence[Spell], offsets: Iterable[Offset], session: Session
) -> Check:
    """How the checks of a sensor stand, from where it was and what was found."""
    place = next((one.place for one in own if one.ended is None), "")
    made = sorted(offsets, key=lambda one: one.since)
    last, next_at = (made[-1] if made else None), None
    if not sensor.is_typed and place:
        first = min((one.began for one in own), default=session.now)
        next_at = last.since + every(sensor) if last else first
    apart = points_apart(made, session.kitchen.zone)
    is_apart = apart is not None and apart > TOLERANCE_C
    return Check(sensor, place, last, next_at, apart if is_apart else None)


def every(sensor: Sensor) -> timedelta:
    """How long a check of that sensor counts: as the kitchen says, or 30 days."""
    if sensor.check_every_s is None:
        return CHECK_EVERY
    return timedelta(seconds=sensor.check_every_s)


def due_checks(session: Session) -> list[Check]:
    """Sensors in a place that are due for a check or to be replaced, longest due first.

    Low urgency: what is beyond its limit or silent comes before.
    """
    with session.read() as unit:
        sensors = Sensors(unit.connection, session.kitchen.id)
        if not sensors.any():
            return []
        stays, offsets = spells(sensors.assignments()), sensors.offsets()
        found = [
            check_of(
                one,
                [spell for spell in stays if spell.sensor_id == one.id],
                [offset for offset in offsets if offset.sensor_id == one.id],
                session,
            )
            for one in sensors.all()
        ]
    pressing = [
        one
        for one in found
        if one.next_at is not None
        and (one.is_due(session.now) or one.is_off or one.apart_c is not None)
    ]
    return sorted(
        pressing, key=lambda x: (x.next_at or session.now, x.sensor.name.casefold())
    )


def set_check_every(session: Session, name: str, span: timedelta | None) -> Sensor:
    """Say how often a sensor is to be checked; None for the usual 30 days."""
    if span is not None and not _SHORTEST <= span <= _LONGEST:
        raise InputError(
            f"a check is due every {_SHORTEST.days} to {_LONGEST.days} days, e.g. 30d"
        )
    with session.write() as unit:
        sensor = need_sensor(unit, name)
        if sensor.is_typed:
            raise RefusedError(
                f"{sensor.name} holds what people type, from any thermometer: add the "
                "one that is to be checked with `lidclock temp sensor add`"
            )
        seconds = None if span is None else span / timedelta(seconds=1)
        changed = replace(sensor, check_every_s=seconds)
        sensors_of(unit).update(changed)
    return changed
