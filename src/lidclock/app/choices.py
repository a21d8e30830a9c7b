"""What a kitchen chooses for its proposals, and what it says of single foods."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from lidclock.app.food_names import known_names
from lidclock.app.planning import choices_of, planning_events
from lidclock.app.session import Fact, Unit
from lidclock.domain.planning import (
    CHOICES_SUBJECT,
    FOOD_PLAN_SUBJECT,
    Choices,
    told_of,
)
from lidclock.domain.planning_checks import (
    read_choices_body,
    read_food_plan_body,
)
from lidclock.errors import InputError, UnknownThingError


def set_choices(
    unit: Unit, told: Mapping[str, Any], reset: Iterable[str] = ()
) -> Choices:
    """Choose what `told` names, as JSON-ready data; the rest stays as it was.

    What `reset` names is as it comes again.
    """
    before = told_of(planning_events(unit), CHOICES_SUBJECT, "choices")
    after = _merged(before, told, reset)
    read_choices_body({"choices": after})
    if after != before:
        unit.record([Fact("noted", CHOICES_SUBJECT, {"choices": after})])
    return choices_of(unit)


def set_food_plan(
    unit: Unit, name: str, told: Mapping[str, Any], reset: Iterable[str] = ()
) -> tuple[str, Choices]:
    """Say of one food what `told` names; its name as the kitchen writes it, and all."""
    (food,) = known_names(unit, [name])
    subject = f"{FOOD_PLAN_SUBJECT}{food.casefold()}"
    before = told_of(planning_events(unit), subject, "plan")
    after = _merged(before, told, reset)
    _refuse_unknown_model(after.get("model", ""))
    read_food_plan_body({"plan": after})
    if after != before:
        unit.record([Fact("noted", subject, {"plan": after})])
    return food, choices_of(unit)


def food_plan(unit: Unit, name: str) -> tuple[str, Choices]:
    """The food's name as the kitchen writes it, and all choices."""
    (food,) = known_names(unit, [name])
    return food, choices_of(unit)


def _merged(
    before: Mapping[str, Any], told: Mapping[str, Any], reset: Iterable[str]
) -> dict[str, Any]:
    dropped = set(reset)
    if dropped & told.keys():
        raise InputError("a choice is made and reset at once: leave out one")
    if not told and not dropped:
        raise InputError(
            "say what to choose; --help lists it, --reset forgets a choice"
        )
    kept = {name: value for name, value in before.items() if name not in dropped}
    return {**kept, **told}


def _refuse_unknown_model(model: str) -> None:
    if not model:
        return
    import difflib

    from lidclock.heat.load import load_foods

    known = load_foods()
    if model not in known:
        close = difflib.get_close_matches(model, known, n=3, cutoff=0.4)
        raise UnknownThingError(
            f"no model of a food {model!r}; "
            + (f"nearest: {', '.join(close)}; " if close else "")
            + "`lidclock ready --list` shows them all"
        )
