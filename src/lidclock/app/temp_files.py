"""Readings out of the kitchen and into another, as CSV or Parquet, without a loss.

Both carry a head: the sensors, where they were, how far off they are, what was put
right. Rows then hold raw readings, a block that was recorded together after another.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any, Protocol

from lidclock.app.charging import ALWAYS_BEFORE
from lidclock.app.sensors import need_sensor
from lidclock.app.session import Session, Unit
from lidclock.domain.readings import Assignment, Offset, Sensor
from lidclock.errors import InputError, RefusedError
from lidclock.store.reading_values import Block, Correction
from lidclock.store.readings import ReadingStore
from lidclock.store.sensors import Sensors
from lidclock.templog.series import instant, micros

FORMAT = "lidclock readings 1"
_BEGINNING = b'# {"format":"lidclock readings'
_PARQUET = (".parquet", ".pq")


@dataclass(frozen=True, slots=True)
class Known:
    """A sensor with everything that belongs to it but its readings."""

    sensor: Sensor
    places: tuple[Assignment, ...] = ()
    offsets: tuple[Offset, ...] = ()
    corrections: tuple[Correction, ...] = ()


@dataclass(frozen=True, slots=True)
class Head:
    """What goes before the rows: sensors, how far food lags by place, who recorded.

    Rows name who recorded them by a place in `people`: handle and device.
    """

    sensors: tuple[Known, ...]
    lags: Mapping[str, float]
    people: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """Readings of one sensor that were recorded together."""

    sensor_id: str
    block: Block


class Kind(Protocol):
    """One way of writing readings to a file."""

    def write(self, path: Path, head: Head, rows: Iterable[Rows]) -> int:
        """Write a file whole or not at all; how many readings there are in it."""
        ...

    def read(self, path: Path) -> tuple[Head, Iterator[Rows]]:
        """The head, and the rows as they are read; InputError where it is wrong."""
        ...


def kind_of(path: Path) -> Kind:
    """CSV or Parquet, by the ending of the file's name."""
    ending = path.suffix.lower()
    if ending == ".csv":
        from lidclock.app import temp_csv

        return temp_csv
    if ending in _PARQUET:
        from lidclock.app import temp_parquet

        return temp_parquet
    raise InputError(f"{path.name} ends in neither .csv nor .parquet: rename it")


def is_export(name: str) -> bool:
    """Whether a file is Parquet, or CSV with our head: other CSV is a logger's."""
    path = Path(name)
    if path.suffix.lower() in _PARQUET:
        return True
    try:
        with path.open("rb") as file:
            return file.read(len(_BEGINNING)) == _BEGINNING
    except OSError:
        return False


def export(session: Session, path: Path, names: Sequence[str] = ()) -> int:
    """Write the readings of all sensors, or of those named; how many."""
    kind = kind_of(path)
    if path.exists():
        raise RefusedError(f"{path} exists already: name a new file")
    with session.read() as unit:
        wanted = {need_sensor(unit, name).id for name in names}
        head = _head_of(unit, wanted)
        return kind.write(path, head, _rows_of(unit, head))


def _head_of(unit: Unit, wanted: set[str]) -> Head:
    kitchen_id = unit.session.kitchen.id
    sensors = Sensors(unit.connection, kitchen_id)
    store = ReadingStore(unit.connection, kitchen_id)
    places, offsets = sensors.assignments(), sensors.offsets()
    known = [
        Known(
            one,
            tuple(x for x in places if x.sensor_id == one.id),
            tuple(x for x in offsets if x.sensor_id == one.id),
            tuple(store.corrections(one.id)),
        )
        for one in sensors.all()
        if not wanted or one.id in wanted
    ]
    ids = [one.sensor.id for one in known]
    people = dict.fromkeys(x for one in ids for x in store.recorders(one))
    return Head(tuple(known), sensors.lags(), tuple(people))


def _rows_of(unit: Unit, head: Head) -> Iterator[Rows]:
    store = ReadingStore(unit.connection, unit.session.kitchen.id)
    for known in head.sensors:
        for block in store.blocks(known.sensor.id):
            yield Rows(known.sensor.id, block)


@dataclass(slots=True)
class Imported:
    """What an import brought: readings new and known, what clashed, what was told."""

    new: int = 0
    known: int = 0
    clashes: int = 0
    notes: tuple[str, ...] = ()


def import_file(session: Session, path: Path) -> Imported:
    """Merge a file of readings into this kitchen, all of it or nothing.

    The same readings twice are one. Sensors are known by their ids; one whose name is
    taken here gets another, and places that this kitchen lacks are told.
    """
    head, rows = kind_of(path).read(path)
    found = Imported()
    with session.write() as unit:
        found.notes = tuple(_take_head(unit, head))
        store = ReadingStore(unit.connection, session.kitchen.id)
        typed = {x.sensor.id for x in head.sensors if x.sensor.is_typed}
        ids = {x.sensor.id for x in head.sensors}
        for one in rows:
            if one.sensor_id not in ids:
                raise InputError(
                    f"{path.name}: a row names the sensor {one.sensor_id!r}, which the "
                    "head of the file does not know"
                )
            readings = one.block.readings
            unit.charging.note(one.sensor_id, instant(int(readings.times_us[0])))
            added = store.add(
                one.sensor_id,
                readings.times_us,
                readings.temps_c,
                one.block.mark,
                compact=one.sensor_id not in typed,
            )
            found.new += added.new
            found.known += added.known
            found.clashes += len(added.clashes)
    return found


def _take_head(unit: Unit, head: Head) -> Iterator[str]:
    """Add what is new of the sensors; what has to be said about it."""
    session = unit.session
    sensors = Sensors(unit.connection, session.kitchen.id)
    store = ReadingStore(unit.connection, session.kitchen.id)
    here = {place.name.casefold() for place in session.places}
    missing: dict[str, str] = {}
    for known in head.sensors:
        if known.sensor.id not in {one.id for one in sensors.all()}:
            sensor = _free_name(known.sensor, sensors)
            if sensor.name != known.sensor.name:
                yield (
                    f"there is another sensor {known.sensor.name!r} here: this one is "
                    f"called {sensor.name!r}"
                )
            sensors.add(sensor)
        unit.charging.note(known.sensor.id, ALWAYS_BEFORE, changed=True)
        for place in known.places:
            sensors.move(place)
            if place.place and place.place.casefold() not in here:
                missing[place.place.casefold()] = place.place
        for offset in known.offsets:
            sensors.add_offset(offset)
        for correction in known.corrections:
            store.correct(known.sensor.id, correction)
    own = sensors.lags()
    for place_key, lag_s in head.lags.items():
        if place_key not in own:
            sensors.set_lag(place_key, lag_s)
    for name in missing.values():
        yield f"this kitchen has no place {name!r}; add it with `lidclock place add`"


def _free_name(sensor: Sensor, sensors: Sensors) -> Sensor:
    name, number = sensor.name, 2
    while sensors.get(name) is not None:
        name, number = f"{sensor.name} ({number})", number + 1
    return replace(sensor, name=name)


def head_json(head: Head) -> str:
    """The head as one line of JSON."""
    facts = {
        "format": FORMAT,
        "lags_s": dict(head.lags),
        "recorded_by": head.people,
        "sensors": [_known_json(one) for one in head.sensors],
    }
    return json.dumps(facts, ensure_ascii=True, separators=(",", ":"))


def _known_json(known: Known) -> dict[str, Any]:
    return {
        "id": known.sensor.id,
        "name": known.sensor.name,
        "interval_s": known.sensor.interval_s,
        "note": known.sensor.note,
        "typed": known.sensor.is_typed,
        "places": [[x.since.isoformat(), x.place] for x in known.places],
        "offsets": [
            [x.since.isoformat(), x.offset_c, x.method, x.measured_c]
            for x in known.offsets
        ],
        "corrections": [
            [
                *(instant(x.at_us).isoformat(), x.temp_c),
                *(instant(x.recorded_us).isoformat(), x.who, x.reason),
            ]
            for x in known.corrections
        ],
    }


def read_head(text: str, name: str) -> Head:
    """The head from its JSON; InputError if it is none of ours."""
    try:
        facts = json.loads(text)
        if facts["format"] != FORMAT:
            raise ValueError(f"format {facts['format']!r}")
        known = tuple(_known_of(one) for one in facts["sensors"])
        lags = {str(key): float(lag) for key, lag in facts["lags_s"].items()}
        people = tuple((str(who), str(device)) for who, device in facts["recorded_by"])
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise InputError(
            f"{name} is no export of readings by lidclock ({FORMAT!r}): {error}"
        ) from error
    return Head(known, lags, people)


def _known_of(facts: dict[str, Any]) -> Known:
    sensor = Sensor(
        facts["id"],
        facts["name"],
        facts["interval_s"],
        facts["note"],
        is_typed=facts["typed"],
    )
    return Known(
        sensor,
        tuple(Assignment(sensor.id, _moment(at), x) for at, x in facts["places"]),
        tuple(Offset(sensor.id, _moment(at), *rest) for at, *rest in facts["offsets"]),
        tuple(
            Correction(micros(_moment(at)), temp_c, micros(_moment(noted)), *rest)
            for at, temp_c, noted, *rest in facts["corrections"]
        ),
    )


def _moment(text: str) -> datetime:
    return datetime.fromisoformat(text)
