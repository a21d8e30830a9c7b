"""Where a recipe comes from: a file, the input, or the kitchen by its name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk
from lidclock.cli.recipe_scale import read_document
from lidclock.errors import InputError

if TYPE_CHECKING:
    from lidclock.app.recipe_tree import Tree

_ENDINGS = (".toml", ".json")


@dataclass(frozen=True, slots=True)
class Source:
    """A recipe's text; of a kept one its version, and its kitchen's units and tree."""

    text: str
    is_toml: bool
    version: int | None = None
    units: str = "metric"
    tree: Tree | None = None


def source_of(desk: Desk, what: str, version: int | None) -> Source:
    """The recipe that `what` names: a file by its ending or -, else a kept one."""
    if what == "-" or what.lower().endswith(_ENDINGS):
        if version is not None:
            raise InputError("--version is for recipes that the kitchen keeps")
        return Source(*read_document(what))
    from lidclock.app.recipe_book import find_recipe
    from lidclock.app.recipe_tree import tree_of

    with desk.session() as session:
        kept = find_recipe(session, what, version)
        units, tree = session.kitchen.units, tree_of(session)
    return Source(kept.text, kept.is_toml, kept.version, units, tree)


def version_option(function: Callable[..., Any]) -> Callable[..., Any]:
    """An earlier version than the latest."""
    return click.option(
        "--version", type=int, metavar="N", help="Of a kept recipe. [the latest]"
    )(function)
