"""Sensors: what measures, where it was, how far off it is."""

from __future__ import annotations

import sqlite3
from typing import Any

import sqlalchemy as sa

from lidclock.domain.readings import Assignment, Offset, Sensor
from lidclock.errors import RefusedError
from lidclock.store import tables
from lidclock.store.rows import instant, micros, named
from lidclock.store.statements import adding, putting, run

_SENSOR, _PLACE = tables.sensor, tables.sensor_place
_OFFSET, _LAG = tables.sensor_offset, tables.place_lag


def _all(table: sa.Table, *order: str) -> sa.Select[Any]:
    here = table.c.kitchen_id == sa.bindparam("kitchen_id")
    return sa.select(table).where(here).order_by(*(table.c[name] for name in order))


_ADD, _PUT = adding(_SENSOR), putting(_SENSOR)
_ALL = _all(_SENSOR, "name_key")
_ADD_PLACE, _PLACES = adding(_PLACE), _all(_PLACE, "sensor_id", "since_us")
_ADD_OFFSET, _OFFSETS = adding(_OFFSET), _all(_OFFSET, "sensor_id", "since_us")
_PUT_LAG, _LAGS = putting(_LAG), _all(_LAG, "name_key")
_ANY = (
    sa.select(sa.func.count())
    .select_from(_SENSOR)
    .where(_SENSOR.c.kitchen_id == sa.bindparam("kitchen_id"))
)


class Sensors:
    """The sensors of one kitchen, within one transaction."""

    def __init__(self, connection: sa.Connection, kitchen_id: str) -> None:
        self._connection = connection
        self._kitchen = {"kitchen_id": kitchen_id}

    def any(self) -> bool:
        """Whether there is one at all; asked before anything heavy is imported."""
        (count,) = self._run(_ANY).fetchone()
        return bool(count)

    def all(self) -> list[Sensor]:
        """Every sensor, by name."""
        return [_sensor_of(row) for row in self._run(_ALL)]

    def get(self, name_or_id: str) -> Sensor | None:
        """The sensor of that name, in any case, or of that id."""
        wanted = name_or_id.strip().casefold()
        return next(
            (one for one in self.all() if wanted in (one.name.casefold(), one.id)), None
        )

    def add(self, sensor: Sensor) -> None:
        """Add a sensor; RefusedError if one of that name, in any case, is there."""
        if self._run(_ADD, **_sensor_row(sensor)).rowcount != 1:
            raise RefusedError(
                f"there is a sensor {sensor.name!r} already: choose another name"
            )

    def update(self, sensor: Sensor) -> None:
        """Store the changed name, interval or note of a sensor."""
        self._run(_PUT, **_sensor_row(sensor))

    def assignments(self) -> list[Assignment]:
        """Where every sensor was, from when on."""
        rows = [named(_PLACE, row) for row in self._run(_PLACES)]
        return [
            Assignment(row["sensor_id"], instant(row["since_us"]), row["place"])
            for row in rows
        ]

    def move(self, assignment: Assignment) -> bool:
        """Add where a sensor is from an instant on; False if one is known for it."""
        row = {
            "sensor_id": assignment.sensor_id,
            "since_us": micros(assignment.since),
            "place": assignment.place,
        }
        return self._run(_ADD_PLACE, **row).rowcount == 1

    def offsets(self) -> list[Offset]:
        """Every offset of every sensor, the earliest of each first."""
        rows = [named(_OFFSET, row) for row in self._run(_OFFSETS)]
        return [
            Offset(
                row["sensor_id"],
                instant(row["since_us"]),
                row["offset_c"],
                row["method"],
                row["measured_c"],
            )
            for row in rows
        ]

    def add_offset(self, offset: Offset) -> bool:
        """Add an offset from an instant on; False if one is known for it."""
        row = {
            "sensor_id": offset.sensor_id,
            "since_us": micros(offset.since),
            "offset_c": offset.offset_c,
            "method": offset.method,
            "measured_c": offset.measured_c,
        }
        return self._run(_ADD_OFFSET, **row).rowcount == 1

    def lags(self) -> dict[str, float]:
        """How many seconds food lags behind air, by casefolded name of place."""
        rows = [named(_LAG, row) for row in self._run(_LAGS)]
        return {row["name_key"]: row["lag_s"] for row in rows}

    def set_lag(self, place: str, lag_s: float) -> None:
        """Store how far food in a place lags behind its air."""
        self._run(_PUT_LAG, name_key=place.casefold(), lag_s=lag_s)

    def _run(self, statement: sa.ClauseElement, **params: Any) -> sqlite3.Cursor:
        return run(self._connection, statement, {**self._kitchen, **params})


def _sensor_row(sensor: Sensor) -> dict[str, Any]:
    return {
        "id": sensor.id,
        "name_key": sensor.name.casefold(),
        "name": sensor.name,
        "interval_s": sensor.interval_s,
        "note": sensor.note,
        "is_typed": int(sensor.is_typed),
        "check_every_s": sensor.check_every_s,
    }


def _sensor_of(row: tuple[Any, ...]) -> Sensor:
    facts = named(_SENSOR, row)
    del facts["kitchen_id"], facts["name_key"]
    return Sensor(**{**facts, "is_typed": bool(facts["is_typed"])})
