"""Readings: typed by people one at a time, or kept by the thousand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from lidclock.app.sensors import need_sensor, sensors_of, typed_sensor
from lidclock.app.session import Session, Unit
from lidclock.app.temp_limits import limit_of
from lidclock.domain.kitchens import Place
from lidclock.domain.moments import say_moment
from lidclock.domain.phrases import told_of
from lidclock.domain.readings import (
    UNPLUGGED_C,
    Reading,
    Sensor,
    doubt_about,
    place_at,
    refuse_outside,
    say_temp,
)
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError, OddFactError, RefusedError, UnknownThingError
from lidclock.store.reading_values import Added, Correction, Mark
from lidclock.store.readings import ReadingStore
from lidclock.templog.limits import PlaceLimit
from lidclock.templog.series import instant, micros

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

# A device's clock may be this far ahead before its readings count as from the future.
# Our choice.
CLOCK_DRIFT = timedelta(minutes=2)
_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Typed:
    """A reading as it was recorded, and what to make of it at once.

    `is_first` for the first one that somebody typed for the place.
    """

    place: Place
    sensor: Sensor
    reading: Reading
    limit: PlaceLimit | None
    is_new: bool
    is_first: bool

    @property
    def is_beyond(self) -> bool:
        """Whether the place was beyond its limit at that moment."""
        return self.limit is not None and self.limit.is_beyond(self.reading.temp_c)


def type_reading(
    session: Session,
    place: str,
    temp_c: float,
    *,
    at: datetime | None = None,
    sensor: str | None = None,
    anyway: bool = False,
) -> Typed:
    """Record what a thermometer said in a place.

    Without `sensor` it belongs to what people type for the place. OddFactError where it
    looks like the other scale or a faulty sensor; the same reading twice is one.
    """
    where = session.place(place)
    when = session.checked_past(at, "the reading at")
    refuse_doubtful(temp_c, where, anyway=anyway)
    with session.write() as unit:
        return add_typed(unit, where, Reading(when, temp_c), mark_of(session), sensor)


def add_typed(
    unit: Unit, where: Place, read: Reading, mark: Mark, sensor: str | None = None
) -> Typed:
    """Record a reading that a person typed; RefusedError where another stands there.

    It is kept to the second: nobody types the same reading twice within one.
    """
    session, when = unit.session, read.at.replace(microsecond=0)
    found, is_first = _sensor_for(unit, where, sensor, when)
    store = ReadingStore(unit.connection, session.kitchen.id)
    unit.charging.note(found.id, when)
    added = store.add(
        found.id, [micros(when)], [read.temp_c], mark, compact=not found.is_typed
    )
    if added.clashes:
        fact = sentence(
            "{sensor} said {temp} at that very time already",
            sensor=found.name,
            temp=say_temp(added.clashes[0].kept_c),
        )
        raise RefusedError(f"{fact}; put it right with `lidclock temp correct`", fact)
    limit = limit_of(where, session.guidance)
    reading = Reading(when, read.temp_c)
    return Typed(where, found, reading, limit, added.new == 1, is_first)


def refuse_doubtful(temp_c: float, place: Place, *, anyway: bool) -> None:
    """InputError for no temperature at all, OddFactError for what looks like a slip."""
    if temp_c == UNPLUGGED_C:
        raise InputError(
            sentence(
                "{temp} is what a common sensor says when it is not connected: it is "
                "no temperature; check its plug",
                temp=say_temp(temp_c),
            )
        )
    refuse_outside(temp_c)
    doubt = doubt_about(temp_c, place.state)
    if doubt and not anyway:
        fact = told_of(place.name, doubt)
        raise OddFactError(fact, "record it as it is with --anyway")


def _sensor_for(
    unit: Unit, place: Place, name: str | None, when: datetime
) -> tuple[Sensor, bool]:
    if name is None:
        return typed_sensor(unit, place)
    sensor = need_sensor(unit, name)
    own = [x for x in sensors_of(unit).assignments() if x.sensor_id == sensor.id]
    there = place_at(own, when)
    if there.casefold() != place.name.casefold():
        where = f"in {there}" if there else "in no place"
        raise RefusedError(
            f"{sensor.name} was {where} then, not in {place.name}; move it first with "
            f"`lidclock temp sensor move`"
        )
    return sensor, False


def mark_of(session: Session) -> Mark:
    """Who records, when and on which device."""
    return Mark(micros(session.now), session.who, session.device)


@dataclass(frozen=True, slots=True)
class Kept:
    """What became of many readings: `future` were from a clock ahead, and left out."""

    added: Added
    future: int


def keep_readings(
    unit: Unit, sensor: Sensor, times_us: ArrayLike, temps_c: ArrayLike
) -> Kept:
    """Keep readings of a sensor in any order, old ones too; each only once.

    Times are whole microseconds since 1970. What lies beyond the present is counted
    and left out. ValueError if a temperature is no number.
    """
    import numpy as np

    session = unit.session
    times = np.asarray(times_us, dtype=np.int64)
    temps = np.asarray(temps_c, dtype=np.float64)
    is_past = times <= micros(session.now + CLOCK_DRIFT)
    store = ReadingStore(unit.connection, session.kitchen.id)
    if is_past.any():
        unit.charging.note(sensor.id, instant(int(times[is_past].min())))
    added = store.add(
        sensor.id,
        times[is_past],
        temps[is_past],
        mark_of(session),
        compact=not sensor.is_typed,
    )
    return Kept(added, int(times.size - is_past.sum()))


def correct_reading(
    session: Session,
    place: str,
    at: datetime,
    temp_c: float | None,
    *,
    sensor: str | None = None,
    reason: str = "",
    anyway: bool = False,
) -> tuple[Sensor, Reading]:
    """Put a mistyped reading right, or strike it (None); the raw one stays.

    `at` names it to the minute. The sensor, and the reading as it was.
    """
    where = session.place(place)
    if temp_c is not None:
        refuse_doubtful(temp_c, where, anyway=anyway)
    with session.write() as unit:
        found = need_sensor(unit, sensor) if sensor else _typed_for(unit, where)
        store = ReadingStore(unit.connection, session.kitchen.id)
        was = _reading_at(store, found, at, session)
        fix = Correction(
            micros(was.at), temp_c, micros(session.now), session.who, reason
        )
        unit.charging.note(found.id, was.at, changed=True)
        while not store.correct(found.id, fix):
            # Put right twice within a microsecond: the later word has to come later.
            fix = replace(fix, recorded_us=fix.recorded_us + 1)
    return found, was


def _typed_for(unit: Unit, place: Place) -> Sensor:
    sensor, is_new = typed_sensor(unit, place)
    if is_new:
        raise UnknownThingError(
            f"nobody typed a reading of {place.name}; name the sensor with --sensor"
        )
    return sensor


def _reading_at(
    store: ReadingStore, sensor: Sensor, at: datetime, session: Session
) -> Reading:
    """The one reading of that minute, as it was read."""
    first = at.replace(second=0, microsecond=0)
    found = store.get(sensor.id, micros(first), micros(first + _MINUTE) - 1)
    readings = [
        Reading(instant(int(us)), float(temp_c))
        for us, temp_c in zip(found.times_us, found.temps_c, strict=True)
    ]
    exact = [one for one in readings if one.at == at]
    if len(exact or readings) == 1:
        return (exact or readings)[0]
    when = say_moment(at, session.kitchen.zone)
    if not readings:
        raise UnknownThingError(
            f"{sensor.name} has no reading at {when}; `lidclock temp list PLACE` shows "
            "the last ones"
        )
    raise RefusedError(
        f"{sensor.name} has {len(readings)} readings at {when}: {_listed(readings)}; "
        "name one to the second with --at"
    )


def _listed(readings: Sequence[Reading]) -> str:
    return ", ".join(f"{one.at:%H:%M:%S}Z {say_temp(one.temp_c)}" for one in readings)
