"""Rules of RFC 5545 as text: read, or refused in words."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from typing import Any

from lidclock.domain.recurrence import (
    DAILY,
    FREQUENCIES,
    WEEKDAY_CODES,
    WEEKLY,
    YEARLY,
    Rule,
)
from lidclock.errors import InputError

EXAMPLE = "write it like FREQ=WEEKLY;BYDAY=TU,TH"
MOST_INTERVAL, MOST_COUNT = 1000, 10_000
_LONGEST_TEXT = 500
_LONGEST_LIST = 366
_NUMBER = re.compile(r"[+-]?[0-9]{1,6}")
_BY_DAY = re.compile(rf"([+-]?[0-9]{{1,2}})?({'|'.join(WEEKDAY_CODES)})")
_UNTIL = re.compile(r"([0-9]{8})(?:T([0-9]{6})(Z?))?")
_TOO_OFTEN = ("SECONDLY", "MINUTELY", "HOURLY")
_HOURS = ("BYHOUR", "BYMINUTE", "BYSECOND")


def read_rule(text: str) -> Rule:
    """The rule in the text after `RRULE:`; InputError says what is wrong with it."""
    words = text.strip().upper().removeprefix("RRULE:")
    if len(words) > _LONGEST_TEXT:
        raise InputError(f"the rule is longer than {_LONGEST_TEXT} characters")
    parts: dict[str, str] = {}
    for pair in words.split(";"):
        name, equals, value = pair.partition("=")
        if not equals or not value:
            raise InputError(f"{pair!r} is no part of a rule; {EXAMPLE}")
        if name in parts:
            raise InputError(f"the rule says {name} twice; {EXAMPLE}")
        parts[name] = value
    return _checked(_rule(parts))


def _rule(parts: Mapping[str, str]) -> Rule:
    facts: dict[str, Any] = {}
    for name, value in parts.items():
        if name in _HOURS:
            raise InputError(f"leave out {name}: the hour is that of the first time")
        if name not in _READ:
            known = ", ".join(_READ)
            raise InputError(f"rules with {name} are not read; known are {known}")
        key, read = _READ[name]
        facts[key] = read(name, value)
    if "freq" not in facts:
        raise InputError(f"the rule lacks FREQ; {EXAMPLE}")
    return Rule(**facts)


def _checked(rule: Rule) -> Rule:
    """The rule, or an InputError where RFC 5545, 3.3.10, forbids what it combines."""
    if rule.count is not None and rule.until is not None:
        raise InputError("a rule has COUNT or UNTIL, not both; leave out one")
    if rule.by_monthday and rule.freq == WEEKLY:
        raise InputError("BYMONTHDAY does not go with FREQ=WEEKLY; use FREQ=MONTHLY")
    if rule.by_yearday and rule.freq != YEARLY:
        raise InputError("BYYEARDAY goes with FREQ=YEARLY only")
    if any(which for which, _ in rule.by_day) and rule.freq in (DAILY, WEEKLY):
        raise InputError(
            f"BYDAY with a number does not go with FREQ={rule.freq}; use FREQ=MONTHLY"
        )
    named = rule.by_month or rule.by_monthday or rule.by_yearday or rule.by_day
    if rule.by_setpos and not named:
        raise InputError("BYSETPOS needs BYDAY or another part to choose from")
    return rule


def _freq(_: str, value: str) -> str:
    if value in _TOO_OFTEN:
        raise InputError(f"FREQ={value} is too often; the most is FREQ=DAILY")
    if value not in FREQUENCIES:
        raise InputError(f"FREQ={value} is not known; use {', '.join(FREQUENCIES)}")
    return value


def _count_up_to(most: int) -> Callable[[str, str], int]:
    def read(name: str, value: str) -> int:
        if not _NUMBER.fullmatch(value) or not 1 <= int(value) <= most:
            raise InputError(f"{name}={value[:20]} must lie within 1 and {most}")
        return int(value)

    return read


def _list_up_to(most: int, least: int) -> Callable[[str, str], tuple[int, ...]]:
    """Whole numbers within `least` and `most`, none of them zero."""

    def read(name: str, value: str) -> tuple[int, ...]:
        texts = value.split(",")
        if not all(map(_NUMBER.fullmatch, texts)) or len(texts) > _LONGEST_LIST:
            raise InputError(f"{name} takes numbers with commas, not {value[:20]!r}")
        numbers = tuple(map(int, texts))
        for number in numbers:
            if not least <= number <= most or number == 0:
                within = f"1 to {most}" + (" or negative" if least < 0 else "")
                raise InputError(f"{name}={number}: it must lie within {within}")
        return numbers

    return read


def _by_day(name: str, value: str) -> tuple[tuple[int, int], ...]:
    found = []
    for text in value.split(","):
        match = _BY_DAY.fullmatch(text)
        which = int(match[1] or 0) if match else 0
        if match is None or (match[1] and not 1 <= abs(which) <= 53):
            raise InputError(
                f"{name} takes days such as MO,TH or -1FR, not {text[:20]!r}"
            )
        found.append((which, WEEKDAY_CODES.index(match[2])))
    return tuple(found)


def _week_start(name: str, value: str) -> int:
    if value not in WEEKDAY_CODES:
        raise InputError(f"{name} is a day such as MO, not {value[:20]!r}")
    return WEEKDAY_CODES.index(value)


def _until(_: str, value: str) -> datetime:
    """A day (all of it), a local time, or with Z an instant in UTC."""
    match = _UNTIL.fullmatch(value)
    try:
        if match is None:
            raise ValueError(value)
        day = datetime.strptime(match[1], "%Y%m%d").date()  # noqa: DTZ007
        clock = datetime.strptime(match[2] or "235959", "%H%M%S").time()  # noqa: DTZ007
    except ValueError as error:
        raise InputError(
            f"UNTIL={value[:20]} is no day; write it like UNTIL=20261224"
        ) from error
    return datetime.combine(day, clock, UTC if match[3] else None)


_READ: Mapping[str, tuple[str, Callable[[str, str], Any]]] = {
    "FREQ": ("freq", _freq),
    "INTERVAL": ("interval", _count_up_to(MOST_INTERVAL)),
    "COUNT": ("count", _count_up_to(MOST_COUNT)),
    "UNTIL": ("until", _until),
    "BYMONTH": ("by_month", _list_up_to(12, 1)),
    "BYMONTHDAY": ("by_monthday", _list_up_to(31, -31)),
    "BYYEARDAY": ("by_yearday", _list_up_to(366, -366)),
    "BYDAY": ("by_day", _by_day),
    "BYSETPOS": ("by_setpos", _list_up_to(366, -366)),
    "WKST": ("week_start", _week_start),
}
