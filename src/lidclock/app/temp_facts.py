"""Places with what was read in them as data, for whoever shows them."""

from __future__ import annotations

from typing import Any

from lidclock.app.instants import local
from lidclock.app.session import Session
from lidclock.app.temp_page import NotedReading, PlaceNow
from lidclock.app.temp_words import standing_line, typed_line
from lidclock.app.temps import Typed

_DIGITS = 4


def place_facts(one: PlaceNow, session: Session) -> dict[str, Any]:
    """A place as it stands now; its limit is None for a counter."""
    zone, reading, limit = session.kitchen.zone, one.reading, one.limit
    return {
        "name": one.place.name,
        "state": one.place.state,
        "stands": one.kind,
        "since": local(one.since, zone),
        "says": str(standing_line(one, session)),
        "last_c": reading.temp_c if reading else None,
        "last_at": local(reading.at, zone) if reading else None,
        "limit_c": round(limit.limit_c, _DIGITS) if limit else None,
        "limit_is_lowest": limit.is_floor if limit else False,
        "limit_says": limit.says if limit else "",
        "limit_source": limit.source if limit else "",
        "codes": [x.container.code for x in one.inside],
        "over": [x.container.code for x in one.over],
    }


def reading_facts(one: NotedReading, session: Session) -> dict[str, Any]:
    """A reading; `temp_c` is as it was put right, None where it was struck."""
    zone = session.kitchen.zone
    return {
        "at": local(one.at, zone),
        "temp_c": one.temp_c,
        "read_c": one.was_c,
        "sensor": one.sensor,
        "who": one.who or None,
        "device": one.device or None,
        "recorded_at": local(one.recorded_at, zone),
    }


def typed_facts(typed: Typed, now: PlaceNow, session: Session) -> dict[str, Any]:
    """What became of a reading that was typed, and how its place stands then."""
    return {
        "at": local(typed.reading.at, session.kitchen.zone),
        "temp_c": typed.reading.temp_c,
        "new": typed.is_new,
        "beyond": typed.is_beyond,
        "says": str(typed_line(typed, session)),
        "place": place_facts(now, session),
    }
