"""`recipe`: recipes scaled, kept, shown and printed as batch sheets."""

from __future__ import annotations

import click

from lidclock.cli.lazy import LazyGroup

_HERE = "lidclock.cli"


@click.group(
    cls=LazyGroup,
    lazy={
        "scale": f"{_HERE}.recipe_scale:scale",
        "add": f"{_HERE}.recipe_book:add",
        "list": f"{_HERE}.recipe_book:list_",
        "show": f"{_HERE}.recipe_show:show",
        "sheet": f"{_HERE}.recipe_show:sheet",
        "remove": f"{_HERE}.recipe_book:remove",
    },
)
def recipe() -> None:
    """Recipes: how much of what, for so many portions."""
