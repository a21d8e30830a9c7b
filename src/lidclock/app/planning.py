"""What the kitchen chose and means to do, out of the ledger."""

from __future__ import annotations

from lidclock.app.session import Unit
from lidclock.domain.events import Event
from lidclock.domain.occasions import OCCASION_SUBJECT
from lidclock.domain.planning import (
    CHOICES_SUBJECT,
    FOOD_PLAN_SUBJECT,
    MEAL_SUBJECT,
    Choices,
    Meal,
    choices_from,
    meals_from,
)


def choices_of(unit: Unit) -> Choices:
    """The choices that proposals hang on; what nobody chose is as it comes."""
    kitchen = unit.ledger.of([CHOICES_SUBJECT])
    return choices_from([*kitchen, *unit.ledger.starting(FOOD_PLAN_SUBJECT)])


def meals_of(unit: Unit) -> list[Meal]:
    """The meals on the list, by when they begin."""
    return meals_from(unit.ledger.starting(MEAL_SUBJECT))


def planning_events(unit: Unit) -> list[Event]:
    """All that was recorded of meals, occasions and choices, taken back or not."""
    return [
        *unit.ledger.of([CHOICES_SUBJECT]),
        *unit.ledger.starting(FOOD_PLAN_SUBJECT),
        *unit.ledger.starting(MEAL_SUBJECT),
        *unit.ledger.starting(OCCASION_SUBJECT),
    ]
