"""Why a guidance set gives a food no limit of days, and what would settle it."""

from __future__ import annotations

from lidclock.domain.foods import Food
from lidclock.domain.history import History
from lidclock.domain.phrases import boxed, days_said, short
from lidclock.domain.sentences import Wording, sentence
from lidclock.guidance.model import Category, Offer, Plan
from lidclock.guidance.sets import GuidanceSet


def no_rule(food: Food, history: History, plan: Plan, guidance: GuidanceSet) -> str:
    """The reason why there is no limit, with what would settle it."""
    category = plan.category
    if category is None:
        raise ValueError("a food without a category has no rule to name")
    if plan.exempt:
        return sentence(
            "day limit: {set} sets none ({says}); the maker's date or a house rule "
            "would settle it",
            set=guidance.id,
            says=Wording(plan.exempt[0].says.rstrip(".")),
        )
    if plan.on_pack:
        if history.opened_at is None:
            return sentence(
                "day limit: {set} leaves it to the pack; the date on it would settle "
                "it",
                set=guidance.id,
            )
        return sentence(
            "day limit: {set} leaves it to the pack; the days it gives once opened, as "
            "a house rule, would settle it",
            set=guidance.id,
        )
    if food.pack != "air":
        return sentence(
            "day limit: {set} gives no figure for {category} packed without air, and a "
            "house rule may not stand in; ask your local authority",
            set=guidance.id,
            category=category.id,
        )
    known = {"set": guidance.id, "food": _made_by(food, category)}
    if not category.takes_house_rule:
        return sentence(
            "day limit: {set} gives no figure for {food}, and a house rule may not "
            "stand in for it; ask your local authority",
            **known,
        )
    if plan.offer is None:
        reason = sentence(
            "day limit: {set} gives no figure for {food}; a house rule would settle it",
            **known,
        )
    else:
        reason = sentence(
            "day limit: {set} gives no figure for {food}; {near}, or a house rule "
            "would settle it",
            **known,
            near=say_offer(plan.offer),
        )
    return boxed(reason, category.offer) if category.offer else reason


def _made_by(food: Food, category: Category) -> str:
    if food.made_by == "maker":
        return sentence("{category} made by the maker", category=category.id)
    return sentence("{category} made by the kitchen", category=category.id)


def say_offer(offer: Offer) -> str:
    """The row of a near category, worded as a choice and not as an answer."""
    rule = offer.rule
    span: str = days_said(rule.low, rule.high)
    if rule.kind == "elapsed":
        span = sentence("{hours} h", hours=short(rule.hours))
    known = {"category": offer.category.id, "span": span, "rule": rule.id}
    if rule.source.verified:
        return sentence(
            "its nearest row is {category} ({span}, {rule}), which you may choose as "
            "its category",
            **known,
        )
    return sentence(
        "its nearest row is {category} ({span}, {rule}, unverified), which you may "
        "choose as its category",
        **known,
    )
