"""A takeout as JSON-ready data, and the command that would record it."""

from __future__ import annotations

import shlex
from typing import Any
from zoneinfo import ZoneInfo

from lidclock.app.assess import limit_json
from lidclock.app.instants import local
from lidclock.domain.codes import spaced
from lidclock.plan.takeout import (
    FRIDGE,
    FROZEN,
    STRAIGHT,
    Hours,
    Option,
    Refused,
    Takeout,
)


def takeout_json(found: Takeout, zone: ZoneInfo) -> dict[str, Any]:
    """A takeout as JSON-ready data; instants carry the kitchen's offset."""
    return {
        "code": found.code,
        "food": found.food,
        "ready_by": local(found.ready_by, zone),
        "from": {"place": found.from_place, "state": found.from_state},
        "chosen": _option_json(found.chosen, found, zone) if found.chosen else None,
        "alternatives": [_option_json(x, found, zone) for x in found.alternatives],
        "refused": [_refused_json(one, zone) for one in found.refused],
        "asks": list(found.asks),
        "cautions": list(found.cautions),
    }


def _option_json(one: Option, found: Takeout, zone: ZoneInfo) -> dict[str, Any]:
    hours = one.way.hours
    return {
        "way": one.way.name,
        "take_out_at": local(one.take_out_at, zone),
        "alarm_at": local(one.alarm_at, zone),
        "to": one.way.to_place,
        "hours": _hours_json(hours),
        "ready_low_at": local(one.ready_low_at, zone),
        "ready_mid_at": local(one.ready_mid_at, zone),
        "ready_high_at": local(one.ready_high_at, zone),
        "source": hours.source if hours else one.way.source,
        "counter_h": round(one.counter_h, 4),
        "last_moment": local(one.last_moment, zone),
        "then": one.way.then,
        "scan": scan_words(one, found, zone),
    }


def _hours_json(hours: Hours | None) -> dict[str, float] | None:
    if hours is None:
        return None
    names = ("low", "mid", "high")
    return {name: round(getattr(hours, name), 4) for name in names}


def _refused_json(one: Refused, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "way": one.way.name,
        "to": one.way.to_place,
        "take_out_at": local(one.take_out_at, zone),
        "hours": _hours_json(one.way.hours),
        "why": one.why,
        "limit": limit_json(one.limit, zone) if one.limit else None,
    }


def scan_words(one: Option, found: Takeout, zone: ZoneInfo) -> str:
    """The command that would record it when it is done; a kitchen decides."""
    base = f"lidclock scan {spaced(found.code)}"
    if one.way.name in (STRAIGHT, FROZEN):
        return f"{base} --use"
    if one.way.name == FRIDGE:
        ready = shlex.quote(f"{found.ready_by.astimezone(zone):%Y-%m-%dT%H:%M}")
        return f"{base} --thaw --ready {ready}"
    return f"{base} --to {shlex.quote(one.way.recorded_in or one.way.to_place)}"
