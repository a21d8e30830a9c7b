"""The recipes that a kitchen keeps: added, changed by a version, found, taken off."""

from __future__ import annotations

import difflib
from dataclasses import dataclass

from lidclock.app.recipe_question import Asked, read_recipe
from lidclock.app.recipe_values import Values
from lidclock.app.session import Session
from lidclock.domain.phrases import with_commas, with_semicolons
from lidclock.domain.sentences import figure, sentence
from lidclock.errors import InputError, RefusedError, UnknownThingError
from lidclock.store.recipes import Kept, Recipes

__all__ = [
    "Added",
    "Kept",
    "add_recipe",
    "find_recipe",
    "list_recipes",
    "remove_recipe",
    "removed",
    "versions_of",
    "written",
]


@dataclass(frozen=True, slots=True)
class Added:
    """What was kept; not new where the latest version says the same to the letter."""

    kept: Kept
    is_new: bool


def written(text: str, *, is_toml: bool) -> Asked:
    """The recipe in a document; InputError names everything that is wrong with it."""
    values = Values()
    asked = read_recipe(text, is_toml=is_toml, values=values)
    values.end()
    assert asked is not None  # its faults were told
    return asked


def add_recipe(session: Session, text: str, *, is_toml: bool) -> Added:
    """Keep a recipe, or one more version of it; the text is kept as it was written."""
    asked = written(text, is_toml=is_toml)
    if not asked.is_named:
        raise InputError("name: is missing; a recipe is kept and found by its name")
    name = asked.recipe.name
    with session.database.begin() as connection:
        recipes = Recipes(connection, session.kitchen.id)
        known = recipes.versions(name)
        latest = known[-1] if known else None
        if latest and (latest.text, latest.is_toml) == (text, is_toml):
            return Added(latest, is_new=False)
        kept = Kept(name, len(known) + 1, text, is_toml, session.now, session.who)
        recipes.add(kept)
    return Added(kept, is_new=True)


def list_recipes(session: Session) -> list[tuple[Kept, Asked]]:
    """Every recipe on the list in its latest version, read."""
    with session.database.read() as connection:
        found = Recipes(connection, session.kitchen.id).all()
    return [(one, written(one.text, is_toml=one.is_toml)) for one in found]


def find_recipe(session: Session, name: str, version: int | None = None) -> Kept:
    """A recipe by its name: the version asked for, or the latest.

    UnknownThingError names the nearest recipes, or the versions that there are. An old
    version is found also after the recipe was taken off the list.
    """
    wanted = " ".join(name.split())
    with session.database.read() as connection:
        recipes = Recipes(connection, session.kitchen.id)
        known = versions_of(recipes, wanted)
        names = [one.name for one in recipes.all()]
    if version is None:
        if known and known[-1].text:
            return known[-1]
        close = difflib.get_close_matches(wanted, names, n=3, cutoff=0.5)
        near = with_commas(close or names[:10])
        hint = (
            sentence("there are {names}", names=near)
            if names
            else sentence("none is kept")
        )
        fact = sentence("no recipe {name} in this kitchen", name=repr(name))
        raise UnknownThingError(
            f"{fact}; {hint} (add one with `lidclock recipe add FILE.toml`)",
            with_semicolons([fact, hint]),
        )
    for one in known:
        if one.version == version and one.text:
            return one
    there = ", ".join(str(one.version) for one in known if one.text) or "none"
    raise UnknownThingError(
        sentence(
            "no version {number} of {name}; there are {numbers}",
            number=figure(version),
            name=repr(name),
            numbers=there,
        )
    )


def versions_of(recipes: Recipes, name: str) -> list[Kept]:
    """Every version of a recipe by its name as it was typed, the first one first."""
    return recipes.versions(" ".join(name.split()))


def removed(session: Session, latest: Kept) -> Kept:
    """The version that says of the latest one that it was taken off the list."""
    return Kept(
        *(latest.name, latest.version + 1, "", latest.is_toml, session.now),
        session.who,
    )


def remove_recipe(session: Session, name: str) -> Kept:
    """Take a recipe off the list; its versions stay, for the batches made by them."""
    latest = find_recipe(session, name)
    with session.database.begin() as connection:
        recipes = Recipes(connection, session.kitchen.id)
        if not recipes.add(removed(session, latest)):
            raise RefusedError(
                f"{latest.name!r} was changed meanwhile: look at it, then repeat"
            )
    return latest
