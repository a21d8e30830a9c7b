"""Adding, changing, skipping and removing meals: events that undo takes back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from typing import Any

from lidclock.app.food_names import known_names
from lidclock.app.meal_words import say_title
from lidclock.app.meals import Numbered, coming, find_meal, number_of
from lidclock.app.now import new_ids
from lidclock.app.session import Fact, Unit
from lidclock.domain.moments import (
    local_date,
    say_day,
    say_moment,
    zone_of,
)
from lidclock.domain.planning import MEAL_SUBJECT, Item, Meal
from lidclock.domain.planning_checks import checked_meal
from lidclock.domain.recurrence import falls, first_fall, instant_of
from lidclock.domain.rule_text import read_rule
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError, RefusedError

_COMING = "give a time to come, such as 'Thu 18:30' or 'tomorrow 12:00'"
_FURTHEST = timedelta(days=3660)


@dataclass(frozen=True, slots=True)
class Draft:
    """What a cook says of a meal; None is left as it is.

    `at` is the instant of its first time; `clock` changes the hour and keeps the day.
    `rule=""` makes it a meal that happens once.
    """

    at: datetime | None = None
    clock: time | None = None
    items: tuple[Item, ...] | None = None
    name: str | None = None
    eaters: int | None = None
    spread: float | None = None
    rule: str | None = None


def add_meal(unit: Unit, draft: Draft) -> Numbered:
    """Put a meal on the list; InputError or UnknownThingError says what is wrong."""
    at = draft.at
    if at is None:
        raise InputError(
            f"say when it is eaten: {_COMING}", sentence("say when it is eaten")
        )
    if not draft.items:
        raise InputError(
            "say what is eaten, such as 'Thu 18:30 buns x2, radish'",
            sentence("say what is eaten"),
        )
    begins = _wall_time(unit, at)
    zone_name = unit.session.kitchen.zone_name
    meal = Meal(
        new_ids(1)[0],
        begins,
        zone_name,
        _known_items(unit, draft.items),
        name=_checked_name(draft.name or ""),
        rule=_rule(draft.rule or ""),
        eaters=draft.eaters,
        spread=draft.spread,
    )
    _refuse_past(unit, meal)
    return _put(unit, _checked(meal))


def change_meal(unit: Unit, typed: str, draft: Draft) -> Numbered:
    """Say something else of a meal; what the draft leaves open stays."""
    meal = find_meal(unit, typed).meal
    told: dict[str, Any] = {}
    for name in ("eaters", "spread"):
        if getattr(draft, name) is not None:
            told[name] = getattr(draft, name)
    if draft.items is not None:
        told["items"] = _known_items(unit, draft.items)
    if draft.name is not None:
        told["name"] = _checked_name(draft.name)
    if draft.rule is not None:
        told["rule"] = _rule(draft.rule)
    if draft.at is not None:
        told["begins"] = _wall_time(unit, draft.at)
        told["zone_name"] = unit.session.kitchen.zone_name
    if draft.clock is not None:
        told["begins"] = datetime.combine(meal.begins.date(), draft.clock)
    if not told:
        raise InputError("say what to change: the time, the foods or an option")
    changed = replace(meal, **told)
    if draft.at is None:
        changed = _begun_anew(unit, meal, checked_meal(changed))
    else:
        _refuse_past(unit, changed)
    changed = _checked(changed)
    if not coming(changed, unit.session.now):
        raise InputError(f"{say_title(meal)!r} would be over by then; {_COMING}")
    return _put(unit, changed)


def skip_meal(unit: Unit, typed: str, day: date) -> Numbered:
    """Leave a meal out on one day; the others stay."""
    known = find_meal(unit, typed)
    meal = known.meal
    if not meal.rule:
        raise RefusedError(
            f"meal {known.number} happens once: "
            f"take it off with `lidclock meal remove {known.number}`"
        )
    if day in meal.without:
        raise RefusedError(f"meal {known.number} is left out on {say_day(day)} already")
    zone = zone_of(meal.zone_name)
    if not list(falls(read_rule(meal.rule), meal.begins, zone, day, day)):
        raise InputError(
            f"meal {known.number} is not on {say_day(day)}; {_next(unit, meal)}"
        )
    if day < local_date(unit.session.now, zone):
        raise InputError(f"{say_day(day)} is over; {_next(unit, meal)}")
    return _put(unit, checked_meal(replace(meal, without=(*meal.without, day))))


def remove_meal(unit: Unit, typed: str) -> Numbered:
    """Take a meal off the list, with all its days to come."""
    known = find_meal(unit, typed)
    unit.record([Fact("noted", f"{MEAL_SUBJECT}{known.meal.id}", {"meal": None})])
    return known


def _put(unit: Unit, meal: Meal) -> Numbered:
    body = {"meal": meal.as_dict()}
    unit.record([Fact("noted", f"{MEAL_SUBJECT}{meal.id}", body)])
    return Numbered(number_of(unit, meal.id), meal)


def _wall_time(unit: Unit, at: datetime) -> datetime:
    local = at.astimezone(unit.session.kitchen.zone)
    return local.replace(tzinfo=None, second=0, microsecond=0, fold=0)


def _refuse_past(unit: Unit, meal: Meal) -> None:
    zone = zone_of(meal.zone_name)
    at = instant_of(meal.begins, zone)
    when = say_moment(at, zone)
    if at <= unit.session.now:
        raise InputError(
            f"{when} is over; {_COMING}",
            sentence("{when} is over: give a time still to come", when=when),
        )
    if at > unit.session.now + _FURTHEST:
        raise InputError(
            sentence("{when} is more than 10 years away; check the year", when=when)
        )


def _checked(meal: Meal) -> Meal:
    """The meal, if its rule falls on its first time; the error names the first day."""
    checked_meal(meal)
    if meal.spread and meal.eaters is None:
        raise InputError("a spread needs eaters to vary: give --eaters as well")
    if meal.rule:
        first = _first(meal)
        if first.date() != meal.begins.date():
            raise InputError(
                f"{say_day(meal.begins.date())} is not a day of the rule; "
                f"begin on {say_day(first.date())}"
            )
    return meal


def _first(meal: Meal) -> datetime:
    """The first time of a rule that was checked to fall at all."""
    first = first_fall(read_rule(meal.rule), meal.begins, zone_of(meal.zone_name))
    assert first is not None
    return first


def _begun_anew(unit: Unit, before: Meal, meal: Meal) -> Meal:
    """Under another rule it begins on the first day to come that the rule has."""
    if not meal.rule or (meal.rule == before.rule and _first(meal) == meal.begins):
        return meal
    zone, now = zone_of(meal.zone_name), unit.session.now
    today = max(local_date(now, zone), meal.begins.date())
    start = datetime.combine(today, meal.begins.time())
    end = start.date() + 366 * timedelta(days=1)
    for local in falls(read_rule(meal.rule), start, zone, start.date(), end):
        if instant_of(local, zone) > now:
            return replace(meal, begins=local)
    return meal


def _next(unit: Unit, meal: Meal) -> str:
    days = [say_day(one.on) for one in coming(meal, unit.session.now, 3)]
    return f"it comes on {', '.join(days)}" if days else "it does not come any more"


def _rule(text: str) -> str:
    """The rule as it is kept: in capitals, without its name in front."""
    return text.strip().upper().removeprefix("RRULE:")


def _checked_name(name: str) -> str:
    bare = " ".join(name.split())
    if bare.removeprefix("#").isdecimal():
        raise InputError(
            f"{bare!r} would be taken for a number; give it a name in words"
        )
    if not bare.isprintable():
        raise InputError(f"{name!r} is not a name; write it in plain letters")
    return bare


def _known_items(unit: Unit, items: tuple[Item, ...]) -> tuple[Item, ...]:
    """The items with the names of foods as the kitchen writes them."""
    names = known_names(unit, [one.food for one in items])
    return tuple(
        replace(one, food=name) for one, name in zip(items, names, strict=True)
    )
