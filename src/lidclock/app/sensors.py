"""Sensors of a kitchen: added, moved, checked against ice or boiling water."""

from __future__ import annotations

import difflib
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from lidclock.app.charging import ALWAYS_BEFORE
from lidclock.app.now import new_ids
from lidclock.app.session import Session, Unit
from lidclock.domain.kitchens import Place
from lidclock.domain.readings import (
    NOWHERE,
    Assignment,
    Offset,
    Sensor,
    offset_of,
    place_at,
    points_apart,
    say_temp,
)
from lidclock.errors import InputError, OddFactError, RefusedError, UnknownThingError
from lidclock.guidance.thermometer import (
    HIGHEST_M,
    LOWEST_M,
    ProbeVerdict,
    boiling_point_c,
    ice_point_c,
    probe_verdict,
)
from lidclock.store.sensors import Sensors

# Common practice, no source: no authority in the guidance says how often.
CHECK_EVERY = timedelta(days=30)
# FDA Food Code, 4-203.12(A): air and water thermometers in °C are right to 1.5 °C.
TOLERANCE_C = 1.5
TOLERANCE_SAYS = "FDA Food Code, 4-203.12"
# Further off it is broken, or was not held in slush or boiling water. Our choice.
_FARTHEST_OFF_C = 5.0
# New Brunswick, Reg 2009-138, s.32: cold cabinets are read at least twice a day, food
# held hot every 4 hours. For a freezer and a counter the same, our choice.
_TYPED_EVERY_S = {"fridge": 43_200.0, "freezer": 43_200.0, "counter": 43_200.0}
_TYPED_EVERY_S["hot"] = 14_400.0
_SHORTEST, _LONGEST = timedelta(seconds=1), timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Checked:
    """What a check of a sensor found, and from when on its offset counts.

    `apart_c` is how far ice and boiling water of one day lie apart, where that is more
    than the tolerance.
    """

    sensor: Sensor
    offset: Offset
    true_c: float
    verdict: ProbeVerdict
    next_check: datetime
    apart_c: float | None = None


def sensors_of(unit: Unit) -> Sensors:
    """The sensors of the unit's kitchen."""
    return Sensors(unit.connection, unit.session.kitchen.id)


def need_sensor(unit: Unit, name: str) -> Sensor:
    """The sensor called `name`; the error names the nearest, or how to add one."""
    sensors = sensors_of(unit)
    found = sensors.get(name)
    if found is not None:
        return found
    names = [one.name for one in sensors.all()]
    close = difflib.get_close_matches(name, names, n=3, cutoff=0.4) or names[:5]
    known = f"; there are {', '.join(close)}" if close else ""
    raise UnknownThingError(
        f"no sensor {name!r} in this kitchen{known} "
        "(add one with `lidclock temp sensor add NAME --place PLACE`)"
    )


def add_sensor(
    session: Session,
    name: str,
    place: str,
    *,
    interval: timedelta | None = None,
    note: str = "",
    since: datetime | None = None,
) -> Sensor:
    """Add a sensor that measures a place from `since` on (default: now)."""
    where = session.place(place)
    from_at = session.checked_past(since, "the time it was put there")
    seconds = None if interval is None else _checked_interval(interval)
    sensor = Sensor(new_ids(1)[0], name, seconds, note)
    with session.write() as unit:
        sensors = sensors_of(unit)
        sensors.add(sensor)
        sensors.move(Assignment(sensor.id, from_at, where.name))
    return sensor


def _checked_interval(interval: timedelta) -> float:
    if not _SHORTEST <= interval <= _LONGEST:
        raise InputError(
            f"an interval must lie within 1 s and {_LONGEST.days} days; "
            "give the usual time between two readings, e.g. 5min"
        )
    return interval / timedelta(seconds=1)


def set_interval(session: Session, name: str, interval: timedelta | None) -> Sensor:
    """Say how often a sensor is expected to speak; None to go by its own pace."""
    with session.write() as unit:
        sensor = need_sensor(unit, name)
        seconds = None if interval is None else _checked_interval(interval)
        changed = replace(sensor, interval_s=seconds)
        unit.charging.note(sensor.id, ALWAYS_BEFORE, changed=True)
        sensors_of(unit).update(changed)
    return changed


def move_sensor(
    session: Session, name: str, place: str | None, at: datetime | None = None
) -> tuple[Sensor, str, datetime]:
    """Put a sensor into a place from `at` on, or nowhere; where it was before stays.

    RefusedError if it is there already, or was moved at that very instant.
    """
    where = session.place(place).name if place is not None else NOWHERE
    when = session.checked_past(at, "the move at")
    with session.write() as unit:
        sensor = need_sensor(unit, name)
        sensors = sensors_of(unit)
        own = [one for one in sensors.assignments() if one.sensor_id == sensor.id]
        if place_at(own, when) == where:
            raise RefusedError(
                f"{sensor.name} is {_where(where)} already: nothing done"
            )
        unit.charging.note(sensor.id, when, changed=True)
        if not sensors.move(Assignment(sensor.id, when, where)):
            raise RefusedError(
                f"{sensor.name} was moved at that very time already, and nothing that "
                "was recorded is rewritten: give another minute with --at"
            )
    return sensor, where, when


def _where(place: str) -> str:
    return f"in {place}" if place else "in no place"


def typed_sensor(unit: Unit, place: Place) -> tuple[Sensor, bool]:
    """The sensor that holds what people type for a place, and whether it is new."""
    sensors = sensors_of(unit)
    own = {
        one.sensor_id
        for one in sensors.assignments()
        if one.place.casefold() == place.name.casefold()
    }
    for sensor in sensors.all():
        if sensor.is_typed and sensor.id in own:
            return sensor, False
    name = f"{place.name}, typed"
    while sensors.get(name) is not None:
        name += "'"
    seconds = _TYPED_EVERY_S[place.state]
    sensor = Sensor(new_ids(1)[0], name, seconds, is_typed=True)
    sensors.add(sensor)
    # Back-filled readings belong to the place as well.
    sensors.move(Assignment(sensor.id, ALWAYS_BEFORE, place.name))
    return sensor, True


def check_sensor(
    session: Session,
    name: str,
    measured_c: float,
    *,
    method: str,
    altitude_m: float = 0.0,
    at: datetime | None = None,
    anyway: bool = False,
) -> Checked:
    """Record what a sensor said in ice slush or boiling water, as its offset from then.

    OddFactError if it is so far off that something else is wrong.
    """
    when = session.checked_past(at, "the check at")
    true_c = _true_c(method, altitude_m)
    verdict = probe_verdict(measured_c, true_c, TOLERANCE_C)
    if abs(verdict.off_c) > _FARTHEST_OFF_C and not anyway:
        raise OddFactError(
            f"{say_temp(measured_c)} is {abs(verdict.off_c):.1f} °C from "
            f"{say_temp(round(true_c, 1))}: was it in {_BATHS[method]}? A sensor that "
            "is so far off is broken; record it all the same with --anyway"
        )
    with session.write() as unit:
        sensor = need_sensor(unit, name)
        if sensor.is_typed:
            raise RefusedError(
                f"{sensor.name} holds what people type, from any thermometer: add the "
                "one that was checked with `lidclock temp sensor add`"
            )
        offset = Offset(
            sensor.id, when, offset_of(measured_c, true_c), method, measured_c
        )
        unit.charging.note(sensor.id, when, changed=True)
        if not sensors_of(unit).add_offset(offset):
            raise RefusedError(
                f"{sensor.name} was checked at that very time already, and nothing "
                "that was recorded is rewritten: give another minute with --at"
            )
        known = [x for x in sensors_of(unit).offsets() if x.sensor_id == sensor.id]
    every = CHECK_EVERY
    if sensor.check_every_s is not None:
        every = timedelta(seconds=sensor.check_every_s)
    apart = points_apart(known, session.kitchen.zone)
    is_apart = apart is not None and apart > TOLERANCE_C
    return Checked(
        sensor, offset, true_c, verdict, when + every, apart if is_apart else None
    )


_BATHS = {"ice-point": "crushed ice with water", "boiling-point": "boiling water"}


def _true_c(method: str, altitude_m: float) -> float:
    if method == "ice-point":
        return ice_point_c()
    if not LOWEST_M <= altitude_m <= HIGHEST_M:
        raise InputError(
            f"altitude must lie within {LOWEST_M:g} and {HIGHEST_M:g} m, "
            f"not {altitude_m:g} m"
        )
    return boiling_point_c(altitude_m)


def set_lag(session: Session, place: str, lag: timedelta) -> Place:
    """Say how far food in a place lags behind its air; tells spikes from warming."""
    where = session.place(place)
    if not timedelta(0) <= lag <= timedelta(days=1):
        raise InputError("a lag must lie within 0 and 24 h, e.g. 30min")
    with session.write() as unit:
        sensors_of(unit).set_lag(where.name, lag / timedelta(seconds=1))
    return where
