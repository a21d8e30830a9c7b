"""A kitchen's recipes, each with all its versions; none is ever overwritten."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from lidclock.store.rows import instant, micros, named
from lidclock.store.statements import adding, run
from lidclock.store.tables import recipe as recipes

_ADD = adding(recipes)
_OF_KITCHEN = recipes.c.kitchen_id == sa.bindparam("kitchen_id")
_ALL = (
    sa.select(recipes)
    .where(_OF_KITCHEN)
    .order_by(recipes.c.name_key, recipes.c.version)
)
_VERSIONS = (
    sa.select(recipes)
    .where(_OF_KITCHEN, recipes.c.name_key == sa.bindparam("name_key"))
    .order_by(recipes.c.version)
)


@dataclass(frozen=True, slots=True)
class Kept:
    """One version of a recipe as it was written; no text means it was taken off."""

    name: str
    version: int
    text: str
    is_toml: bool
    added_at: datetime
    who: str = ""


class Recipes:
    """The recipes of one kitchen, within one transaction."""

    def __init__(self, connection: sa.Connection, kitchen_id: str) -> None:
        self._connection = connection
        self._kitchen_id = kitchen_id

    def all(self) -> list[Kept]:
        """The latest version of every recipe that is on the list, by name."""
        rows = run(self._connection, _ALL, {"kitchen_id": self._kitchen_id})
        latest = {one.name.casefold(): one for one in map(_kept, rows)}
        return [one for one in latest.values() if one.text]

    def versions(self, name: str) -> list[Kept]:
        """Every version of the recipe of that name, in any case, the first one first.

        Those that only say that it was taken off are among them.
        """
        key = {"kitchen_id": self._kitchen_id, "name_key": name.casefold()}
        return [_kept(row) for row in run(self._connection, _VERSIONS, key)]

    def add(self, kept: Kept) -> bool:
        """Add a version; False if that one is there already."""
        row = {
            "kitchen_id": self._kitchen_id,
            "name_key": kept.name.casefold(),
            "version": kept.version,
            "name": kept.name,
            "body": kept.text,
            "is_toml": int(kept.is_toml),
            "added_us": micros(kept.added_at),
            "who": kept.who,
        }
        return run(self._connection, _ADD, row).rowcount == 1


def _kept(row: tuple[Any, ...]) -> Kept:
    facts = named(recipes, row)
    return Kept(
        facts["name"],
        facts["version"],
        facts["body"],
        bool(facts["is_toml"]),
        instant(facts["added_us"]),
        facts["who"],
    )
