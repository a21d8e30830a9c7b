"""Facts about a food as options, for `food add` and for foods added on the spot."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from lidclock.app.food_names import clean_name, food_name, listed_allergens
from lidclock.app.food_words import guidance_line
from lidclock.cli.options import MASS
from lidclock.domain.foods import (
    LONGEST_HOUSE_DAYS,
    MADE_BY,
    PACKS,
    TIME_ONLY_HOURS,
    Food,
)
from lidclock.domain.ingredients import read_ingredients
from lidclock.errors import InputError

if TYPE_CHECKING:
    from lidclock.app.session import Session

__all__ = ["clean_name", "food_name", "guidance_line"]

KEYS = (
    *("category", "allergens", "no_allergens", "made_by", "pack", "ph", "aw"),
    *("handling", "days", "time_only", "ingredients"),
)
_OPTIONS = (
    click.option(
        "--category",
        metavar="C",
        help="What kind of food; `lidclock guidance categories` lists them.",
    ),
    click.option("--allergens", metavar="LIST", help='For example "wheat, milk".'),
    click.option(
        "--no-allergens", is_flag=True, help="None are in it, and somebody knows."
    ),
    click.option(
        "--made-by", type=click.Choice(MADE_BY), help="Here, or bought. [kitchen]"
    ),
    click.option("--pack", type=click.Choice(PACKS), help="How it is packed. [air]"),
    click.option(
        "--ph", type=click.FloatRange(0, 14), metavar="PH", help="pH, if known."
    ),
    click.option(
        "--aw",
        type=click.FloatRange(0, 1),
        metavar="AW",
        help="Water activity, if known.",
    ),
    click.option("--handling", metavar="TEXT", help="A line for the label."),
    click.option(
        "--days",
        type=click.IntRange(1, LONGEST_HOUSE_DAYS),
        metavar="N",
        help="This kitchen's own day count: shortens an authority's limit, or stands "
        "as a house rule where none gives a figure.",
    ),
    click.option(
        "--time-only",
        type=click.IntRange(min(TIME_ONLY_HOURS), max(TIME_ONLY_HOURS)),
        metavar="HOURS",
        help="Time as the only control for so long, where guidance has that: 6.",
    ),
    click.option(
        "--ingredient",
        "ingredients",
        multiple=True,
        metavar="NAME=MASS",
        help='Put in, e.g. "stock (celery, salt)=1.5 oz"; repeat it. They replace '
        "those recorded; `none` clears them.",
    ),
)


def food_options(function: Callable[..., Any]) -> Callable[..., Any]:
    """The options that describe a food."""
    for option in reversed(_OPTIONS):
        function = option(function)
    return function


def cut_food_facts(options: dict[str, Any]) -> dict[str, Any]:
    """Take the food options out of `options`; what was not given is left out."""
    given = {key: options.pop(key, None) for key in KEYS}
    facts = {
        "category": given["category"],
        "allergens": allergens_in(given["allergens"], given["no_allergens"]),
        "made_by": given["made_by"],
        "pack": given["pack"],
        "ph": given["ph"],
        "aw": given["aw"],
        "handling": given["handling"],
        "house_days": given["days"],
        "time_only_hours": given["time_only"],
        "ingredients": read_ingredients(given["ingredients"])
        if given["ingredients"]
        else None,
    }
    return {key: value for key, value in facts.items() if value is not None}


def allergens_in(listed: str | None, has_none: object) -> tuple[str, ...] | None:
    """What the two options say; None where neither was given."""
    if has_none and listed:
        raise InputError("give --allergens or --no-allergens, not both")
    return () if has_none else listed_allergens(listed)


def food_or_name(session: Session, name: str, facts: dict[str, Any]) -> Food | str:
    """What to hand to the app: the name of a known food, or the food as described."""
    name = food_name(name)
    if not facts:
        return name
    with session.read() as unit:
        known = unit.known_food(name)
        if known is None and "category" not in facts:
            unit.need_food(name)
    return replace(known, **facts) if known is not None else Food(name, **facts)


portion_option = click.option(
    "--portion", type=MASS, metavar="MASS", help="The usual portion, e.g. 350g."
)
