"""The ledger: append and read; by design there is no update and no delete."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from lidclock.domain.events import Event
from lidclock.domain.fold import corrected, voided_ids
from lidclock.errors import EventConflictError
from lidclock.store.rows import as_json, event_of, event_row, micros
from lidclock.store.statements import adding, listed, run, run_each
from lidclock.store.tables import event as table

_here = table.c.kitchen_id == sa.bindparam("kitchen_id")
_in_order = (table.c.happened_us, table.c.id)
_latest_first = (table.c.recorded_us.desc(), table.c.id.desc())

_ADD = adding(table)
_ONE = sa.select(table).where(_here, table.c.id == sa.bindparam("id"))
_THOSE = sa.select(table).where(_here, table.c.id.in_(listed("ids")))
_POSITION: sa.Select[Any] = sa.select(sa.literal_column("max(rowid)")).select_from(
    table
)
_OF = (
    sa.select(table)
    .where(_here, table.c.subject.in_(listed("subjects")))
    .order_by(*_in_order)
)
_STARTING = (
    sa.select(table)
    .where(
        _here,
        table.c.subject >= sa.bindparam("first"),
        table.c.subject < sa.bindparam("after"),
    )
    .order_by(*_in_order)
)
_ALL = sa.select(table).where(_here).order_by(*_in_order)
_LATEST = sa.select(table).where(_here).order_by(*_latest_first)
_SINCE = (
    sa.select(table)
    .where(
        _here,
        table.c.recorded_us >= sa.bindparam("since_us"),
        table.c.kind == sa.bindparam("kind"),
    )
    .order_by(table.c.recorded_us, table.c.id)
)
_OF_ACT = (
    sa.select(table)
    .where(_here, sa.text("act <> ''"), table.c.act == sa.bindparam("act"))
    .order_by(*_in_order)
)
_TAKEN = sa.select(
    *(table.c.id, table.c.subject, table.c.happened_us),
    sa.func.json_extract(table.c.body, sa.literal_column("'$.mass_g'")),
).where(
    _here,
    table.c.recorded_us >= sa.bindparam("since_us"),
    sa.text("kind = 'taken'"),
)
_CORRECTIONS = (
    sa.select(table)
    .where(_here, sa.text("kind = 'corrected'"))
    .order_by(*_latest_first)
)
_HIGHEST_NUMBER = sa.select(
    sa.func.max(sa.func.json_extract(table.c.body, sa.literal_column("'$.number'")))
).where(_here, sa.text("kind = 'made'"))


class Ledger:
    """The events of one kitchen."""

    def __init__(self, connection: sa.Connection, kitchen_id: str) -> None:
        self._connection = connection
        self._kitchen_id = kitchen_id

    def append(self, event: Event) -> bool:
        """Record `event` once; False if this very event was already here.

        Raises EventConflictError if another event bears its id, or if it fills a
        container under a code that was given out before.
        """
        return self.append_all([event]) == 1

    def append_all(self, events: Iterable[Event]) -> int:
        """Record each of `events` once, as `append` does; how many were new."""
        rows = [event_row(self._kitchen_id, event) for event in events]
        if not rows:
            return 0
        added = run_each(self._connection, _ADD, rows).rowcount
        if added < len(rows):
            for row in rows:
                self._check_kept(row)
        return added

    def _check_kept(self, row: Mapping[str, Any]) -> None:
        known = run(self._connection, _ONE, row).fetchone()
        if known is None:
            raise EventConflictError(
                f"code {row['subject']} was given to a container before and is never "
                "reused: fill under a new code"
            )
        if known != tuple(row.values()):
            raise EventConflictError(
                f"event {row['id']} is already recorded with other content: record "
                "the change as a correction"
            )

    def get(self, event_id: str) -> Event | None:
        """The event with that id, if it is here."""
        row = run(self._connection, _ONE, self._params(id=event_id)).fetchone()
        return None if row is None else event_of(row)

    def those(self, ids: Iterable[str]) -> dict[str, Event]:
        """The events with those ids, as far as they are here."""
        params = self._params(ids=as_json(list(ids)))
        rows = run(self._connection, _THOSE, params)
        return {event.id: event for event in map(event_of, rows)}

    def position(self) -> int:
        """A number that grows with every event recorded, whatever its times say.

        SQLite gives each new row a rowid above all others (documentation, "ROWIDs").
        """
        (highest,) = run(self._connection, _POSITION, {}).fetchone()
        return int(highest or 0)

    def of(self, subjects: Iterable[str]) -> list[Event]:
        """Everything recorded about any of `subjects`, as it happened."""
        params = self._params(subjects=as_json(list(subjects)))
        return [event_of(row) for row in run(self._connection, _OF, params)]

    def starting(self, prefix: str, since: str = "") -> list[Event]:
        """Everything recorded about subjects that start with `prefix`, as it happened.

        With `since` only those from that subject on. What takes them back bears their
        own subject, and so comes too.
        """
        after = prefix[:-1] + chr(ord(prefix[-1]) + 1)
        params = self._params(first=since or prefix, after=after)
        return [event_of(row) for row in run(self._connection, _STARTING, params)]

    def all(self) -> Iterator[Event]:
        """Every event as it happened, read one at a time."""
        return map(event_of, run(self._connection, _ALL, self._params()))

    def latest_act(self, device: str | None = None) -> list[Event]:
        """What still stands of the act recorded last: the next thing to take back.

        An act that was taken back is passed over, and taking back is itself no
        candidate, so undoing again walks further back.
        """
        voided = self._voided()
        for event in map(event_of, run(self._connection, _LATEST, self._params())):
            is_theirs = device is None or event.device == device
            if is_theirs and _can_be_undone(event, voided):
                return self._standing_of_act(event, voided)
        return []

    def _standing_of_act(self, event: Event, voided: set[str]) -> list[Event]:
        whole = self.act(event.act) if event.act else [event]
        return [part for part in whole if _can_be_undone(part, voided)]

    def act(self, act: str) -> list[Event]:
        """Every event that was recorded as one act."""
        rows = run(self._connection, _OF_ACT, self._params(act=act))
        return [event_of(row) for row in rows]

    def standing(self, events: Iterable[Event]) -> list[Event]:
        """Those of `events` that nobody took back, and that are no undo themselves."""
        voided = self._voided()
        return [event for event in events if _can_be_undone(event, voided)]

    def recorded_since(self, since: datetime, kind: str) -> list[Event]:
        """Every event of that kind that was recorded from `since` on, in that order."""
        params = {**self._params(kind=kind), "since_us": micros(since)}
        rows = run(self._connection, _SINCE, params)
        return [event_of(row) for row in rows]

    def taken(self, since: datetime) -> list[tuple[str, int, float]]:
        """What was taken out of containers and stands, recorded from `since` on:

        code, when in microseconds as stored, and grams. Unordered.
        """
        params = {**self._params(), "since_us": micros(since)}
        rows = run(self._connection, _TAKEN, params).fetchall()
        found = run(self._connection, _CORRECTIONS, self._params())
        corrections = [event_of(row) for row in found]
        touched = {event.body.get("event") for event in corrections}
        # Only what somebody corrected is worth the making of a whole event.
        whole = (self.get(row[0]) for row in rows if row[0] in touched)
        standing = corrected([event for event in whole if event] + corrections)
        return [row[1:] for row in rows if row[0] not in touched] + [
            (event.subject, micros(event.happened_at), event.body["mass_g"])
            for event in standing
        ]

    def _voided(self) -> set[str]:
        """Ids that a standing correction voids."""
        rows = run(self._connection, _CORRECTIONS, self._params())
        return voided_ids([event_of(row) for row in rows])

    def next_batch_number(self) -> int:
        """One more than the highest ever given out, batches taken back included."""
        (highest,) = run(self._connection, _HIGHEST_NUMBER, self._params()).fetchone()
        return int(highest or 0) + 1

    def _params(self, **params: str) -> dict[str, str]:
        return {"kitchen_id": self._kitchen_id, **params}


def _can_be_undone(event: Event, voided: set[str]) -> bool:
    is_undo = event.kind == "corrected" and event.body.get("void")
    return not is_undo and event.id not in voided
