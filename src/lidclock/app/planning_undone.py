"""What an undo of a meal, an occasion or a choice left, in words."""

from __future__ import annotations

from lidclock.app.meal_words import meal_lines, say_title
from lidclock.app.meals import Numbered, number_of, numbered
from lidclock.app.session import Unit
from lidclock.domain.events import Event
from lidclock.domain.moments import say_day
from lidclock.domain.occasions import OCCASION_SUBJECT, occasions_from
from lidclock.domain.planning import (
    CHOICES_SUBJECT,
    FOOD_PLAN_SUBJECT,
    MEAL_SUBJECT,
    meal_from,
)


def planning_line(unit: Unit, subject: str) -> str:
    """How a meal, an occasion or a choice stands now; empty for another subject."""
    if subject.startswith(MEAL_SUBJECT):
        return _meal_line(unit, subject.removeprefix(MEAL_SUBJECT))
    if subject == CHOICES_SUBJECT:
        return "the choices before it hold again: `lidclock plan show`"
    if subject.startswith(FOOD_PLAN_SUBJECT):
        name = subject.removeprefix(FOOD_PLAN_SUBJECT)
        return f"what was said before of {name} holds again: `lidclock plan show`"
    if subject.startswith(OCCASION_SUBJECT):
        return _occasion_line(unit, subject)
    return ""


def _occasion_line(unit: Unit, subject: str) -> str:
    name = subject.removeprefix(OCCASION_SUBJECT)
    known = occasions_from(unit.ledger.of([subject]))
    if not known:
        return f"nothing is on record of {name}"
    last = known[-1]
    return f"{last.name}: {last.came} came on {say_day(last.on)}, the last on record"


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
