"""Coolings as data, for whoever shows them."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from lidclock.app.instants import to_second

if TYPE_CHECKING:
    from lidclock.app.cooling_page import Entry, Log
    from lidclock.app.outlook import Outlook, Standing
    from lidclock.app.session import Session

_MINUTE = timedelta(minutes=1)


def standing_word(one: Standing, session: Session) -> str:
    """How urgent it is, in a word."""
    if one.missed:
        return "missed"
    if one.overdue or (one.next_at is not None and one.next_at <= session.now):
        return "overdue"
    return "slow" if one.is_slow else "cooling"


def standing_json(one: Standing, session: Session) -> dict[str, Any]:
    """One cooling as JSON-ready data."""
    zone = session.kitchen.zone
    batch = one.view.inventory.batches.get(one.view.container.batch or "")
    medium = one.medium
    return {
        "state": standing_word(one, session),
        "codes": sorted(view.code for view in one.views),
        "food": one.view.food.name,
        "batch": batch.number if batch else None,
        "place": one.view.container.place or None,
        "counted_from": to_second(one.begun_at, zone),
        "since": one.since,
        "depth_mm": one.log.depth_mm,
        "covered": one.log.is_covered,
        "medium_c": medium.temp_c if medium else None,
        "medium_measured_at": to_second(medium.measured_at, zone) if medium else None,
        "last_c": one.last[1] if one.last else None,
        "last_at": to_second(one.last[0], zone) if one.last else None,
        "stages": [_stage_json(x, session) for x in one.outlooks],
        "readings_used": one.used,
        "rough": one.is_rough,
        "may_reheat": one.can_reheat,
        "measure_at": to_second(one.next_at, zone),
    }


def _stage_json(one: Outlook, session: Session) -> dict[str, Any]:
    zone, stage = session.kitchen.zone, one.stage
    left = stage.due_at - session.now if stage.due_at else None
    return {
        "rule": stage.rule.id,
        "target_c": stage.target_c,
        "due_at": to_second(stage.due_at, zone),
        "minutes_left": int(left // _MINUTE) if left is not None else None,
        "state": stage.state,
        "met_at": to_second(stage.decided_at, zone),
        "forecast": one.forecast or None,
        "early_at": to_second(one.early_at, zone),
        "middle_at": to_second(one.middle_at, zone),
        "late_at": to_second(one.late_at, zone),
        "verified": stage.rule.source.verified,
    }


def log_json(one: Log, session: Session) -> dict[str, Any]:
    """One cooling log with its entries; `key` is what an entry names it by."""
    from lidclock.app.cooling_words import headline

    zone, log = session.kitchen.zone, one.standing.log
    return {
        "key": one.key,
        "subject": one.subject,
        "open": log.is_open,
        "says": str(headline(one.standing, session)),
        **standing_json(one.standing, session),
        "entries": [_entry_json(entry, zone) for entry in one.entries],
    }


def _entry_json(one: Entry, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "at": to_second(one.at, zone),
        "temp_c": one.temp_c,
        "medium_c": one.medium_c,
        "depth_mm": one.depth_mm,
        "covered": one.is_covered,
        "reheated": one.is_reheating,
        "closed": one.is_closing,
        "who": one.who or None,
        "recorded_at": to_second(one.recorded_at, zone),
    }
