"""Days, moments and numbers as a language writes them; never a day all in numbers."""

from __future__ import annotations

import tomllib
from datetime import date, datetime
from functools import cache
from zoneinfo import ZoneInfo

from lidclock.domain import moments
from lidclock.domain.sentences import DayName
from lidclock.web import pseudo
from lidclock.web.words import LOCALE, SOURCE


@cache
def _ways() -> dict[str, dict[str, list[str] | str]]:
    with (LOCALE / "dates.toml").open("rb") as file:
        return tomllib.load(file)


def say_day(language: str, day: date) -> str:
    """`Thu 5 Nov 2026` in the language: weekday and month by name."""
    return _said(language, day, "day", moments.say_day(day))


def say_near_day(language: str, day: date, today: date) -> str:
    """The same without the year where it is less than half a year away."""
    is_near = abs((day - today).days) <= moments.LONG_AWAY_DAYS
    english = moments.say_near_day(day, today)
    return _said(language, day, "short_day" if is_near else "day", english)


def say_day_name(language: str, name: DayName) -> str:
    """A day that the program wrote, in the language."""
    return _said(language, name.day, "day" if name.with_year else "short_day", name)


def say_moment(language: str, instant: datetime, zone: ZoneInfo) -> str:
    """The day and, by the clock of 24 hours, the minute in the kitchen's zone."""
    local = instant.astimezone(zone)
    return f"{say_day(language, local.date())} {local:%H:%M}"


def say_number(language: str, number: float | str) -> str:
    """A number with the language's sign before its decimals, in Western digits."""
    if language == SOURCE or language in pseudo.NAMES:
        return str(number)
    return str(number).replace(".", str(_ways()[language]["decimal"]))


def _said(language: str, day: date, way: str, english: str) -> str:
    if language == SOURCE:
        return english
    if language in pseudo.NAMES:
        return pseudo.disguise(english, language)
    ways = _ways()[language]
    return str(ways[way]).format(
        weekday=ways["weekdays"][day.weekday()],
        day=day.day,
        month=ways["months"][day.month - 1],
        year=day.year,
    )
