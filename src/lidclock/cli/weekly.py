"""Hours of the day and days of the week as people write them."""

from __future__ import annotations

import re
from datetime import time

from lidclock.domain.moments import WEEKDAYS
from lidclock.domain.recurrence import WEEKDAY_CODES
from lidclock.errors import InputError

CLOCK_EXAMPLE = "write it like 07:30 or 6pm"
DAYS_EXAMPLE = "write them like Tue,Thu"
_CLOCK = re.compile(r"([0-9]{1,2})(?::([0-9]{2}))?\s*([ap]m)?", re.I)
_EVERY_DAY = ("day", "days", "daily", "every day")
_WORKING = ("weekday", "weekdays", "every weekday")
_WEEK = ("week", "weekly", "every week")
_FULL = (
    *("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"),
)
_SHORTEST = 2


def read_clock(text: str) -> time:
    """The hour of the day in `07:30`, `7.30 pm` or `6pm`; a bare 18 is no hour."""
    match = _CLOCK.fullmatch(text.strip().replace(".", ":"))
    if match is None or not (match[2] or match[3]):
        raise InputError(f"{text!r} is not an hour; {CLOCK_EXAMPLE}")
    hour, minute, half = int(match[1]), int(match[2] or 0), (match[3] or "").lower()
    if half and not 1 <= hour <= 12:
        raise InputError(f"{text!r} is not an hour; {CLOCK_EXAMPLE}")
    if half:
        hour = hour % 12 + (12 if half == "pm" else 0)
    try:
        return time(hour, minute)
    except ValueError as error:
        raise InputError(f"{text!r}: there is no such hour; {CLOCK_EXAMPLE}") from error


def read_days(text: str) -> tuple[int, ...]:
    """Days of the week, Monday is 0: `Tue,Thu`, `weekday`, `day`."""
    words = " ".join(text.lower().split())
    if words in _EVERY_DAY:
        return tuple(range(7))
    if words in _WORKING:
        return tuple(range(5))
    names = words.replace(",", " ").replace(" and ", " ").split()
    if not names:
        raise InputError(f"name the days of the week; {DAYS_EXAMPLE}")
    return tuple(sorted({_day(name, text) for name in names}))


def _day(name: str, text: str) -> int:
    found = [
        number
        for number, full in enumerate(_FULL)
        if len(name) >= _SHORTEST and full.startswith(name.rstrip("."))
    ]
    if len(found) != 1:
        raise InputError(f"{text!r} are no days of the week; {DAYS_EXAMPLE}")
    return found[0]


def every_text(words: str) -> str:
    """The rule of RFC 5545 for `day`, `week`, `weekday` or days such as `Tue,Thu`."""
    bare = " ".join(words.lower().split())
    if bare in _EVERY_DAY:
        return "FREQ=DAILY"
    if bare in _WEEK:
        return "FREQ=WEEKLY"
    try:
        days = read_days(bare)
    except InputError as error:
        raise InputError(
            f"--every takes day, week, weekday or days such as Tue,Thu, not {words!r}"
        ) from error
    return f"FREQ=WEEKLY;BYDAY={','.join(WEEKDAY_CODES[day] for day in days)}"


def read_use_up(text: str) -> tuple[tuple[int, ...], time]:
    """The days and the hour of `Tue,Fri 18:30`; an hour alone is every day.

    `never` is on no day, at an hour that does not matter.
    """
    words = text.split()
    if [word.lower() for word in words] == ["never"]:
        return (), time(18, 30)
    if not words:
        raise InputError("say the days and the hour, such as 'Tue,Fri 18:30'")
    is_half = words[-1].lower() in ("am", "pm") and len(words) > 1
    at = len(words) - (2 if is_half else 1)
    try:
        clock = read_clock(" ".join(words[at:]))
    except InputError as error:
        raise InputError(
            f"{text!r}: say the days and the hour, such as 'Tue,Fri 18:30'"
        ) from error
    days = " ".join(words[:at])
    return (read_days(days) if days else tuple(range(7))), clock


def say_days(days: tuple[int, ...]) -> str:
    """`every day`, `on weekdays`, `Tue and Fri`."""
    if len(days) == len(WEEKDAYS):
        return "every day"
    if days == tuple(range(5)):
        return "on weekdays"
    names = [WEEKDAYS[day] for day in days]
    return " and ".join(filter(None, [", ".join(names[:-1]), names[-1]]))
