"""Facts about a food as options, for `food add` and for foods added on the spot."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.options import MASS
from lidclock.domain.foods import (
    LONGEST_HOUSE_DAYS,
    MADE_BY,
    PACKS,
    TIME_ONLY_HOURS,
    Food,
)
from lidclock.domain.ingredients import read_ingredients
from lidclock.domain.joiners import misplaced_joiner, without_joiners
from lidclock.errors import InputError

if TYPE_CHECKING:
    from lidclock.app.session import Session
    from lidclock.app.values import GuidanceSet, Plan, Rule

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
    if given["no_allergens"] and given["allergens"]:
        raise InputError("give --allergens or --no-allergens, not both")
    facts = {
        "category": given["category"],
        "allergens": () if given["no_allergens"] else _listed(given["allergens"]),
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


def _listed(text: str | None) -> tuple[str, ...] | None:
    if text is None:
        return None
    names = [" ".join(part.split()) for part in text.split(",")]
    found = tuple(dict.fromkeys(name.lower() for name in names if name))
    if not found:
        raise InputError("name the allergens, or say --no-allergens")
    return found


def clean_name(name: str) -> str:
    """A food's name without stray blanks; InputError if nothing is left."""
    bare = " ".join(name.split())
    if not without_joiners(bare).isprintable() or misplaced_joiner(bare) or not bare:
        raise InputError(f"{name!r} is not a name; write it as it stands on the lid")
    return bare


def food_name(name: str) -> str:
    """The same, composed (Unicode's NFC): é typed as one sign or as two is one food."""
    return unicodedata.normalize("NFC", clean_name(name))


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


def guidance_line(food: Food, guidance: GuidanceSet) -> str:
    """What guidance gives for a food, its source included."""
    plan = guidance.plan_for(food)
    if plan.dated:
        return "; ".join(_rule_words(rule, guidance) for rule in plan.dated)
    if plan.exempt:
        rule = plan.exempt[0]
        return (
            f"{guidance.id}: no day limit ({rule.says.rstrip('.')}; {_source(rule)}); "
            "set your own with --days"
        )
    return _without_figure(food, plan, guidance)


def _without_figure(food: Food, plan: Plan, guidance: GuidanceSet) -> str:
    """What to do where the set has no figure: its near row, the pack, a house rule."""
    if plan.on_pack:
        rule = plan.on_pack[0]
        return f"{guidance.id}: {rule.says} ({_source(rule)}); give --use-by"
    what = food.category if food.pack == "air" else f"{food.category} without air"
    said = f"{guidance.id} gives no figure for {what}"
    if plan.offer is not None:
        near, rule = plan.offer.category, plan.offer.rule
        said += f"; the nearest row of {guidance.id} is {near.id} ({rule.says})"
    category = plan.category
    if category is not None and category.offer:
        return (
            f"{said}; {category.offer}; accept it with --days {category.offered_days}"
        )
    if category is not None and not category.takes_house_rule:
        return f"{said}, and a house rule may not stand in; ask your local authority"
    return f"{said}; its last day stays unknown until you set --days"


def _rule_words(rule: Rule, guidance: GuidanceSet) -> str:
    since = {"opened": "opening", "thawed": "thawing"}.get(rule.anchor, "making")
    if rule.kind == "elapsed":
        span = f"{rule.hours:g} h"
    elif rule.low != rule.high:
        span = f"{rule.low} to {rule.high} days"
    else:
        span = f"{rule.high} day{'' if rule.high == 1 else 's'}"
    if rule.kind == "house":
        return f"house rule: {span} from {since}; no authority gives a figure"
    if rule.kind == "local":
        return f"this kitchen: at most {span} from {since}"
    return f"{guidance.id}: {span} from {since} ({_source(rule)})"


def _source(rule: Rule) -> str:
    source = rule.source
    section = "" if rule.section == "-" else rule.section
    parts = [source.authority, source.document, section, source.year]
    if not source.verified:
        parts.append("unverified")
    return ", ".join(part for part in parts if part)


portion_option = click.option(
    "--portion", type=MASS, metavar="MASS", help="The usual portion, e.g. 350g."
)
