"""`guidance categories`: the tree of foods, found by everyday words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.foods import guidance_line
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import columns
from lidclock.domain.foods import Food
from lidclock.errors import UnknownThingError

if TYPE_CHECKING:
    from lidclock.app.values import Category, GuidanceSet

_MOST_SHOWN = 8


@click.command()
@click.argument("words", nargs=-1, metavar="[WORD]...")
@click.option(
    "--set", "set_name", metavar="SET", help="Whose figures to show. [the kitchen's]"
)
@json_option
@pass_desk
def categories(
    desk: Desk, words: tuple[str, ...], set_name: str | None, as_json: bool
) -> None:
    """List the food categories as a tree, or find them by everyday WORDS.

    Found ones are shown with what guidance gives for them.

    \b
    Examples:
      lidclock guidance categories
      lidclock guidance categories fried rice --set uk-home
    """
    from lidclock.app import categories as app

    text = " ".join(words)
    found = app.find(text) if text.strip() else app.tree()
    if not found:
        raise UnknownThingError(
            f"no category fits {text!r}; try a plainer word, or see them all with "
            "`lidclock guidance categories`"
        )
    if as_json:
        echo_json([_json(one) for one in found])
    elif text.strip() or set_name:
        guidance = app.set_in_force(desk.path, set_name)
        shown = found[:_MOST_SHOWN] if text.strip() else found
        echo_lines([line for one in shown for line in _figure_lines(one, guidance)])
        if len(found) > len(shown):
            click.echo(f"... and {len(found) - len(shown)} more; say it more closely")
    else:
        rows = [[_indented(one), one.name, ", ".join(one.words)] for one in found]
        echo_lines(columns(rows))


def _indented(category: Category) -> str:
    return f"  {category.id}" if category.parent else category.id


def _figure_lines(category: Category, guidance: GuidanceSet) -> list[str]:
    """A category with what guidance gives, made here and bought."""
    made, bought = (
        guidance_line(Food(category.name, category.id, made_by=who), guidance)
        for who in ("kitchen", "maker")
    )
    lines = [f"{category.id}: {category.name}", f"  made here: {made}"]
    return lines if made == bought else [*lines, f"  bought: {bought}"]


def _json(category: Category) -> dict[str, object]:
    return {
        "id": category.id,
        "name": category.name,
        "parent": category.parent or None,
        "nature": category.nature,
        "tcs": category.tcs,
        "words": list(category.words),
    }
