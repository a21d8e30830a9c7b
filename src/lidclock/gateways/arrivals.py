"""Readings that come from outside, as values: which sensor, when, how warm."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from lidclock.errors import InputError

# A sensor that says less or more than this is broken (our choice).
COLDEST_C, HOTTEST_C = -100.0, 200.0
LONGEST_NAME = 200
_NUMBER = re.compile(r"([-+]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*(?:°?\s*([cf]))?", re.I)
_VALUE_KEYS = ("temp_c", "temperature_c", "temp_f", "temperature_f")
_BARE_KEYS = ("temperature", "temp", "value")
_TIME_KEYS = ("at", "time", "timestamp", "ts")
# Numbers of seconds this large are milliseconds: seconds reach it in the year 5138.
_MILLISECONDS = 1e11
_F = "f"


@dataclass(frozen=True, slots=True)
class Arrival:
    """One reading as it came in; `temp_c` in degrees Celsius, `at` in UTC."""

    sensor: str
    at: datetime
    temp_c: float


Keep = Callable[[Sequence[Arrival]], None]


def read_payload(
    sensor: str, payload: bytes, received_at: datetime, *, unit: str = "c"
) -> Arrival:
    """What a sensor sent: a bare number, or a JSON object with its time if it has one.

    `unit` ("c" or "f") holds where the payload names none. InputError says what is
    wrong with it.
    """
    try:
        text = payload.decode("utf-8").strip()
    except UnicodeDecodeError as error:
        raise InputError(f"{sensor}: the message is not text") from error
    match = _NUMBER.fullmatch(text)
    if match is not None:
        degrees = float(match[1].replace(",", "."))
        return _arrival(sensor, received_at, degrees, (match[2] or unit).lower())
    try:
        found = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise InputError(
            f"{sensor}: {text[:40]!r} is neither a number nor JSON"
        ) from error
    if isinstance(found, int | float) and not isinstance(found, bool):
        return _arrival(sensor, received_at, float(found), unit)
    if not isinstance(found, dict):
        raise InputError(f"{sensor}: a JSON object is expected, not {text[:40]!r}")
    return read_object(sensor, found, received_at, unit=unit)


def read_object(
    sensor: str, facts: dict[str, Any], received_at: datetime, *, unit: str = "c"
) -> Arrival:
    """The reading in a JSON object: temperature, unit, time."""
    given = [key for key in (*_VALUE_KEYS, *_BARE_KEYS) if key in facts]
    if len(given) != 1:
        what = "no temperature" if not given else f"both {' and '.join(given)}"
        raise InputError(
            f"{sensor}: {what}; give one of {', '.join((*_VALUE_KEYS, *_BARE_KEYS))}"
        )
    key, degrees = given[0], facts[given[0]]
    if isinstance(degrees, bool) or not isinstance(degrees, int | float):
        raise InputError(f"{sensor}: {key} must be a number, not {degrees!r}")
    said = facts.get("unit", unit)
    if not isinstance(said, str) or said.strip("° ").lower() not in ("c", _F):
        raise InputError(f"{sensor}: unit must be C or F, not {said!r}")
    own = key[-1] if key in _VALUE_KEYS else said.strip("° ").lower()
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
    except (TypeError, ValueError, OverflowError, OSError) as error:
        raise InputError(
            f"{sensor}: {key} must be ISO 8601 or seconds since 1970, not {said!r}"
        ) from error
    if at.tzinfo is None:
        raise InputError(
            f"{sensor}: {key} {said!r} has no offset; write it like "
            "2026-11-02T07:30:00-05:00 or with Z"
        )
    return at.astimezone(UTC)


def _arrival(sensor: str, at: datetime, degrees: float, unit: str) -> Arrival:
    temp_c = round((degrees - 32) / 1.8, 3) if unit == _F else degrees
    if not math.isfinite(temp_c) or not COLDEST_C <= temp_c <= HOTTEST_C:
        raise InputError(
            f"{sensor}: {degrees:g} °{unit.upper()} lies outside {COLDEST_C:g} to "
            f"{HOTTEST_C:g} °C; the sensor may be broken"
        )
    return Arrival(sensor, at, temp_c)
