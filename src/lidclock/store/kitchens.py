"""Kitchens and their places."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from typing import Any

import sqlalchemy as sa

from lidclock.domain.kitchens import Kitchen, Place
from lidclock.domain.sentences import sentence
from lidclock.errors import RefusedError, StoreError, UnknownThingError
from lidclock.store.rows import kitchen_of, kitchen_row
from lidclock.store.statements import adding, run
from lidclock.store.tables import kitchen as kitchens
from lidclock.store.tables import place as places

_ADD = adding(kitchens)
_ADD_PLACE = adding(places)
_ALL = sa.select(kitchens).order_by(kitchens.c.id)
_ONE = sa.select(kitchens).where(kitchens.c.id == sa.bindparam("id"))
_PLACES = (
    sa.select(
        places.c.name,
        places.c.state,
        # SQLite gives each new row a rowid above all others (documentation, "ROWIDs").
        sa.func.row_number().over(order_by=sa.literal_column("rowid")),
    )
    .where(places.c.kitchen_id == sa.bindparam("kitchen_id"))
    .order_by(places.c.position)
)
_MOVE_PLACE = (
    sa.update(places)
    .where(
        places.c.kitchen_id == sa.bindparam("of_kitchen"),
        places.c.name_key == sa.bindparam("of_name"),
    )
    .values({"position": sa.bindparam("position", type_=places.c.position.type)})
)
_UPDATE = (
    sa.update(kitchens)
    .where(kitchens.c.id == sa.bindparam("id"))
    .values(
        {
            column.name: sa.bindparam(column.name, type_=column.type)
            for column in kitchens.columns
            if not column.primary_key
        }
    )
)


class Kitchens:
    """Every kitchen of one database."""

    def __init__(self, connection: sa.Connection) -> None:
        self._connection = connection

    def add(self, kitchen: Kitchen, places: Iterable[Place] = ()) -> None:
        """Set up a kitchen with its places; RefusedError if its id is in use.

        They stand as they are given, and keep the numbers that they have.
        """
        if self._run(_ADD, kitchen_row(kitchen)).rowcount != 1:
            raise RefusedError(
                f"there is a kitchen {kitchen.id!r} already: choose another id"
            )
        wanted = list(places)
        for place in sorted(wanted, key=lambda one: one.number):
            self.add_place(kitchen.id, place)
        self.order_places(kitchen.id, [place.name for place in wanted])

    def get(self, kitchen_id: str | None = None) -> Kitchen:
        """The kitchen with that id; without one, the first."""
        if kitchen_id is None:
            row = self._run(_ALL, {}).fetchone()
        else:
            row = self._run(_ONE, {"id": kitchen_id}).fetchone()
        if row is not None:
            return kitchen_of(row)
        if kitchen_id is None:
            raise StoreError("no kitchen yet: run `lidclock init`")
        raise UnknownThingError(f"no kitchen {kitchen_id!r}: check its id")

    def all(self) -> list[Kitchen]:
        """Every kitchen, by id."""
        return [kitchen_of(row) for row in self._run(_ALL, {})]

    def places(self, kitchen_id: str) -> list[Place]:
        """The places of a kitchen in its order, numbered as they were added."""
        rows = self._run(_PLACES, {"kitchen_id": kitchen_id})
        return [Place(*row) for row in rows]

    def add_place(self, kitchen_id: str, place: Place) -> None:
        """Add a place; RefusedError if one of that name, in any case, is there."""
        row = {
            "kitchen_id": kitchen_id,
            "position": len(self.places(kitchen_id)),
            "name_key": place.name.casefold(),
            "name": place.name,
            "state": place.state,
        }
        if self._run(_ADD_PLACE, row).rowcount != 1:
            raise RefusedError(
                sentence(
                    "there is a place {name} already: choose another name",
                    name=repr(place.name),
                )
            )

    def order_places(self, kitchen_id: str, names: Iterable[str]) -> None:
        """Put the places in this order; UnknownThingError for one that is not there."""
        for position, name in enumerate(names):
            row = {
                "of_kitchen": kitchen_id,
                "of_name": name.casefold(),
                "position": position,
            }
            if self._run(_MOVE_PLACE, row).rowcount != 1:
                raise UnknownThingError(f"no place {name!r} in this kitchen")

    def update(self, kitchen: Kitchen) -> None:
        """Store the changed choices of a kitchen."""
        if self._run(_UPDATE, kitchen_row(kitchen)).rowcount != 1:
            raise UnknownThingError(f"no kitchen {kitchen.id!r}: check its id")

    def _run(
        self, statement: sa.ClauseElement, params: dict[str, Any]
    ) -> sqlite3.Cursor:
        return run(self._connection, statement, params)
