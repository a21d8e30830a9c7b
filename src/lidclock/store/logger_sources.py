"""How to read the files of each logger, as it was said or found the last time."""

from __future__ import annotations

import json
from typing import Any

import sqlalchemy as sa

from lidclock.store.statements import putting, run
from lidclock.store.tables import logger_source

_PUT = putting(logger_source)
_GET = sa.select(logger_source.c.body).where(
    logger_source.c.kitchen_id == sa.bindparam("kitchen_id"),
    logger_source.c.source == sa.bindparam("source"),
)


class LoggerSources:
    """The sources of readings that one kitchen knows, within one transaction."""

    def __init__(self, connection: sa.Connection, kitchen_id: str) -> None:
        self._connection = connection
        self._kitchen_id = kitchen_id

    def get(self, source: str) -> dict[str, Any] | None:
        """What is known of a source; None if nothing is."""
        params = {"kitchen_id": self._kitchen_id, "source": source}
        row = run(self._connection, _GET, params).fetchone()
        return None if row is None else json.loads(row[0])

    def put(self, source: str, body: dict[str, Any]) -> None:
        """Remember what is known of a source, in place of what was."""
        text = json.dumps(body, ensure_ascii=False, separators=(",", ":"))
        params = {"kitchen_id": self._kitchen_id, "source": source, "body": text}
        run(self._connection, _PUT, params)
