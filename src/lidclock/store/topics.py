"""Which sensor speaks under which topic, and what a listener has to remember."""

from __future__ import annotations

import sqlite3
from typing import Any

import sqlalchemy as sa

from lidclock.domain.topics import SensorTopic
from lidclock.store.rows import named
from lidclock.store.statements import putting, run
from lidclock.store.tables import listener, sensor_topic

_here = sensor_topic.c.kitchen_id == sa.bindparam("kitchen_id")
_PUT = putting(sensor_topic)
_ALL = sa.select(sensor_topic).where(_here).order_by(sensor_topic.c.topic)
_DROP = sa.delete(sensor_topic).where(
    _here, sensor_topic.c.topic == sa.bindparam("topic")
)
_REMEMBER = putting(listener)
_RECALL = sa.select(listener.c.body).where(
    listener.c.kitchen_id == sa.bindparam("kitchen_id"),
    listener.c.client == sa.bindparam("client"),
)


class Topics:
    """The topics of one kitchen's sensors, within one transaction."""

    def __init__(self, connection: sa.Connection, kitchen_id: str) -> None:
        self._connection = connection
        self._kitchen_id = kitchen_id

    def all(self) -> list[SensorTopic]:
        """Every topic, in order."""
        rows = [named(sensor_topic, row) for row in self._run(_ALL)]
        return [
            SensorTopic(row["topic"], row["sensor_id"], row["unit"]) for row in rows
        ]

    def put(self, one: SensorTopic) -> None:
        """Say whose a topic is, in place of whose it was."""
        self._run(_PUT, topic=one.topic, sensor_id=one.sensor_id, unit=one.unit)

    def drop(self, topic: str) -> bool:
        """Forget a topic; False if it is not known."""
        return self._run(_DROP, topic=topic).rowcount == 1

    def recall(self, client: str) -> str:
        """What a client of a broker left behind; empty if it was never there."""
        row = self._run(_RECALL, client=client).fetchone()
        return "" if row is None else str(row[0])

    def remember(self, client: str, body: str) -> None:
        """Keep what a client of a broker has to know when it comes back."""
        self._run(_REMEMBER, client=client, body=body)

    def _run(self, statement: sa.ClauseElement, **params: Any) -> sqlite3.Cursor:
        params["kitchen_id"] = self._kitchen_id
        return run(self._connection, statement, params)
