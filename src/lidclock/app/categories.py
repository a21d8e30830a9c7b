"""The tree of food categories, for those who choose one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from lidclock.guidance.categories import search
from lidclock.guidance.load import load_categories, load_set
from lidclock.guidance.model import Category
from lidclock.guidance.sets import GuidanceSet

FALLBACK = "us-home"
# More is no everyday word, and is compared with all of them.
_LONGEST = 200


def tree() -> list[Category]:
    """Every category, each under its parent."""
    return list(load_categories().values())


def find(
    text: str, phrases: Mapping[str, Iterable[str]] | None = None
) -> list[Category]:
    """Categories that fit everyday words, the best first; what is too long is cut.

    `phrases` are their names and words in another language, by id.
    """
    return search(text[:_LONGEST], load_categories(), phrases)


def set_in_force(database: Path, name: str | None) -> GuidanceSet:
    """The set called `name`, else the kitchen's, else that of a first kitchen."""
    if name is not None:
        return load_set(name)
    if not database.exists():
        return load_set(FALLBACK)
    from lidclock.app.guidance import guidance_of
    from lidclock.store import Database, Kitchens

    with Database.open(database) as opened, opened.read() as connection:
        return guidance_of(Kitchens(connection).get())
