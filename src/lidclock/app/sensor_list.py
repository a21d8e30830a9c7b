"""Every sensor: where it is, what it said last, when it was and will be checked."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from lidclock.app.sensors import CHECK_EVERY
from lidclock.app.session import Session
from lidclock.app.temp_course import LEAD, Thermometers
from lidclock.domain.readings import Offset, Reading, Sensor
from lidclock.templog.gaps import Pace
from lidclock.templog.places import Member


@dataclass(frozen=True, slots=True)
class SensorStanding:
    """One sensor now; `now` is None for one that is in no place.

    `next_check` is None for what people type, since any thermometer may have said it;
    it lies in the past where the check is overdue, or None was ever made.
    """

    sensor: Sensor
    now: Member | None
    count: int
    offset: Offset | None
    next_check: datetime | None

    @property
    def place(self) -> str:
        """Where it is, or nothing."""
        return self.now.spell.place if self.now else ""

    @property
    def pace(self) -> Pace | None:
        """How often it is expected to speak."""
        return self.now.pace if self.now else None

    @property
    def latest(self) -> Reading | None:
        """Its last reading where it is, put right."""
        return self.now.latest if self.now else None

    def is_due(self, at: datetime) -> bool:
        """Whether it should be checked in ice by now."""
        return self.next_check is not None and self.next_check <= at


def sensor_standings(session: Session) -> list[SensorStanding]:
    """Every sensor of the kitchen, by name."""
    with session.read() as unit:
        thermometers = Thermometers(unit)
        known = thermometers.known.values()
        return [_standing(thermometers, one, session.now) for one in known]


def _standing(
    thermometers: Thermometers, sensor: Sensor, now: datetime
) -> SensorStanding:
    own = [one for one in thermometers.spells if one.sensor_id == sensor.id]
    spell = next((one for one in own if one.ended is None), None)
    extent = thermometers.readings.extent(sensor.id)
    offset = max(
        thermometers.offsets.get(sensor.id, []), key=lambda x: x.since, default=None
    )
    next_check = None
    if not sensor.is_typed:
        first = min((one.began for one in own), default=now)
        next_check = offset.since + CHECK_EVERY if offset else first
    return SensorStanding(
        sensor,
        thermometers.member(spell, now - LEAD, now) if spell else None,
        extent.count if extent else 0,
        offset,
        next_check,
    )
