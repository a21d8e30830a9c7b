"""`recipe add`, `recipe list`, `recipe remove`: the recipes of a kitchen."""

from __future__ import annotations

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.recipe_scale import read_document
from lidclock.cli.show import columns, plural, say_when
from lidclock.domain.screen_text import shown


@click.command()
@click.argument("file", metavar="FILE|-")
@pass_desk
def add(desk: Desk, file: str) -> None:
    """Keep a recipe from a TOML or JSON file, or one more version of it.

    A name that is there already gets a new version; earlier ones stay.

    \b
    Example:
      lidclock recipe add bun-dough.toml
    """
    from lidclock.app.recipe_book import add_recipe

    text, is_toml = read_document(file)
    with desk.session() as session:
        added = add_recipe(session, text, is_toml=is_toml)
    kept = added.kept
    did = (
        "unchanged" if not added.is_new else "added" if kept.version == 1 else "changed"
    )
    click.echo(shown(f"{did}: {kept.name}, version {kept.version}"))


@click.command("list")
@json_option
@pass_desk
def list_(desk: Desk, as_json: bool) -> None:
    """List the recipes that the kitchen keeps.

    \b
    Example:
      lidclock recipe list
    """
    from lidclock.app.recipe_book import list_recipes

    with desk.session() as session:
        found = list_recipes(session)
        zone = session.kitchen.zone
    if as_json:
        echo_json(
            [
                {
                    "name": kept.name,
                    "version": kept.version,
                    "inputs": [one.name for one in asked.recipe.inputs],
                    "base": list(asked.recipe.base),
                    "added_at": kept.added_at.astimezone(zone).isoformat(),
                    "who": kept.who or None,
                }
                for kept, asked in found
            ]
        )
    elif found:
        rows = [
            [
                kept.name,
                f"version {kept.version}",
                plural(len(asked.recipe.inputs), "input"),
                f"of {' and '.join(asked.recipe.base)}" if asked.recipe.base else "",
                say_when(kept.added_at, zone),
                kept.who,
            ]
            for kept, asked in found
        ]
        echo_lines([shown(line) for line in columns(rows)])
    else:
        click.echo("no recipes yet: add one with `lidclock recipe add FILE.toml`")


@click.command()
@click.argument("name")
@pass_desk
def remove(desk: Desk, name: str) -> None:
    """Take a recipe off the list; its versions can still be shown.

    \b
    Example:
      lidclock recipe remove "bun dough"
    """
    from lidclock.app.recipe_book import remove_recipe

    with desk.session() as session:
        gone = remove_recipe(session, name)
    click.echo(
        shown(
            f"removed: {gone.name}; `lidclock recipe show NAME --version "
            f"{gone.version}` still shows it"
        )
    )
