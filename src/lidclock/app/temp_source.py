"""What a kitchen remembers of each kind of logger's file, and how zones are said."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, fields
from datetime import UTC, timedelta, timezone, tzinfo
from typing import Any

from lidclock.app.session import Unit
from lidclock.domain.moments import zone_of
from lidclock.errors import InputError
from lidclock.store.logger_sources import LoggerSources

_OFFSET = re.compile(r"(?:UTC|GMT)?\s?([+\-−])(\d{1,2})(?::?([0-5]\d))?")
_FARTHEST_H = 16


@dataclass(frozen=True, slots=True)
class Remembered:
    """Choices for files of one source; empty where nobody had to choose.

    `sensors` gives, for each column and name (`sensor_key`), the ids of the sensors
    that such files were of, the latest last.
    """

    times: tuple[str, ...] = ()
    temps: tuple[str, ...] = ()
    unit: str = ""
    order: str = ""
    zone: str = ""
    shift_s: float = 0.0
    sensors: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def recall(unit: Unit, source: str) -> Remembered | None:
    """What is known of a source; None if it is new, or a file tells of none."""
    if not source:
        return None
    body = _sources(unit).get(source)
    if body is None:
        return None
    names = {one.name for one in fields(Remembered)}
    known = {name: value for name, value in body.items() if name in names}
    for name in ("times", "temps"):
        known[name] = tuple(known.get(name, ()))
    sensors = {key: tuple(ids) for key, ids in body.get("sensors", {}).items()}
    return Remembered(**{**known, "sensors": sensors})


def remember(unit: Unit, source: str, what: Remembered) -> None:
    """Keep it for the next file of that source."""
    if source:
        body: dict[str, Any] = asdict(what)
        _sources(unit).put(source, {key: value for key, value in body.items() if value})


def _sources(unit: Unit) -> LoggerSources:
    return LoggerSources(unit.connection, unit.session.kitchen.id)


def read_zone(text: str) -> tzinfo:
    """A zone by its IANA name, or a fixed offset such as +02:00 or UTC-5."""
    fixed = fixed_offset(text)
    return zone_of(text.strip()) if fixed is None else fixed


def fixed_offset(text: str) -> timezone | None:
    """The offset that a text is, and nothing else; None if it is none."""
    bare = text.strip()
    if bare.upper() in ("UTC", "GMT", "Z"):
        return UTC
    match = _OFFSET.fullmatch(bare.upper())
    if match is None:
        return None
    span = timedelta(hours=int(match[2]), minutes=int(match[3] or 0))
    if span > timedelta(hours=_FARTHEST_H):
        raise InputError(f"no zone lies {text!r} from UTC; write it like +02:00")
    return timezone(span if match[1] == "+" else -span)


def say_zone(zone: tzinfo) -> str:
    """Its IANA name, or `UTC-04:00`."""
    return str(zone)
