"""The meals ahead with what is short for each, and meals put down in a form."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from lidclock.app.amounts import Amount, amounts
from lidclock.app.meal_changes import Draft, add_meal, remove_meal, skip_meal
from lidclock.app.meal_stock import shorts
from lidclock.app.meal_words import say_at, say_cycle, say_meal
from lidclock.app.meals import Numbered, agenda
from lidclock.app.session import Session
from lidclock.domain.planning import Item, Occurrence
from lidclock.errors import InputError

AHEAD = timedelta(days=8)
# What a form offers for a meal that comes again, as rules of RFC 5545.
EVERY = {"": "", "day": "FREQ=DAILY", "week": "FREQ=WEEKLY"}


@dataclass(frozen=True, slots=True)
class Coming:
    """One meal ahead: its number, when, what, and what is short for it."""

    number: int
    one: Occurrence
    when: str
    what: str
    repeats: str
    short: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Ahead:
    """The meals of the days ahead, those that come later, and what to make for all."""

    meals: tuple[Coming, ...]
    later: tuple[Numbered, ...]
    amounts: tuple[Amount, ...]
    foods: tuple[str, ...]


def plan_ahead(session: Session) -> Ahead:
    """What is planned and what it wants."""
    now = session.now
    with session.read() as unit:
        found = agenda(unit, AHEAD)
        coming = tuple(
            Coming(
                number,
                one,
                say_at(one, now),
                say_meal(one.meal),
                say_cycle(one.meal),
                tuple(short.says(one.meal, now) for short in shorts(unit, one)),
            )
            for number, one in found.ahead
        )
        made = amounts(unit)
        foods = tuple(food.name for food in unit.snapshots.foods())
    return Ahead(coming, found.later, tuple(made), foods)


def put_down(
    session: Session,
    at: datetime | None,
    wanted: Sequence[tuple[str, int | None]],
    *,
    name: str = "",
    eaters: int | None = None,
    every: str = "",
    once: str = "",
) -> str:
    """Put a meal on the list; the act, so that it can be undone.

    `once` is the act that it is: what is said under it again is done already.
    """
    if every not in EVERY:
        raise InputError(f"{every!r} is not how often a meal comes: day or week")
    items = tuple(Item(food, portions) for food, portions in wanted if food)
    draft = Draft(at=at, items=items, name=name, eaters=eaters, rule=EVERY[every])
    with session.write() as unit, unit.one_act(once) as act:
        if not unit.has_act(once):
            add_meal(unit, draft)
    return act


def leave_out(session: Session, number: str, day: date | None) -> str:
    """Skip a meal on one day, or take it off the list; the act."""
    with session.write() as unit, unit.one_act() as act:
        if day is None:
            remove_meal(unit, number)
        else:
            skip_meal(unit, number, day)
    return act
