"""Readings in blocks: added once, never altered, read back as they were."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from typing import Any

import numpy as np
import sqlalchemy as sa
from numpy.typing import ArrayLike

from lidclock.store.blocks import pack, unpack
from lidclock.store.reading_values import (
    Added,
    Block,
    Correction,
    Extent,
    Mark,
    Readings,
    compared,
    in_order,
    runs,
)
from lidclock.store.rows import named
from lidclock.store.statements import adding, run
from lidclock.store.tables import reading_block as block
from lidclock.store.tables import reading_correction as correction

DAY_US = 86_400_000_000
# More blocks than this of one sensor and day become one.
MOST_BLOCKS = 16
_FIRST_US, _LAST_US = -(2**62), 2**62

_of_sensor = sa.and_(
    block.c.kitchen_id == sa.bindparam("kitchen_id"),
    block.c.sensor_id == sa.bindparam("sensor_id"),
)
_ADD = adding(block)
_DROP = sa.delete(block).where(
    _of_sensor, block.c.started_us == sa.bindparam("started_us")
)
# No block is longer than a day, so the key alone finds those that reach a window.
_OVERLAPPING = (
    sa.select(block)
    .where(
        _of_sensor,
        block.c.started_us >= sa.bindparam("earliest_us"),
        block.c.started_us <= sa.bindparam("last_us"),
        block.c.ended_us >= sa.bindparam("first_us"),
    )
    .order_by(block.c.started_us)
)
_COUNT = sa.select(sa.func.count()).where(
    _of_sensor,
    block.c.started_us >= sa.bindparam("first_us"),
    block.c.started_us <= sa.bindparam("last_us"),
)
_EXTENT = sa.select(
    sa.func.min(block.c.started_us),
    sa.func.max(block.c.ended_us),
    sa.func.sum(block.c.count),
).where(_of_sensor)
_LAST_BEGUN = sa.select(sa.func.max(block.c.started_us)).where(
    _of_sensor, block.c.started_us <= sa.bindparam("at_us")
)
_RECORDERS = (
    sa.select(block.c.who, block.c.device)
    .where(_of_sensor)
    .distinct()
    .order_by(block.c.who, block.c.device)
)
_CORRECT = adding(correction)
_CORRECTIONS = (
    sa.select(correction)
    .where(
        correction.c.kitchen_id == sa.bindparam("kitchen_id"),
        correction.c.sensor_id == sa.bindparam("sensor_id"),
    )
    .order_by(correction.c.recorded_us)
)


class ReadingStore:
    """The readings of one kitchen, within one transaction."""

    def __init__(self, connection: sa.Connection, kitchen_id: str) -> None:
        self._connection = connection
        self._kitchen_id = kitchen_id

    def add(
        self,
        sensor_id: str,
        times_us: ArrayLike,
        temps_c: ArrayLike,
        mark: Mark,
        *,
        compact: bool = True,
    ) -> Added:
        """Add readings in any order; what is there already is left as it is.

        Several values for one instant: the one that was there, or that was given
        first, is kept, and the others are told. With `compact`, a day of many small
        blocks becomes one, whose mark is the latest; leave that out where it matters
        who recorded each of them. ValueError if a value is no number.
        """
        given, clashes, known = in_order(times_us, temps_c)
        if not given.times_us.size:
            return Added(0, known)
        first_us, last_us = int(given.times_us[0]), int(given.times_us[-1])
        stored = self._raw(sensor_id, first_us, last_us)
        is_new, more = compared(given, stored)
        clashes += more
        known += int((~is_new).sum()) - len(more)
        fresh = Readings(given.times_us[is_new], given.temps_c[is_new])
        days = fresh.times_us // DAY_US
        for first, end in runs(days):
            part = Readings(fresh.times_us[first:end], fresh.temps_c[first:end])
            self._insert(sensor_id, Block(part, mark))
        if compact:
            for day in np.unique(days).tolist():
                self._compact(sensor_id, day * DAY_US)
        return Added(fresh.times_us.size, known, tuple(clashes))

    def get(
        self,
        sensor_id: str,
        first_us: int = _FIRST_US,
        last_us: int = _LAST_US,
    ) -> Readings:
        """The readings from `first_us` up to and including `last_us`, put right."""
        return self._corrected(sensor_id, self._raw(sensor_id, first_us, last_us))

    def blocks(
        self, sensor_id: str, first_us: int = _FIRST_US, last_us: int = _LAST_US
    ) -> Iterator[Block]:
        """Every block of raw readings that reaches into a time, with its mark."""
        yield from self._blocks(sensor_id, first_us, last_us)

    def recorders(self, sensor_id: str) -> list[tuple[str, str]]:
        """Everybody who recorded readings of a sensor: handle and device."""
        return [
            (who, device) for who, device in self._run(_RECORDERS, sensor_id=sensor_id)
        ]

    def extent(self, sensor_id: str) -> Extent | None:
        """When the sensor was first and last read; None if it never was."""
        first, last, count = self._run(_EXTENT, sensor_id=sensor_id).fetchone()
        return None if first is None else Extent(first, last, count)

    def last_begun(self, sensor_id: str, at_us: int) -> int | None:
        """When the last block that begins by `at_us` begins; None if there is none.

        From there on the last reading before `at_us` is among what `get` gives.
        """
        row = self._run(_LAST_BEGUN, sensor_id=sensor_id, at_us=at_us).fetchone()
        found: int | None = row[0]
        return found

    def correct(self, sensor_id: str, one: Correction) -> bool:
        """Put a reading right, or strike it; the raw one stays. False if it was so."""
        row = {
            "at_us": one.at_us,
            "recorded_us": one.recorded_us,
            "temp_c": one.temp_c,
            "who": one.who,
            "reason": one.reason,
        }
        return self._run(_CORRECT, sensor_id=sensor_id, **row).rowcount == 1

    def corrections(self, sensor_id: str) -> list[Correction]:
        """Every correction of a sensor's readings, as they were recorded."""
        rows = self._run(_CORRECTIONS, sensor_id=sensor_id)
        facts = [named(correction, row) for row in rows]
        for one in facts:
            del one["kitchen_id"], one["sensor_id"]
        return [Correction(**one) for one in facts]

    def _corrected(self, sensor_id: str, raw: Readings) -> Readings:
        latest = {one.at_us: one.temp_c for one in self.corrections(sensor_id)}
        if not latest or not raw.times_us.size:
            return raw
        temps, is_kept = raw.temps_c.copy(), np.ones(raw.times_us.size, dtype=np.bool_)
        for at_us, temp_c in latest.items():
            place = int(np.searchsorted(raw.times_us, at_us))
            if place < raw.times_us.size and raw.times_us[place] == at_us:
                is_kept[place] = temp_c is not None
                temps[place] = temps[place] if temp_c is None else temp_c
        return Readings(raw.times_us[is_kept], temps[is_kept])

    def _raw(self, sensor_id: str, first_us: int, last_us: int) -> Readings:
        found = [one.readings for one in self._blocks(sensor_id, first_us, last_us)]
        if not found:
            return Readings(np.empty(0, dtype=np.int64), np.empty(0))
        times = np.concatenate([one.times_us for one in found])
        temps = np.concatenate([one.temps_c for one in found])
        if not (times[1:] > times[:-1]).all():
            order = np.argsort(times)
            times, temps = times[order], temps[order]
        first = int(np.searchsorted(times, first_us, side="left"))
        end = int(np.searchsorted(times, last_us, side="right"))
        return Readings(times[first:end], temps[first:end])

    def _blocks(self, sensor_id: str, first_us: int, last_us: int) -> Iterator[Block]:
        params = {
            "earliest_us": max(first_us - DAY_US, _FIRST_US),
            "first_us": first_us,
            "last_us": last_us,
        }
        for row in self._run(_OVERLAPPING, sensor_id=sensor_id, **params):
            facts = named(block, row)
            times, temps = unpack(facts["packed"])
            mark = Mark(facts["recorded_us"], facts["who"], facts["device"])
            yield Block(Readings(times, temps), mark)

    def _insert(self, sensor_id: str, one: Block) -> None:
        times, temps = one.readings.times_us, one.readings.temps_c
        self._run(
            _ADD,
            sensor_id=sensor_id,
            started_us=int(times[0]),
            ended_us=int(times[-1]),
            count=times.size,
            recorded_us=one.mark.recorded_us,
            who=one.mark.who,
            device=one.mark.device,
            packed=pack(times, temps),
        )

    def _compact(self, sensor_id: str, day_us: int) -> None:
        """Make one block of a day's many."""
        day = {"first_us": day_us, "last_us": day_us + DAY_US - 1}
        (count,) = self._run(_COUNT, sensor_id=sensor_id, **day).fetchone()
        if count <= MOST_BLOCKS:
            return
        small = list(self._blocks(sensor_id, **day))
        whole = self._raw(sensor_id, **day)
        for one in small:
            started_us = int(one.readings.times_us[0])
            self._run(_DROP, sensor_id=sensor_id, started_us=started_us)
        latest = max((one.mark for one in small), key=lambda mark: mark.recorded_us)
        self._insert(sensor_id, Block(whole, latest))

    def _run(self, statement: sa.ClauseElement, **params: Any) -> sqlite3.Cursor:
        params["kitchen_id"] = self._kitchen_id
        return run(self._connection, statement, params)
