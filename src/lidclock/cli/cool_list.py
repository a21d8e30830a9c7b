"""Open coolings as a list for people, and as data."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from lidclock.cli.cool_show import say_clock, say_later
from lidclock.cli.show import columns, iso
from lidclock.domain.moments import say_hours

if TYPE_CHECKING:
    from lidclock.app.outlook import Outlook, Standing
    from lidclock.app.session import Session

_MINUTE = timedelta(minutes=1)


def list_lines(found: Iterable[Standing], session: Session) -> list[str]:
    """The open logs, one a line."""
    return columns([_row(one, session) for one in found])


def _row(one: Standing, session: Session) -> list[str]:
    from lidclock.app.cooling_watch import name_of, temp_words

    read = "not measured yet"
    if one.last is not None:
        read = (
            f"{temp_words(one.last[1], session)} at {say_clock(one.last[0], session)}"
        )
    return [_word(one, session), name_of(one), read, _next_words(one, session)]


def _word(one: Standing, session: Session) -> str:
    """How urgent it is, in a word."""
    if one.missed:
        return "missed"
    if one.overdue or (one.next_at is not None and one.next_at <= session.now):
        return "overdue"
    return "slow" if one.is_slow else "cooling"


def _next_words(one: Standing, session: Session) -> str:
    """What is due next, and how long that is."""
    from lidclock.app.cooling_watch import target_words

    if one.missed:
        what = target_words(one.missed[0].target_c, session)
        return f"{what} missed: " + (
            "reheat or discard" if one.can_reheat else "discard"
        )
    for late in one.overdue:
        by = f" by {say_clock(late.due_at, session)}" if late.due_at else ""
        return f"{target_words(late.target_c, session)}{by}: measure it now"
    again = ""
    if one.next_at is not None:
        is_past = one.next_at <= session.now
        when = "now" if is_past else f"at {say_later(one.next_at, session)}"
        again = f"measure {when}"
    stage = one.pending.stage if one.pending else None
    due_at = stage.due_at if stage else None
    if stage is None or due_at is None:
        return again
    left = say_hours(due_at - session.now)
    what = target_words(stage.target_c, session)
    if stage.rule.kind == "chill":
        what = "into the cold"
    return f"{what} by {say_clock(due_at, session)}, {left} left; {again}"


def standing_json(one: Standing, session: Session) -> dict[str, Any]:
    """One cooling as JSON-ready data."""
    zone = session.kitchen.zone
    batch = one.view.inventory.batches.get(one.view.container.batch or "")
    medium = one.medium
    return {
        "state": _word(one, session),
        "codes": sorted(view.code for view in one.views),
        "food": one.view.food.name,
        "batch": batch.number if batch else None,
        "place": one.view.container.place or None,
        "counted_from": iso(one.begun_at, zone),
        "since": one.since,
        "depth_mm": one.log.depth_mm,
        "covered": one.log.is_covered,
        "medium_c": medium.temp_c if medium else None,
        "medium_measured_at": iso(medium.measured_at, zone) if medium else None,
        "last_c": one.last[1] if one.last else None,
        "last_at": iso(one.last[0], zone) if one.last else None,
        "stages": [_stage_json(x, session) for x in one.outlooks],
        "readings_used": one.used,
        "rough": one.is_rough,
        "may_reheat": one.can_reheat,
        "measure_at": iso(one.next_at, zone),
    }


def _stage_json(one: Outlook, session: Session) -> dict[str, Any]:
    zone, stage = session.kitchen.zone, one.stage
    left = stage.due_at - session.now if stage.due_at else None
    return {
        "rule": stage.rule.id,
        "target_c": stage.target_c,
        "due_at": iso(stage.due_at, zone),
        "minutes_left": int(left // _MINUTE) if left is not None else None,
        "state": stage.state,
        "met_at": iso(stage.decided_at, zone),
        "forecast": one.forecast or None,
        "early_at": iso(one.early_at, zone),
        "middle_at": iso(one.middle_at, zone),
        "late_at": iso(one.late_at, zone),
        "verified": stage.rule.source.verified,
    }
