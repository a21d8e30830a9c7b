"""Meals: when they happen, which there are, and by what number they are called."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from lidclock.app.session import Unit
from lidclock.domain.moments import zone_of
from lidclock.domain.planning import MEAL_SUBJECT, Meal, Occurrence, meals_from
from lidclock.domain.recurrence import SEARCH_YEARS, falls, instant_of
from lidclock.domain.rule_text import read_rule
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError, UnknownThingError

# Further than any zone's clock is from UTC.
_MARGIN = timedelta(days=2)
_YEAR = timedelta(days=366)
# What a meal that uses up is called where no dish of the kitchen has a name.
USING_UP = "use up"


def named(name: str) -> str:
    """The name of a meal, or in words what a meal that uses up is called."""
    return sentence("use up") if name == USING_UP else name


def occurrences(
    meals: Iterable[Meal], after: datetime, before: datetime
) -> list[Occurrence]:
    """Every time that one of `meals` happens within [after, before), the soonest first.

    Wall time in the meal's zone; a time that occurs twice is the earlier instant, one
    that does not occur is read with the offset before the gap (RFC 5545, 3.3.5).
    InputError for a rule that cannot be read.
    """
    found = [one for meal in meals for one in _of(meal, after, before)]
    return sorted(found, key=lambda one: (one.at, one.meal.id))


def _of(meal: Meal, after: datetime, before: datetime) -> Iterable[Occurrence]:
    # By instant: where a zone skips a whole day, two days' meals would be one.
    found = {one.at: one for one in _each(meal, after, before)}
    return found.values()


def _each(meal: Meal, after: datetime, before: datetime) -> Iterator[Occurrence]:
    zone = zone_of(meal.zone_name)
    for local in _locals(meal, after, before):
        at = instant_of(local, zone)
        if local.date() not in meal.without and after <= at < before:
            yield Occurrence(meal, at, local.date())


def _locals(meal: Meal, after: datetime, before: datetime) -> Iterator[datetime]:
    if not meal.rule:
        return iter([meal.begins])
    first_on, last_on = (after - _MARGIN).date(), (before + _MARGIN).date()
    zone, rule = zone_of(meal.zone_name), read_rule(meal.rule)
    return falls(rule, meal.begins, zone, first_on, last_on)


def coming(meal: Meal, after: datetime, most: int = 1) -> list[Occurrence]:
    """The next times it happens after `after`, up to `most`, within 40 years."""
    found: dict[datetime, Occurrence] = {}
    since = after + timedelta(microseconds=1)
    for one in _each(meal, since, after + SEARCH_YEARS * _YEAR):
        found[one.at] = one
        if len(found) > most:
            break
    return list(found.values())[:most]


@dataclass(frozen=True, slots=True)
class Numbered:
    """A meal with the number that people call it by."""

    number: int
    meal: Meal


def numbered(unit: Unit) -> list[Numbered]:
    """The meals on the list by number; one that was taken off keeps its number.

    Numbers follow the order in which meals were first recorded.
    """
    numbers = _numbers(unit)
    found = [Numbered(numbers[one.id], one) for one in _meals(unit)]
    return sorted(found, key=lambda one: one.number)


@dataclass(frozen=True, slots=True)
class Agenda:
    """The meals of the days ahead, by number, and those that come only later."""

    ahead: tuple[tuple[int, Occurrence], ...]
    later: tuple[Numbered, ...]
    over: tuple[Numbered, ...]


def agenda(unit: Unit, within: timedelta) -> Agenda:
    """What is eaten within `within` from now."""
    now, known = unit.session.now, numbered(unit)
    numbers = {one.meal.id: one.number for one in known}
    found = occurrences([one.meal for one in known], now, now + within)
    ahead = {one.meal.id for one in found}
    others = [one for one in known if one.meal.id not in ahead]
    later = tuple(one for one in others if coming(one.meal, now))
    return Agenda(
        tuple((numbers[one.meal.id], one) for one in found),
        later,
        tuple(one for one in others if one not in later),
    )


def number_of(unit: Unit, meal_id: str) -> int:
    """The number of the meal with that id, on the list or not."""
    return _numbers(unit)[meal_id]


def _meals(unit: Unit) -> list[Meal]:
    return meals_from(unit.ledger.starting(MEAL_SUBJECT))


def _numbers(unit: Unit) -> dict[str, int]:
    noted = [one for one in unit.ledger.starting(MEAL_SUBJECT) if one.kind == "noted"]
    noted.sort(key=lambda one: (one.recorded_at, one.id))
    ids = dict.fromkeys(one.subject.removeprefix(MEAL_SUBJECT) for one in noted)
    return {meal_id: number for number, meal_id in enumerate(ids, start=1)}


def find_meal(unit: Unit, typed: str) -> Numbered:
    """The meal with that number, name or id; the error names what there is."""
    wanted = typed.strip().removeprefix("#").casefold()
    known = numbered(unit)
    found = [
        one
        for one in known
        if wanted in (str(one.number), one.meal.id, one.meal.name.casefold())
    ]
    if len(found) > 1:
        numbers = " and ".join(str(one.number) for one in found)
        raise InputError(f"{typed!r} is the name of meals {numbers}: give the number")
    if found:
        return found[0]
    if wanted in map(str, _numbers(unit).values()):
        raise UnknownThingError(f"meal {wanted} was taken off the list")
    raise UnknownThingError(f"no meal {typed!r}; {_known(known, wanted)}")


def _known(known: list[Numbered], wanted: str) -> str:
    if not known:
        return "there are none yet: add one with `lidclock meal add`"
    names = {one.meal.name.casefold(): one for one in known if one.meal.name}
    alike = [name for name in names if wanted and wanted in name]
    alike += difflib.get_close_matches(wanted, names, n=3)
    close = [names[name] for name in list(dict.fromkeys(alike))[:3]]
    if close:
        words = ", ".join(f"{one.number} ({one.meal.name})" for one in close)
        return f"nearest: {words}"
    return "`lidclock meal list` shows their numbers"
