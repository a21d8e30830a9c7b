"""What may be done next, and what to be careful of."""

from __future__ import annotations

from lidclock.domain.foods import Food
from lidclock.domain.history import History
from lidclock.guidance.model import Counting, GuidanceSet, Plan


def next_actions(
    status: str, history: History, counting: Counting, days_left: int | None
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
    if status != "last-day" and may_freeze(history, counting):
        return ("use", "freeze", "hand on", "discard")
    return ("use", "hand on", "discard")


def may_freeze(history: History, counting: Counting) -> bool:
    """Not again, once a set's fresh hours after thawing have begun."""
    return counting.fresh_hours is None or not history.was_frozen


def cautions_for(
    food: Food, history: History, plan: Plan, guidance: GuidanceSet, status: str
) -> tuple[str, ...]:
    """The cautions that belong on this verdict, the food's own first."""
    keys = list(plan.category.cautions) if plan.category is not None else []
    if status == "over":
        keys.append("overdue")
    if status == "paused":
        keys.append("thaw-cold")
    if food.pack == "vacuum":
        keys.append("vacuum")
    if history.maker_use_by is not None:
        keys.append("maker-date")
    keys += ["cold-chain", "senses", "high-risk", "local"]
    return (*(guidance.cautions[key] for key in keys), guidance.advice)
