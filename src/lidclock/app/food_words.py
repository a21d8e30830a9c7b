"""What guidance gives for a food, in a line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lidclock.domain.phrases import days_said, short, with_commas, with_semicolons
from lidclock.domain.sentences import Wording, sentence

if TYPE_CHECKING:
    from lidclock.domain.foods import Food
    from lidclock.guidance.model import Plan, Rule
    from lidclock.guidance.sets import GuidanceSet


def guidance_line(food: Food, guidance: GuidanceSet) -> str:
    """What guidance gives for a food, its source included; how to go on at a "
    "keyboard."""
    return with_semicolons([guidance_words(food, guidance), _how(food, guidance)])


def guidance_words(
    food: Food, guidance: GuidanceSet, *, is_made_known: bool = False
) -> str:
    """The same for a page, without options of a command.

    `is_made_known` tells that of a bought pack too the making may be known.
    """
    plan = guidance.plan_for(food)
    if plan.dated:
        is_opened = food.made_by == "maker" and not is_made_known
        return with_semicolons(
            _rule_words(rule, guidance, is_opened) for rule in plan.dated
        )
    if plan.exempt:
        rule = plan.exempt[0]
        return sentence(
            "{set}: no day limit ({says}; {source})",
            set=guidance.id,
            says=Wording(rule.says.rstrip(".")),
            source=_source(rule),
        )
    return _without_figure(food, plan, guidance)


def _without_figure(food: Food, plan: Plan, guidance: GuidanceSet) -> str:
    """What the set has where it has no figure: the pack, its near row, or nothing."""
    if plan.on_pack:
        rule = plan.on_pack[0]
        return sentence(
            "{set}: {says} ({source})",
            set=guidance.id,
            says=Wording(rule.says),
            source=_source(rule),
        )
    known = {"set": guidance.id, "category": food.category}
    said = sentence("{set} gives no figure for {category}", **known)
    if food.pack != "air":
        said = sentence("{set} gives no figure for {category} without air", **known)
    near = ""
    if plan.offer is not None:
        near = sentence(
            "the nearest row of {set} is {category} ({says})",
            set=guidance.id,
            category=plan.offer.category.id,
            says=Wording(plan.offer.rule.says),
        )
    said_so = with_semicolons([said, near])
    category = plan.category
    if category is not None and category.offer:
        return with_semicolons([said_so, category.offer])
    if category is not None and not category.takes_house_rule:
        return sentence(
            "{words}, and a house rule may not stand in; ask your local authority",
            words=said_so,
        )
    return said_so


def _how(food: Food, guidance: GuidanceSet) -> str:
    """What to give a command where the set has no figure; nothing where it has one."""
    plan = guidance.plan_for(food)
    category = plan.category
    if plan.dated:
        return ""
    if plan.exempt:
        return "set your own days: --days N"
    if plan.on_pack:
        return "give the date on the pack: --use-by DAY"
    if category is not None and category.offer:
        return f"accept it with --days {category.offered_days}"
    if category is not None and not category.takes_house_rule:
        return ""
    return "its last day stays unknown until you set your own: --days N"


def _rule_words(rule: Rule, guidance: GuidanceSet, is_opened: bool) -> str:
    """A rule and from when it counts: made, or else opened, is `begun`."""
    span: str = days_said(rule.low, rule.high)
    if rule.kind == "elapsed":
        span = sentence("{hours} h", hours=short(rule.hours))
    match "opened" if is_opened and rule.anchor == "begun" else rule.anchor:
        case "opened":
            since = sentence("{span} from opening", span=span)
        case "thawed":
            since = sentence("{span} from thawing", span=span)
        case _:
            since = sentence("{span} from making", span=span)
    if rule.kind == "house":
        return sentence("house rule: {span}; no authority gives a figure", span=since)
    if rule.kind == "local":
        return sentence("this kitchen: at most {span}", span=since)
    return sentence(
        "{set}: {span} ({source})", set=guidance.id, span=since, source=_source(rule)
    )


def _source(rule: Rule) -> str:
    source = rule.source
    section = "" if rule.section == "-" else rule.section
    known = (source.authority, source.document, section, source.year)
    words = Wording(", ".join(part for part in known if part))
    return words if source.verified else with_commas([words, sentence("unverified")])
