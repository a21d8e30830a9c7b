"""The hash of the secret under which a kitchen's calendar is read."""

from __future__ import annotations

from datetime import datetime

import sqlalchemy as sa

from lidclock.store.rows import instant, micros
from lidclock.store.statements import putting, run
from lidclock.store.tables import feed

_here = feed.c.kitchen_id == sa.bindparam("kitchen_id")
_PUT = putting(feed)
_GET = sa.select(feed.c.token_hash, feed.c.made_us).where(_here)
_DROP = sa.delete(feed).where(_here)


class Feeds:
    """The calendar's secret of one kitchen, within one transaction."""

    def __init__(self, connection: sa.Connection, kitchen_id: str) -> None:
        self._connection = connection
        self._kitchen_id = kitchen_id

    def put(self, token_hash: str, made_at: datetime) -> None:
        """Keep a hash in place of the one before: that secret opens nothing more."""
        row = {
            "kitchen_id": self._kitchen_id,
            "token_hash": token_hash,
            "made_us": micros(made_at),
        }
        run(self._connection, _PUT, row)

    def get(self) -> tuple[str, datetime] | None:
        """The hash and when its secret was made; None where there is no feed."""
        key = {"kitchen_id": self._kitchen_id}
        row = run(self._connection, _GET, key).fetchone()
        return None if row is None else (row[0], instant(row[1]))

    def drop(self) -> bool:
        """Forget the secret; False if there was none."""
        key = {"kitchen_id": self._kitchen_id}
        return run(self._connection, _DROP, key).rowcount == 1
