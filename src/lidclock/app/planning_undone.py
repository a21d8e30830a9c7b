"""What an undo of a meal or a choice left, in words."""

from __future__ import annotations

from lidclock.app.meal_words import meal_lines, say_title
from lidclock.app.meals import Numbered, number_of, numbered
from lidclock.app.session import Unit
from lidclock.domain.events import Event
from lidclock.domain.planning import (
    CHOICES_SUBJECT,
    FOOD_PLAN_SUBJECT,
    MEAL_SUBJECT,
    meal_from,
)


def planning_line(unit: Unit, subject: str) -> str:
    """How a meal or a choice stands now; empty for another subject."""
    if subject.startswith(MEAL_SUBJECT):
        return _meal_line(unit, subject.removeprefix(MEAL_SUBJECT))
    if subject == CHOICES_SUBJECT:
        return "the choices before it hold again: `lidclock plan show`"
    if subject.startswith(FOOD_PLAN_SUBJECT):
        name = subject.removeprefix(FOOD_PLAN_SUBJECT)
        return f"what was said before of {name} holds again: `lidclock plan show`"
    return ""


def _meal_line(unit: Unit, meal_id: str) -> str:
    for one in numbered(unit):
        if one.meal.id == meal_id:
            return f"now {'; '.join(meal_lines(one, unit.session.now))}"
    told = _last_told(unit.ledger.of([f"{MEAL_SUBJECT}{meal_id}"]))
    if told is None:
        return ""
    known = Numbered(number_of(unit, meal_id), meal_from(meal_id, told.body["meal"]))
    return f"meal {known.number} is off the list: {say_title(known.meal)}"


def _last_told(events: list[Event]) -> Event | None:
    """The event that described it last, whether it stands or not."""
    told = [one for one in events if one.kind == "noted" and one.body.get("meal")]
    return max(told, key=lambda one: (one.recorded_at, one.id), default=None)
