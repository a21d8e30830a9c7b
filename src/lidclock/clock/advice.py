"""What may be done next, and what to be careful of."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from lidclock.clock.exposure import is_warm, spend, warm_periods
from lidclock.domain.foods import Food
from lidclock.domain.history import History
from lidclock.guidance.model import Counting, Plan
from lidclock.guidance.sets import GuidanceSet


def next_actions(
    status: str,
    history: History,
    plan: Plan,
    counting: Counting,
    days_left: int | None,
) -> tuple[str, ...]:
    """The actions that the verdict leaves open, most useful first.

    Freezing on the last day is not offered: no day would be left after thawing.
    """
    if status == "ended":
        return ()
    if status == "over":
        return ("discard",)
    if status == "unknown":
        return ("check", "discard")
    if status == "paused":
        if days_left is not None and days_left < 1:
            return ("check", "discard")
        return ("take out", "hand on", "discard")
    if status != "last-day" and may_freeze(history, plan, counting):
        return ("use", "freeze", "hand on", "discard")
    return ("use", "hand on", "discard")


def may_freeze(history: History, plan: Plan, counting: Counting) -> bool:
    """Whether guidance leaves freezing open.

    Not where it advises against it, nor after cold has stopped helping. A second time
    only where the set allows it, and it was thawed and kept in a fridge.
    """
    if plan.freezes_badly is not None or _is_past_rechilling(history, plan):
        return False
    if not history.was_frozen:
        return True
    if counting.fresh_hours is not None or counting.refreeze == "never":
        return False
    if any(rule.anchor == "thawed" for rule in plan.dated):
        return False
    froze = next(i for i, x in enumerate(history.stays) if x.state == "freezer")
    return all(stay.state in ("freezer", "fridge") for stay in history.stays[froze:])


def _is_past_rechilling(history: History, plan: Plan) -> bool:
    """Whether so much time out of the cold is used up that cold stops nothing."""
    for rule in plan.exposure:
        if rule.rechill_hours is None:
            continue
        warm = tuple(stay for stay in history.stays if is_warm(stay, rule))
        ended = tuple(stay for stay in warm if stay.ended is not None)
        if spend(ended, (), timedelta(hours=rule.rechill_hours))[0] is not None:
            return True
    return False


def cautions_for(
    food: Food, history: History, plan: Plan, guidance: GuidanceSet, status: str
) -> tuple[str, ...]:
    """The cautions that belong on this verdict, the food's own first."""
    keys = list(plan.category.cautions) if plan.category is not None else []
    keys += [key for key, is_so in _occasions(history, plan, guidance, status) if is_so]
    if food.pack != "air":
        keys.append("vacuum")
    if history.maker_use_by is not None:
        keys.append("maker-date")
    keys += ["cold-chain", "senses", "high-risk", "local"]
    return (*(guidance.cautions[key] for key in dict.fromkeys(keys)), guidance.advice)


def _occasions(
    history: History, plan: Plan, guidance: GuidanceSet, status: str
) -> Iterator[tuple[str, bool]]:
    """What happened to it that calls for a word of its own."""
    counting = guidance.counting
    is_out = bool(history.stays) and not history.is_frozen
    yield "overdue", status == "over"
    yield "thaw-cold", status == "paused"
    yield "freezes-badly", plan.freezes_badly is not None
    is_thawed = history.was_frozen and is_out
    yield "not-refrozen", is_thawed and not may_freeze(history, plan, counting)
    once = [rule for rule in plan.exposure if rule.once]
    yield "one-period", any(warm_periods(rule, history) > 1 for rule in once)
    yield "rechill", _is_past_rechilling(history, plan)
    most = counting.reheats
    yield "reheat-once", most is not None and len(history.reheated_at) >= most
