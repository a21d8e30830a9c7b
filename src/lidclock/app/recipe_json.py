"""One version of a recipe as JSON-ready data."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from lidclock.app.recipe_book import find_recipe, versions_of, written
from lidclock.app.recipe_tree import tree_of
from lidclock.app.recipe_values import parsed
from lidclock.app.session import Session
from lidclock.domain.foods import merged_allergens
from lidclock.store.recipes import Kept, Recipes


def whole_json(session: Session, name: str, version: int | None) -> dict[str, Any]:
    """A recipe with its versions, and the allergens of everything that goes in.

    UnknownThingError where there is no such recipe, or no such version.
    """
    kept = find_recipe(session, name, version)
    with session.database.read() as connection:
        known = versions_of(Recipes(connection, session.kitchen.id), name)
    recipe = written(kept.text, is_toml=kept.is_toml).recipe
    inputs = tree_of(session).traced(recipe).inputs
    whole = merged_allergens([one.allergens for one in inputs])
    sure = merged_allergens(one.known_allergens for one in inputs) or ()
    return {
        "name": kept.name,
        **_version_json(session, kept),
        "latest": known[-1].version if known[-1].text else None,
        "versions": [_version_json(session, one) for one in known if one.text],
        "text": kept.text,
        "recipe": _as_text(parsed(kept.text, is_toml=kept.is_toml)),
        "allergens": None if whole is None else list(whole),
        "known_allergens": list(sure),
    }


def listed_json(session: Session, kept: Kept) -> dict[str, Any]:
    """A recipe in few words: its name, what goes in, and whose version it is."""
    recipe = written(kept.text, is_toml=kept.is_toml).recipe
    return {
        "name": kept.name,
        "inputs": [one.name for one in recipe.inputs],
        **_version_json(session, kept),
    }


def _version_json(session: Session, kept: Kept) -> dict[str, Any]:
    return {
        "version": kept.version,
        "added_at": kept.added_at.astimezone(session.kitchen.zone).isoformat(),
        "who": kept.who,
    }


def _as_text(value: Any) -> Any:
    """Numbers as text, so that none is rounded; they may be sent back like that."""
    if isinstance(value, dict):
        return {name: _as_text(one) for name, one in value.items()}
    if isinstance(value, list):
        return [_as_text(one) for one in value]
    if isinstance(value, int | Decimal) and not isinstance(value, bool):
        return f"{Decimal(value):f}"
    return value
