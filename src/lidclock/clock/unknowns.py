"""What is not known about a container: what blocks a verdict, what only clouds it."""

from __future__ import annotations

from lidclock.clock.parts import binding_parts
from lidclock.domain.foods import Food
from lidclock.domain.history import History
from lidclock.domain.moments import say_hours
from lidclock.guidance.model import GuidanceSet, Plan

NO_MAKING_TIME = "making time: not recorded; give it to settle the last day"
NO_OPENING_TIME = "opening time: not recorded; give it to settle the last day"
ASSUMED_OPENED = "opening time: not recorded; counted from making, which is earlier"
NO_PLACE = "place: not recorded; all time since is counted as counter time"
UNMEASURED = "fridge temperature: no readings; taken as cold, as this kitchen accepts"
UNMEASURED_REFUSED = "fridge temperature: no readings, and this kitchen wants them"
HOT_UNMEASURED = "hot hold temperature: no readings; taken as hot enough"
NO_COOLING_LOG = "cooling: no log, so whether it cooled in time is not known"
ROOM_UNMEASURED = "room temperature: not recorded; above 32 °C less time is allowed"


def blockers(
    food: Food,
    history: History,
    plan: Plan,
    guidance: GuidanceSet,
    accepts_unmeasured: bool,
) -> list[str]:
    """Why no last day can be given; empty where one can."""
    reasons = _own_blockers(food, history, plan, guidance)
    if not accepts_unmeasured and _unmeasured(history, "fridge"):
        reasons.append(UNMEASURED_REFUSED)
    for part in binding_parts(history, plan, guidance):
        inner = blockers(
            part.food,
            part.history,
            guidance.plan_for(part.food),
            guidance,
            accepts_unmeasured,
        )
        reasons += [f"{part.name}, which is in it: {reason}" for reason in inner]
    return reasons


def _own_blockers(
    food: Food, history: History, plan: Plan, guidance: GuidanceSet
) -> list[str]:
    if plan.category is None:
        return [f"category: {food.category or 'none'} is not known; correct the food"]
    if not plan.dated:
        # A maker's date settles what an exemption leaves open, and nothing else.
        if plan.exempt and history.maker_use_by is not None:
            return []
        return [_no_rule(food, plan, guidance)]
    if history.made_at is not None:
        return []
    if all(rule.anchor == "opened" for rule in plan.dated):
        return [] if history.opened_at is not None else [NO_OPENING_TIME]
    return [NO_MAKING_TIME]


def _no_rule(food: Food, plan: Plan, guidance: GuidanceSet) -> str:
    category = plan.category
    assert category is not None
    if plan.exempt:
        return (
            f"day limit: {guidance.id} sets none ({plan.exempt[0].says}); "
            "the maker's date or a house rule would settle it"
        )
    what = category.id if food.pack == "air" else f"{category.id} packed without air"
    if category.offer:
        return (
            f"day limit: {guidance.id} gives no figure for {what}; a house rule would "
            f"settle it ({category.offer})"
        )
    return (
        f"day limit: {guidance.id} gives no figure for {what} made by the "
        f"{food.made_by}; a house rule would settle it"
    )


def missing(history: History, plan: Plan, accepts_unmeasured: bool) -> list[str]:
    """What is not known although a last day may be given."""
    lines = _own_missing(history, plan, accepts_unmeasured)
    for part in history.components:
        if accepts_unmeasured and _unmeasured(part.history, "fridge"):
            lines.append(f"{part.name}, which is in it: {UNMEASURED}")
    return lines


def _own_missing(history: History, plan: Plan, accepts_unmeasured: bool) -> list[str]:
    lines = []
    first = history.stays[0] if history.stays else None
    if first is not None and not first.recorded:
        if first.ended is None:
            lines.append(NO_PLACE)
        else:
            lines.append(
                f"time before the first place: {say_hours(first.ended - first.began)} "
                "not recorded, counted as counter time"
            )
    if accepts_unmeasured and _unmeasured(history, "fridge"):
        lines.append(UNMEASURED)
    if _unmeasured(history, "hot"):
        lines.append(HOT_UNMEASURED)
    if _unmeasured(history, "counter") and any(
        (rule.above_c or 0) >= 32 for rule in plan.exposure
    ):
        lines.append(ROOM_UNMEASURED)
    if history.made_at is None:
        return lines
    is_cooked = plan.category is not None and plan.category.is_cooked
    if is_cooked and history.cooled_at is None:
        lines.append(NO_COOLING_LOG)
    if history.opened_at is None and any(x.anchor == "opened" for x in plan.dated):
        lines.append(ASSUMED_OPENED)
    return lines


def _unmeasured(history: History, state: str) -> bool:
    return any(stay.state == state and stay.temp_c is None for stay in history.stays)
