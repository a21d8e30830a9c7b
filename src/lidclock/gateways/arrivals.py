"""Readings that come from outside, as values: which sensor, when, how warm."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from lidclock.domain.readings import COLDEST_C, HOTTEST_C, UNPLUGGED_C
from lidclock.errors import ReadingError

LONGEST_NAME = 200
_NUMBER = re.compile(r"([-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*(?:°?\s*([cf]))?", re.I)
_VALUE_KEYS = ("temp_c", "temperature_c", "temp_f", "temperature_f")
_BARE_KEYS = ("temperature", "temp", "value")
_TIME_KEYS = ("at", "time", "timestamp", "ts")
# Numbers of seconds this large are milliseconds: seconds reach it in the year 5138.
_MILLISECONDS = 1e11
_F = "f"
# No whole number beyond this is a float, and none near it is a temperature.
_HUGE = 1e9


@dataclass(frozen=True, slots=True)
class Arrival:
    """One reading as it came in; `temp_c` in degrees Celsius, `at` in UTC."""

    sensor: str
    at: datetime
    temp_c: float


# Keeps readings; why not, for each of them in turn, and nothing for those it kept. What
# is none already comes along, so that it is counted and told of.
Keep = Callable[[Sequence[Arrival | ReadingError]], Sequence[str]]


def read_payload(
    sensor: str, payload: bytes, received_at: datetime, *, unit: str = ""
) -> Arrival:
    """What a sensor sent: a bare number, or a JSON object with its time if it has one.

    `unit` ("c" or "f") holds where the payload names none; where that is empty too, no
    unit is guessed. ReadingError says what is wrong with it.
    """
    try:
        text = payload.decode("utf-8").strip()
    except UnicodeDecodeError as error:
        raise ReadingError(f"{sensor}: the message is not text") from error
    match = _NUMBER.fullmatch(text)
    if match is not None:
        degrees = float(match[1].replace(",", "."))
        return _arrival(sensor, received_at, degrees, (match[2] or unit).lower())
    try:
        found = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise ReadingError(
            f"{sensor}: {text[:40]!r} is neither a number nor JSON"
        ) from error
    if isinstance(found, int | float) and not isinstance(found, bool):
        return _arrival(sensor, received_at, float(found), unit)
    if not isinstance(found, dict):
        raise ReadingError(f"{sensor}: a JSON object is expected, not {text[:40]!r}")
    return read_object(sensor, found, received_at, unit=unit)


def read_object(
    sensor: str, facts: dict[str, Any], received_at: datetime, *, unit: str = ""
) -> Arrival:
    """The reading in a JSON object: temperature, unit, time."""
    given = [key for key in (*_VALUE_KEYS, *_BARE_KEYS) if key in facts]
    if len(given) != 1:
        what = "no temperature" if not given else f"both {' and '.join(given)}"
        raise ReadingError(
            f"{sensor}: {what}; give one of {', '.join((*_VALUE_KEYS, *_BARE_KEYS))}"
        )
    key, degrees = given[0], facts[given[0]]
    if isinstance(degrees, bool) or not isinstance(degrees, int | float):
        raise ReadingError(f"{sensor}: {key} must be a number, not {degrees!r}")
    said = facts.get("unit", unit)
    own = said.strip("° ").lower() if isinstance(said, str) else said
    if own not in ("c", _F, unit):
        raise ReadingError(f"{sensor}: unit must be C or F, not {said!r}", "unit")
    if key in _VALUE_KEYS:
        own = key[-1]
    if abs(degrees) > _HUGE:
        raise ReadingError(f"{sensor}: {key} is no temperature", "range")
    return _arrival(sensor, _time(sensor, facts, received_at), float(degrees), own)


def _time(sensor: str, facts: dict[str, Any], received_at: datetime) -> datetime:
    """The reading's own time; a local time without an offset would be a guess."""
    key = next((key for key in _TIME_KEYS if facts.get(key) is not None), None)
    if key is None:
        return received_at
    said = facts[key]
    try:
        if isinstance(said, int | float) and not isinstance(said, bool):
            seconds = said / 1000 if abs(said) >= _MILLISECONDS else said
            return datetime.fromtimestamp(seconds, UTC)
        at = datetime.fromisoformat(said)
        # Beyond the year 1 or 9999 there is no such instant in UTC.
        found = at.astimezone(UTC) if at.tzinfo is not None else None
    except (TypeError, ValueError, OverflowError, OSError) as error:
        raise ReadingError(
            f"{sensor}: {key} must be ISO 8601 or seconds since 1970, not {said!r}"
        ) from error
    if found is None:
        raise ReadingError(
            f"{sensor}: {key} {said!r} has no offset; write it like "
            "2026-11-02T07:30:00-05:00 or with Z"
        )
    return found


def _arrival(sensor: str, at: datetime, degrees: float, unit: str) -> Arrival:
    if not unit:
        raise ReadingError(
            f"{sensor}: {degrees:g} of which scale? Neither the message nor the topic "
            "says C or F",
            "no-unit",
        )
    # To four places, which give back every digit that was °F.
    temp_c = round((degrees - 32) / 1.8, 4) if unit == _F else degrees
    said = f"{sensor}: {degrees:g} °{unit.upper()}"
    if temp_c == UNPLUGGED_C:
        raise ReadingError(
            f"{said} is what a common sensor says when it is not connected; check its "
            "plug",
            "unplugged",
        )
    if not math.isfinite(temp_c) or not COLDEST_C <= temp_c <= HOTTEST_C:
        raise ReadingError(
            f"{said} lies outside {COLDEST_C:g} to {HOTTEST_C:g} °C; the sensor may be "
            "broken",
            "range",
        )
    return Arrival(sensor, at, temp_c)
