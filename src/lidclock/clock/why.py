"""Steps of an explanation: data first, words last, the same for every reader."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from lidclock.domain.history import Stay
from lidclock.domain.moments import say_day, say_hours, say_moment

# A step is its kind and its numbers: ("first-day", "made", date(2026, 10, 31)).
Step = tuple[Any, ...]


def render(step: Step) -> str:
    """One step in words."""
    return _WORDS[step[0]](*step[1:])


def _first_day(anchor: str, day: date) -> str:
    return f"day 1 is {say_day(day)} ({anchor})"


def _days(low: int, high: int) -> str:
    if low == high:
        return f"{high} day{'s' if high > 1 else ''} allowed"
    return f"{low} to {high} days published: plan by day {low}, limit is day {high}"


def _hours(low: float, high: float) -> str:
    return f"{low:g} to {high:g} h published: plan by {low:g} h, limit is {high:g} h"


def _no_rechill(hours: float, at: datetime, zone: ZoneInfo) -> str:
    when = say_moment(at, zone)
    return f"{hours:g} h in all are up on {when}: from then on cold counts too"


def _used(days: int, high: int) -> str:
    return f"{days} of {high} days used before the freezer paused the count"


def _last_day(day: date, high: int) -> str:
    return f"day {high} is {say_day(day)}; the limit is the end of that day"


def _budget(hours: float, above_c: float) -> str:
    return f"{hours:g} h allowed in all above {above_c:g} °C"


def _spent(spent: timedelta, where: str) -> str:
    return f"{say_hours(spent)} used {where}"


def _reached(at: datetime, zone: ZoneInfo) -> str:
    return f"reached on {say_moment(at, zone)}"


def _warm(temp_c: float, at: datetime, zone: ZoneInfo) -> str:
    return f"still {temp_c:g} °C on {say_moment(at, zone)}"


def _measured(above_c: float, stay: Stay, zone: ZoneInfo) -> str:
    span, until = "", "on, and still"
    if stay.ended is not None:
        span = f"{say_hours(stay.ended - stay.began)} "
        until = f"to {say_moment(stay.ended, zone)}"
    return (
        f"{span}above {above_c:g} °C in {stay.place or stay.state}, at most "
        f"{stay.temp_c:g} °C: {say_moment(stay.began, zone)} {until} (measured)"
    )


def _measured_more(count: int) -> str:
    return f"and {count} more time{'' if count == 1 else 's'} (measured)"


def _since(hours: float, anchor: str, at: datetime, zone: ZoneInfo) -> str:
    return f"{hours:g} h from {say_moment(at, zone)} ({anchor})"


def _text(words: str) -> str:
    return words


def _via(name: str) -> str:
    return f"because of {name}, which is in it"


def _maker(day: date) -> str:
    return f"the maker's date is {say_day(day)}"


_WORDS: dict[str, Callable[..., str]] = {
    "first-day": _first_day,
    "days": _days,
    "used": _used,
    "hours": _hours,
    "no-rechill": _no_rechill,
    "last-day": _last_day,
    "budget": _budget,
    "spent": _spent,
    "reached": _reached,
    "warm": _warm,
    "measured": _measured,
    "measured-more": _measured_more,
    "since": _since,
    "text": _text,
    "via": _via,
    "maker": _maker,
}
