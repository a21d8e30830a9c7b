"""Readings that devices told, by the id that the device gave: each counts once."""

from __future__ import annotations

from dataclasses import dataclass

import sqlalchemy as sa

from lidclock.store.statements import adding, run
from lidclock.store.tables import told_reading as table

_ADD = adding(table)
_GET = sa.select(table.c.place, table.c.told_us, table.c.temp_c).where(
    table.c.kitchen_id == sa.bindparam("kitchen_id"),
    table.c.id == sa.bindparam("id"),
)


@dataclass(frozen=True, slots=True)
class ToldReading:
    """What a device said: where, when by its own clock, and the temperature."""

    place: str
    told_us: int
    temp_c: float


class ToldReadings:
    """What the devices of one kitchen told, within one transaction."""

    def __init__(self, connection: sa.Connection, kitchen_id: str) -> None:
        self._connection = connection
        self._kitchen_id = kitchen_id

    def get(self, reading_id: str) -> ToldReading | None:
        """What was told under an id; None if nothing was."""
        key = {"kitchen_id": self._kitchen_id, "id": reading_id}
        row = run(self._connection, _GET, key).fetchone()
        return None if row is None else ToldReading(*row)

    def add(self, reading_id: str, one: ToldReading) -> None:
        """Keep what was told under an id that is new."""
        row = {
            "kitchen_id": self._kitchen_id,
            "id": reading_id,
            "place": one.place,
            "told_us": one.told_us,
            "temp_c": one.temp_c,
        }
        run(self._connection, _ADD, row)
