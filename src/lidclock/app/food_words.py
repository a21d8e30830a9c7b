"""What guidance gives for a food, in a line."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lidclock.domain.foods import Food
    from lidclock.guidance.model import Plan, Rule
    from lidclock.guidance.sets import GuidanceSet


def guidance_line(food: Food, guidance: GuidanceSet) -> str:
    """What guidance gives for a food, its source included."""
    plan = guidance.plan_for(food)
    if plan.dated:
        return "; ".join(_rule_words(rule, guidance) for rule in plan.dated)
    if plan.exempt:
        rule = plan.exempt[0]
        return (
            f"{guidance.id}: no day limit ({rule.says.rstrip('.')}; {_source(rule)}); "
            "set your own days: --days N"
        )
    return _without_figure(food, plan, guidance)


def _without_figure(food: Food, plan: Plan, guidance: GuidanceSet) -> str:
    """What to do where the set has no figure: its near row, the pack, a house rule."""
    if plan.on_pack:
        rule = plan.on_pack[0]
        return (
            f"{guidance.id}: {rule.says} ({_source(rule)}); give the date on the pack: "
            "--use-by DAY"
        )
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
    return f"{said}; its last day stays unknown until you set your own: --days N"


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
