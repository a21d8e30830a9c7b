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
    FoodPlan,
    told_of,
)
from lidclock.domain.planning_checks import (
    read_choices_body,
    read_food_plan_body,
)
from lidclock.errors import InputError, RefusedError, UnknownThingError


def set_choices(
    unit: Unit, told: Mapping[str, Any], reset: Iterable[str] = ()
) -> Choices:
    """Choose what `told` names, as JSON-ready data; the rest stays as it was.

    What `reset` names is as it comes again.
    """
    before = told_of(planning_events(unit), CHOICES_SUBJECT, "choices")
    after = _merged(before, told, reset, Choices().as_dict())
    read_choices_body({"choices": after})
    unit.record([Fact("noted", CHOICES_SUBJECT, {"choices": after})])
    return choices_of(unit)


def set_food_plan(
    unit: Unit, name: str, told: Mapping[str, Any], reset: Iterable[str] = ()
) -> tuple[str, FoodPlan]:
    """Say of one food what `told` names; its name as the kitchen writes it, and all."""
    (food,) = known_names(unit, [name])
    subject = f"{FOOD_PLAN_SUBJECT}{food.casefold()}"
    before = told_of(planning_events(unit), subject, "plan")
    after = _merged(before, told, reset, FoodPlan().as_dict())
    _refuse_unknown_model(after.get("model", ""))
    read_food_plan_body({"plan": after})
    unit.record([Fact("noted", subject, {"plan": after})])
    return food, choices_of(unit).food(food)


def _merged(
    before: Mapping[str, Any],
    told: Mapping[str, Any],
    reset: Iterable[str],
    known: Mapping[str, Any],
) -> dict[str, Any]:
    dropped = {name.replace("-", "_") for name in reset}
    stray = sorted(dropped - known.keys())
    if stray:
        raise UnknownThingError(f"nothing called {stray[0]!r}; known: {_names(known)}")
    if dropped & told.keys():
        both = sorted(dropped & told.keys())[0]
        raise InputError(f"{both.replace('_', '-')} is set and reset: leave out one")
    if not told and not dropped:
        raise InputError("say what to choose, or what to --reset")
    kept = {name: value for name, value in before.items() if name not in dropped}
    after = {**kept, **told}
    if after == before:
        raise RefusedError("that is what is chosen already: nothing to record")
    return after


def _names(known: Mapping[str, Any]) -> str:
    return ", ".join(name.replace("_", "-") for name in known)


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
