"""The projections: what lists show without folding the ledger again."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Mapping
from datetime import datetime
from functools import cache
from typing import Any

import sqlalchemy as sa

from lidclock.domain.containers import Batch
from lidclock.domain.foods import Food, food_from
from lidclock.domain.snapshots import Snapshot
from lidclock.store import tables
from lidclock.store.rows import (
    as_json,
    batch_of,
    batch_row,
    instant,
    micros,
    named,
    snapshot_of,
    snapshot_row,
    subject_rows,
)
from lidclock.store.statements import adding, listed, putting, run, run_each
from lidclock.store.tables import (
    COOLING,
    LIVE,
    LIVE_BY_INDEX,
    MISSING,
    PROJECTIONS,
    READY,
    UNMARKED,
)
from lidclock.store.tables import batch as batches
from lidclock.store.tables import container as containers
from lidclock.store.tables import container_subject as links
from lidclock.store.tables import food as foods

_NO_LIMIT = -1  # what SQLite takes for "all rows"
_of = containers.c
_soonest_first = (_of.last_moment_us.asc().nulls_last(), _of.code)


def _here(table: sa.Table) -> sa.ColumnElement[bool]:
    return table.c.kitchen_id == sa.bindparam("kitchen_id")


def _same(column: sa.Column[Any]) -> sa.ColumnElement[bool]:
    return column == sa.bindparam(column.name)


def _containers(*conditions: sa.ColumnElement[bool] | sa.TextClause) -> sa.Select[Any]:
    return sa.select(containers).where(_here(containers), *conditions)


_limit = sa.bindparam("limit", type_=sa.Integer)
# Left out, the offset would become a parameter that nobody supplies.
_from_first = sa.literal_column("0", sa.Integer)
_live = sa.text(LIVE)
_live_by_index = sa.text(LIVE_BY_INDEX)
_PUT = putting(containers)
_PUT_BATCH = putting(batches)
_PUT_FOOD = putting(foods)
_LINK = adding(links)
_UNLINK = sa.delete(links).where(_here(links), _same(links.c.code))
_DROP = sa.delete(containers).where(_here(containers), _same(_of.code))
_DROP_BATCH = sa.delete(batches).where(_here(batches), _same(batches.c.id))
_DROP_FOOD = sa.delete(foods).where(_here(foods), _same(foods.c.name_key))
_CLEAR = [sa.delete(table).where(_here(table)) for table in PROJECTIONS]
_DUMP = [sa.select(table).where(_here(table)) for table in PROJECTIONS]
_ONE = _containers(_same(_of.code))
_THOSE = _containers(_of.code.in_(listed("codes")))
_CODES = sa.select(_of.code).where(_here(containers), _live_by_index)
_DUE = (
    _containers(
        _of.standing == sa.literal_column("'dated'"),
        _of.last_moment_us <= sa.bindparam("until_us"),
    )
    .order_by(_of.last_moment_us, _of.code)
    .limit(_limit)
    .offset(_from_first)
)
_UNMARKED = (
    _containers(sa.text(UNMARKED)).order_by(_of.code).limit(_limit).offset(_from_first)
)
_PAUSED = _containers(_of.standing == sa.literal_column("'paused'")).order_by(
    _of.days_left.asc().nulls_last(), _of.code
)
_UNKNOWN = _containers(_of.standing == sa.literal_column("'unknown'")).order_by(
    _of.made_us, _of.code
)
_MISSING = _containers(sa.text(MISSING)).order_by(_of.ended_us, _of.code)
_COOLING = _containers(sa.text(COOLING)).order_by(_of.cooling_us, _of.code)
_READY = _containers(sa.text(READY)).order_by(_of.ready_us, _of.code)
# Of the wide rows only what tells who ate what when, and what there was to eat.
_STAYS = sa.select(
    *(_of.code, _of.food_key, _of.end_kind, _of.mass_g, _of.ended_us),
    sa.func.coalesce(_of.made_us, _of.opened_us),
).where(
    _here(containers),
    sa.or_(_of.ended_us.is_(None), _of.ended_us >= sa.bindparam("since_us")),
)
_FIRST_MADE = (
    sa.select(batches.c.food, sa.func.min(batches.c.made_us))
    .where(_here(batches))
    .group_by(batches.c.food)
)
_TWINS = _containers(_live, _same(_of.food_key)).order_by(
    _of.last_moment_us.asc().nulls_last(),
    _of.opened_us.is_(None),
    _of.made_us.asc().nulls_last(),
    _of.code,
)
_FOOD = sa.select(foods.c.body).where(_here(foods), _same(foods.c.name_key))
_FOODS = sa.select(foods.c.body).where(_here(foods)).order_by(foods.c.name_key)
_BATCH = (
    sa.select(batches)
    .where(_here(batches), _same(batches.c.number))
    .order_by(batches.c.made_us.desc(), batches.c.id.desc())
)
_BATCHES = sa.select(batches).where(_here(batches)).order_by(batches.c.number)
_DEPENDENTS = (
    sa.select(links.c.code).where(_here(links), links.c.subject.in_(listed("subjects")))
    # Sorting here would tempt SQLite to walk every code instead of the subjects.
)
# A container that ended before is not touched by what its place did since.
_PRESENT = (
    sa.select(links.c.code)
    .join(
        containers,
        sa.and_(_of.kitchen_id == links.c.kitchen_id, _of.code == links.c.code),
    )
    .where(
        _here(links),
        links.c.subject.in_(listed("subjects")),
        sa.or_(_live_by_index, _of.ended_us >= sa.bindparam("since_us")),
    )
)


class Snapshots:
    """The projections of one kitchen; derived, so they can be dropped and rebuilt."""

    def __init__(self, connection: sa.Connection, kitchen_id: str) -> None:
        self._connection = connection
        self._kitchen_id = kitchen_id

    def put_all(
        self,
        snapshots: Iterable[Snapshot],
        earlier: Mapping[str, Snapshot | None] | None = None,
    ) -> None:
        """Store the states of containers in place of any earlier ones.

        `earlier` is how they stand here by their codes, where that was looked up.
        """
        whole, known = list(snapshots), earlier or {}
        if not whole:
            return
        rows = [snapshot_row(self._kitchen_id, snapshot) for snapshot in whole]
        run_each(self._connection, _PUT, rows)
        others = [one for one in whole if not _is_linked(one, known.get(one.code))]
        if others:
            self._link(others)

    def _link(self, snapshots: list[Snapshot]) -> None:
        codes = [self._params(code=snapshot.code) for snapshot in snapshots]
        run_each(self._connection, _UNLINK, codes)
        rows = subject_rows(self._kitchen_id, snapshots)
        run_each(self._connection, _LINK, rows)

    def put_batch(self, batch: Batch) -> None:
        """Store one batch in place of any earlier state of it."""
        run(self._connection, _PUT_BATCH, batch_row(self._kitchen_id, batch))

    def put_food(self, food: Food) -> None:
        """Store one food in place of any earlier description of it."""
        body = as_json(food.as_dict())
        self._run(_PUT_FOOD, name_key=food.name.casefold(), body=body)

    def drop(self, code: str) -> None:
        """Forget a container whose filling was taken back."""
        self._run(_DROP, code=code)
        self._run(_UNLINK, code=code)

    def drop_batch(self, batch_id: str) -> None:
        """Forget a batch whose making was taken back."""
        self._run(_DROP_BATCH, id=batch_id)

    def drop_food(self, name: str) -> None:
        """Forget a food whose description was taken back."""
        self._run(_DROP_FOOD, name_key=name.casefold())

    def get(self, code: str) -> Snapshot | None:
        """The container with that code, if there is one."""
        row = self._run(_ONE, code=code).fetchone()
        return None if row is None else snapshot_of(row)

    def those(self, codes: Iterable[str]) -> dict[str, Snapshot]:
        """The containers with those codes, as far as there are any, ended ones too."""
        found = self._list(_THOSE, codes=as_json(list(codes)))
        return {one.code: one for one in found}

    def codes(self) -> list[str]:
        """The codes of all live containers."""
        return sorted(code for (code,) in self._run(_CODES))

    def due(self, until: datetime, limit: int | None = None) -> list[Snapshot]:
        """Live containers whose last moment comes by `until`, the soonest first."""
        return self._list(_DUE, until_us=micros(until), limit=_count(limit))

    def unmarked(self, limit: int | None = None) -> list[Snapshot]:
        """Live containers without a place or without a last day."""
        return self._list(_UNMARKED, limit=_count(limit))

    def paused(self) -> list[Snapshot]:
        """Frozen containers, those with the fewest days left first."""
        return self._list(_PAUSED)

    def unknown(self) -> list[Snapshot]:
        """Live containers for which no last day can be given, the oldest first."""
        return self._list(_UNKNOWN)

    def missing(self) -> list[Snapshot]:
        """Containers that were looked for and not seen, the longest missing first."""
        return self._list(_MISSING)

    def cooling(self) -> list[Snapshot]:
        """Live containers whose cooling log is open, the longest open first."""
        return self._list(_COOLING)

    def thawing(self) -> list[Snapshot]:
        """Live containers that should be thawed by an hour, or were, by that hour."""
        return self._list(_READY)

    def find(
        self,
        *,
        place: str | None = None,
        food: str | None = None,
        state: str | None = None,
        batch: int | None = None,
        live: bool = True,
    ) -> list[Snapshot]:
        """Containers that meet every condition given; ended ones too unless `live`."""
        wanted = {
            "place": place,
            "food_key": None if food is None else food.casefold(),
            "state": state,
            "batch_number": batch,
        }
        given = {name: value for name, value in wanted.items() if value is not None}
        return self._list(_find(frozenset(given), live=live), **given)

    def twins(self, food: str) -> list[Snapshot]:
        """Live containers of one food in the order in which to use them.

        The last moment decides; then an opened one before a closed one, then age.
        """
        return self._list(_TWINS, food_key=food.casefold())

    def there_since(self, since: datetime) -> list[tuple[Any, ...]]:
        """One row for each container that is live or ended from `since` on, unordered:

        code, food casefolded, how it ended, grams in it, when it ended, and when it was
        made or opened; instants in microseconds as stored, None where not known.
        """
        return self._run(_STAYS, since_us=micros(since)).fetchall()

    def first_made(self) -> dict[str, datetime]:
        """When each food, casefolded, was first made here."""
        first: dict[str, datetime] = {}
        for food, us in self._run(_FIRST_MADE):
            made_at, key = instant(us), food.casefold()
            first[key] = min(made_at, first.get(key, made_at))
        return first

    def food(self, name: str) -> Food | None:
        """The food of that name, however it is capitalised."""
        row = self._run(_FOOD, name_key=name.casefold()).fetchone()
        return None if row is None else food_from(json.loads(row[0]))

    def foods(self) -> list[Food]:
        """Every food described, by name."""
        return [food_from(json.loads(body)) for (body,) in self._run(_FOODS)]

    def batch(self, number: int) -> Batch | None:
        """The batch with that number; the latest, should two devices have used it."""
        row = self._run(_BATCH, number=number).fetchone()
        return None if row is None else batch_of(row)

    def batches(self) -> list[Batch]:
        """Every batch, by number."""
        return [batch_of(row) for row in self._run(_BATCHES)]

    def dependents(self, subjects: Iterable[str]) -> list[str]:
        """Codes of the containers whose state depends on any of `subjects`."""
        rows = self._run(_DEPENDENTS, subjects=as_json(list(subjects)))
        return sorted({code for (code,) in rows})

    def present(self, subjects: Iterable[str], since: datetime) -> list[str]:
        """Those that depend on `subjects` themselves, and had not ended by `since`."""
        params = {"subjects": as_json(list(subjects)), "since_us": micros(since)}
        return sorted({code for (code,) in self._run(_PRESENT, **params)})

    def clear(self) -> None:
        """Drop every projection of this kitchen; the ledger stays."""
        for statement in _CLEAR:
            self._run(statement)

    def dump(self) -> list[str]:
        """Every projected row as text, sorted: two equal dumps are equal states."""
        return sorted(
            f"{table.name} {as_json(named(table, row))}"
            for table, query in zip(tables.PROJECTIONS, _DUMP, strict=True)
            for row in self._run(query)
        )

    def _list(self, statement: sa.ClauseElement, **params: Any) -> list[Snapshot]:
        return [snapshot_of(row) for row in self._run(statement, **params)]

    def _run(self, statement: sa.ClauseElement, **params: Any) -> sqlite3.Cursor:
        return run(self._connection, statement, self._params(**params))

    def _params(self, **params: Any) -> dict[str, Any]:
        return {"kitchen_id": self._kitchen_id, **params}


@cache
def _find(names: frozenset[str], *, live: bool) -> sa.Select[Any]:
    query = _containers(*(_same(_of[name]) for name in sorted(names)))
    if live:
        query = query.where(_live if names else _live_by_index)
    return query.order_by(*_soonest_first)


def _is_linked(snapshot: Snapshot, earlier: Snapshot | None) -> bool:
    return earlier is not None and earlier.subjects == snapshot.subjects


def _count(limit: int | None) -> int:
    return _NO_LIMIT if limit is None else limit
