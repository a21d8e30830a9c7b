"""Recipes written, changed and taken off where two people may do so at once.

Whoever changes one says which version was seen; where there is another by now, nothing
is kept and the difference is told. Compared and kept in one transaction.
"""

from __future__ import annotations

import json
from typing import Any

from lidclock.app.recipe_book import (
    Added,
    Kept,
    find_recipe,
    removed,
    versions_of,
    written,
)
from lidclock.app.recipe_form import (
    RecipeForm,
    differences,
    document_of,
    form_of,
)
from lidclock.app.recipe_question import read_recipe
from lidclock.app.recipe_values import Values, parsed
from lidclock.app.session import Session
from lidclock.domain.sentences import sentence
from lidclock.domain.texts import check_texts
from lidclock.errors import EditClashError, RefusedError
from lidclock.store.recipes import Recipes

NEW = 0


def form_at(session: Session, name: str, version: int | None) -> tuple[RecipeForm, int]:
    """The form of a recipe, or of an earlier version; and the version there is now."""
    kept = find_recipe(session, name, version)
    return form_of(kept), latest_version(session, name)


def latest_version(session: Session, name: str) -> int:
    """The version that a change has to name; none for what is not on the list."""
    with session.database.read() as connection:
        known = versions_of(Recipes(connection, session.kitchen.id), name)
    return known[-1].version if known and known[-1].text else NEW


def save_form(session: Session, form: RecipeForm, was: int) -> Added:
    """Keep what was typed as a recipe's next version, or as a new one.

    FaultsError names what is wrong, EditClashError what somebody else changed since
    version `was`, RefusedError a new one whose name is taken.
    """
    values = Values()
    text = document_of(form, session.kitchen.units, values)
    if any(not one.is_empty for one in form.lines):
        read_recipe(text, is_toml=False, values=values)
    values.end()
    return _save(session, text, was, form)


def save_document(session: Session, document: dict[str, Any], was: int) -> Added:
    """The same for a recipe as JSON; its name is in it."""
    return _save(session, json.dumps(document, ensure_ascii=False, indent=2), was)


def _save(
    session: Session, text: str, was: int, form: RecipeForm | None = None
) -> Added:
    check_texts(parsed(text, is_toml=False))
    name = written(text, is_toml=False).recipe.name
    with session.database.begin() as connection:
        recipes = Recipes(connection, session.kitchen.id)
        known = versions_of(recipes, name)
        _refuse_clash(known, name, was)
        latest = known[-1] if known else None
        if latest is not None and latest.text and _says(latest, text, form):
            return Added(latest, is_new=False)
        kept = Kept(name, len(known) + 1, text, False, session.now, session.who)
        recipes.add(kept)
    return Added(kept, is_new=True)


def take_off(session: Session, name: str, was: int) -> Kept:
    """Take a recipe off the list, unless somebody changed it since version `was`.

    UnknownThingError where it is not on the list.
    """
    latest = find_recipe(session, name)
    with session.database.begin() as connection:
        recipes = Recipes(connection, session.kitchen.id)
        _refuse_clash(versions_of(recipes, name), latest.name, was)
        recipes.add(removed(session, latest))
    return latest


def _says(latest: Kept, text: str, form: RecipeForm | None) -> bool:
    """Whether the latest version says this already, in another way of writing too."""
    return latest.text == text or (form is not None and form_of(latest) == form)


def _refuse_clash(known: list[Kept], name: str, was: int) -> None:
    """Whether the recipe is still as it was seen, or still not there."""
    now = known[-1] if known else None
    is_there = now is not None and bool(now.text)
    if was == NEW and is_there:
        raise RefusedError(
            sentence(
                "there is a recipe {name} already: change that one, or take another "
                "name",
                name=repr(name),
            )
        )
    if was == NEW or (is_there and now is not None and now.version == was):
        return
    raise EditClashError(_changed(known, was) or _by_number(now, was))


def _changed(known: list[Kept], was: int) -> tuple[tuple[str, str, str], ...]:
    """What the latest version says otherwise than the one that was seen."""
    seen = next((one for one in known if one.version == was and one.text), None)
    if seen is None or not known[-1].text:
        return ()
    return tuple(differences(form_of(seen), form_of(known[-1])))


def _by_number(now: Kept | None, was: int) -> tuple[tuple[str, str, str], ...]:
    there = str(now.version) if now is not None and now.text else ""
    return ((sentence("version"), str(was), there or sentence("taken off the list")),)
