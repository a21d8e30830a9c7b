"""Every sensor: where it is, what it said last, when it was and will be checked."""

from __future__ import annotations

from dataclasses import dataclass

from lidclock.app.sensor_checks import Check, check_of
from lidclock.app.session import Session
from lidclock.app.temp_course import LEAD, Thermometers
from lidclock.domain.readings import Offset, Reading, Sensor
from lidclock.templog.gaps import Pace
from lidclock.templog.places import Member


@dataclass(frozen=True, slots=True)
class SensorStanding:
    """One sensor now; `now` is None for one that is in no place.

    `check` is how its checks in ice and boiling water stand.
    """

    sensor: Sensor
    now: Member | None
    count: int
    check: Check

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

    @property
    def offset(self) -> Offset | None:
        """What is added to its readings since its last check."""
        return self.check.last


def sensor_standings(session: Session) -> list[SensorStanding]:
    """Every sensor of the kitchen, by name."""
    with session.read() as unit:
        thermometers = Thermometers(unit)
        known = thermometers.known.values()
        return [_standing(thermometers, one, session) for one in known]


def _standing(
    thermometers: Thermometers, sensor: Sensor, session: Session
) -> SensorStanding:
    now = session.now
    own = [one for one in thermometers.spells if one.sensor_id == sensor.id]
    spell = next((one for one in own if one.ended is None), None)
    extent = thermometers.readings.extent(sensor.id)
    return SensorStanding(
        sensor,
        thermometers.member(spell, now - LEAD, now) if spell else None,
        extent.count if extent else 0,
        check_of(sensor, own, thermometers.offsets.get(sensor.id, []), session),
    )
