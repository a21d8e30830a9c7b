"""The card that each device showed last, so that its numbers mean what was seen."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import datetime

import sqlalchemy as sa

from lidclock.store.rows import as_json, instant, micros
from lidclock.store.statements import putting, run
from lidclock.store.tables import card

_PUT = putting(card)
_GET = sa.select(card.c.shown_us, card.c.body).where(
    card.c.kitchen_id == sa.bindparam("kitchen_id"),
    card.c.device == sa.bindparam("device"),
)


class Cards:
    """The cards of one kitchen, within one transaction; each device has its own."""

    def __init__(self, connection: sa.Connection, kitchen_id: str) -> None:
        self._connection = connection
        self._kitchen_id = kitchen_id

    def put(
        self, device: str, shown_at: datetime, shown: Sequence[tuple[str, str]]
    ) -> None:
        """Keep key and words of what was shown, by number from 1."""
        row = {
            "kitchen_id": self._kitchen_id,
            "device": device,
            "shown_us": micros(shown_at),
            "body": as_json([list(one) for one in shown]),
        }
        run(self._connection, _PUT, row)

    def get(self, device: str) -> tuple[datetime, list[tuple[str, str]]] | None:
        """When a device showed its last card, and what was on it; None for never."""
        key = {"kitchen_id": self._kitchen_id, "device": device}
        row = run(self._connection, _GET, key).fetchone()
        if row is None:
            return None
        return instant(row[0]), [(key, says) for key, says in json.loads(row[1])]
