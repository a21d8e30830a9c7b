"""Meals as lines for people, and as data."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from lidclock.app.instants import to_second
from lidclock.app.meal_words import (
    meal_lines,
    say_at,
    say_cycle,
    say_eaters,
    say_items,
    say_repeats,
)
from lidclock.cli.show import columns
from lidclock.domain.moments import say_day, say_span, zone_of

if TYPE_CHECKING:
    from lidclock.app.meal_stock import Outlook, Short
    from lidclock.app.meals import Agenda, Numbered
    from lidclock.domain.planning import Meal, Occurrence


# What fits 100 columns beside the time and the eaters.
_TITLE, _CYCLE = 32, 25


def agenda_lines(found: Agenda, within: timedelta, now: datetime) -> list[str]:
    """The meals ahead, one a line; then those that come later and those over."""
    if not (found.ahead or found.later or found.over):
        return ["no meals yet: add one with `lidclock meal add`"]
    rows = [
        [
            str(number),
            say_at(one, now),
            _cut(": ".join(filter(None, [one.meal.name, say_items(one.meal)])), _TITLE),
            say_eaters(one.meal),
            _cut(say_cycle(one.meal), _CYCLE),
        ]
        for number, one in found.ahead
    ]
    lines = columns(rows) or [f"no meals within {say_span(within)}"]
    if found.later:
        lines.append(f"later: {_numbers(found.later)}")
    if found.over:
        lines.append(f"over: {_numbers(found.over)}")
    return lines


def _cut(text: str, longest: int) -> str:
    """No longer than a column; `meal show` has the whole of it."""
    return text if len(text) <= longest else f"{text[: longest - 1]}…"


def _numbers(known: tuple[Numbered, ...]) -> str:
    word = "meal" if len(known) == 1 else "meals"
    return f"{word} {', '.join(str(one.number) for one in known)}"


def meal_text(
    found: Outlook,
    now: datetime,
    *,
    is_whole: bool = False,
    skipped: date | None = None,
) -> list[str]:
    """A meal, what is short for its next time, and where wanted its days to come."""
    meal = found.known.meal
    lines = meal_lines(found.known, now)
    if skipped is not None:
        lines.append(f"left out on {say_day(skipped)}")
    if is_whole:
        lines += _days(found, now)
    return [*lines, *(one.says(meal, now) for one in found.short)]


def _days(found: Outlook, now: datetime) -> list[str]:
    meal = found.known.meal
    later = [say_at(one, now) for one in found.coming[1:]]
    left_out = [say_day(day) for day in sorted(meal.without)]
    return [
        *([f"then {', '.join(later)}"] if later else []),
        *([f"left out on {', '.join(left_out)}"] if left_out else []),
        *([f"by the rule {meal.rule}"] if meal.rule else []),
    ]


def agenda_json(found: Agenda) -> dict[str, Any]:
    """The meals ahead as JSON-ready data."""
    return {
        "meals": [
            {"number": number, **_occurrence_json(one), **_facts(one.meal)}
            for number, one in found.ahead
        ],
        "later": [one.number for one in found.later],
        "over": [one.number for one in found.over],
    }


def meal_json(found: Outlook) -> dict[str, Any]:
    """One meal as JSON-ready data."""
    return {
        "number": found.known.number,
        **_facts(found.known.meal),
        "next": [_occurrence_json(one) for one in found.coming],
        "short": [_short_json(one) for one in found.short],
    }


def _facts(meal: Meal) -> dict[str, Any]:
    return {
        "id": meal.id,
        "name": meal.name or None,
        "items": [
            {"food": one.food, "portions": meal.portions_of(one)} for one in meal.items
        ],
        "eaters": meal.eaters,
        "spread": meal.spread,
        "rule": meal.rule or None,
        "repeats": say_repeats(meal) or None,
        "left_out": [day.isoformat() for day in sorted(meal.without)],
        "zone": meal.zone_name,
    }


def _occurrence_json(one: Occurrence) -> dict[str, Any]:
    return {
        "at": to_second(one.at, zone_of(one.meal.zone_name)),
        "day": one.on.isoformat(),
        "key": one.key,
    }


def _short_json(one: Short) -> dict[str, Any]:
    return {
        "food": one.food,
        "missing": one.missing,
        "wanted": one.wanted,
        "frozen": one.frozen,
        "undated": one.undated,
        "taken": one.taken,
    }
