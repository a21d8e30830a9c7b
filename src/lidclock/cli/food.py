"""`food add`, `food list`, `food show`, `food categories`."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.foods import (
    cut_food_facts,
    food_name,
    food_options,
    guidance_line,
    portion_option,
)
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import columns, plural

if TYPE_CHECKING:
    from lidclock.domain.foods import Food


@click.group()
def food() -> None:
    """Foods of this kitchen: add, list, show, and the categories there are."""


@food.command("add")
@click.argument("name")
@food_options
@portion_option
@pass_desk
def add(desk: Desk, name: str, portion: float | None, **options: Any) -> None:
    """Add a food, or change what is recorded of it, and say what guidance gives.

    Options that are not given keep what is known.

    \b
    Example:
      lidclock food add "bean stew" --category soup-stew --allergens celery
    """
    from lidclock.app import setup
    from lidclock.domain.foods import Food

    facts = cut_food_facts(options)
    if portion is not None:
        facts["portion_g"] = portion
    name = food_name(name)
    with desk.session() as session:
        known = setup.known_food(session, name)
        if known is None and "category" not in facts:
            raise click.UsageError("Missing option '--category'.")
        new = replace(known, **facts) if known else Food(name, **facts)
        setup.add_food(session, new)
        click.echo(f"{'changed' if known else 'added'}: {new.name} ({new.category})")
        click.echo(guidance_line(new, session.guidance))
        if new.allergens is None:
            click.echo("allergens: not recorded; give --allergens or --no-allergens")
        if known not in (None, new):
            click.echo(
                "what was filled before keeps its facts; "
                f"`lidclock correct CODE --food {new.name!r}` applies these to one"
            )


@food.command("list")
@json_option
@pass_desk
def list_(desk: Desk, as_json: bool) -> None:
    """List the foods of this kitchen.

    \b
    Example:
      lidclock food list
    """
    from lidclock.app import setup

    with desk.session() as session:
        foods = setup.list_foods(session)
    if as_json:
        echo_json([food_json(one) for one in foods])
    elif not foods:
        click.echo("no foods yet: add one with `lidclock food add`")
    else:
        echo_lines(columns([_row(one) for one in foods]))


@food.command("show")
@click.argument("name")
@json_option
@pass_desk
def show(desk: Desk, name: str, as_json: bool) -> None:
    """Show all that is recorded of one food, its ingredients by weight.

    \b
    Example:
      lidclock food show "bean stew"
    """
    from lidclock.app import setup

    with desk.session() as session:
        one = setup.find_food(session, food_name(name))
        if as_json:
            echo_json(food_json(one))
        else:
            echo_lines([*_facts(one), guidance_line(one, session.guidance)])


def _facts(food: Food) -> list[str]:
    from lidclock.domain.ingredients import by_weight
    from lidclock.domain.masses import say_mass

    numbers = [
        f"pH {food.ph:g}" if food.ph is not None else "",
        f"water activity {food.aw:g}" if food.aw is not None else "",
        f"portion {say_mass(food.portion_g)}" if food.portion_g is not None else "",
        f"{food.time_only_hours} h of time only" if food.time_only_hours else "",
    ]
    ingredients = [f"  {one.name}, {one.mass}" for one in by_weight(food.ingredients)]
    return [
        *columns([_row(food)]),
        *([", ".join(filter(None, numbers))] if any(numbers) else []),
        *([f"handling: {food.handling}"] if food.handling else []),
        *(["ingredients, the heaviest first"] if ingredients else []),
        *(ingredients or ["ingredients: not recorded; give --ingredient NAME=MASS"]),
    ]


def food_json(food: Food) -> dict[str, Any]:
    """A food as JSON-ready data; what is not known is null."""
    return {
        "name": food.name,
        "category": food.category,
        "allergens": None if food.allergens is None else list(food.allergens),
        "made_by": food.made_by,
        "pack": food.pack,
        "ph": food.ph,
        "aw": food.aw,
        "portion_g": food.portion_g,
        "handling": food.handling or None,
        "house_days": food.house_days,
        "ingredients": [
            {**one.as_dict(), "grams": float(one.grams)} for one in food.ingredients
        ],
    }


def _row(food: Food) -> list[str]:
    if food.allergens is None:
        allergens = "allergens not recorded"
    else:
        allergens = ", ".join(food.allergens) or "no allergens"
    return [
        food.name,
        food.category,
        "bought" if food.made_by == "maker" else "",
        "" if food.pack == "air" else food.pack,
        f"own count {plural(food.house_days, 'day')}" if food.house_days else "",
        allergens,
    ]


@food.command()
@json_option
def categories(as_json: bool) -> None:
    """List the categories, each with words that belong to it.

    \b
    Example:
      lidclock food categories
    """
    from lidclock.app import setup

    known = setup.list_categories()
    if as_json:
        echo_json([{"id": x.id, "name": x.name, "words": list(x.words)} for x in known])
    else:
        echo_lines(columns([[x.id, x.name, ", ".join(x.words)] for x in known]))
