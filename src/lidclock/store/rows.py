"""Values to rows and back; one row reads the same on every device."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from functools import cache
from typing import Any

import sqlalchemy as sa

from lidclock.domain.containers import Batch
from lidclock.domain.events import Event
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.snapshots import Snapshot
from lidclock.store import tables

Row = tuple[Any, ...]
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_TICK = timedelta(microseconds=1)
_read_json = json.JSONDecoder().decode
# Sorted and compact, so that equal facts are equal text.
as_json = json.JSONEncoder(
    ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False
).encode


def named(table: sa.Table, row: Row) -> dict[str, Any]:
    """The values of a whole row of `table` by the names of its columns."""
    return dict(zip(_names_of(table), row, strict=True))


@cache
def _names_of(table: sa.Table) -> tuple[str, ...]:
    return tuple(table.columns.keys())


def micros(moment: datetime) -> int:
    """Whole microseconds since 1970 in UTC; exact for every aware datetime."""
    return (moment - EPOCH) // _TICK


def instant(us: int) -> datetime:
    """The UTC instant that `micros` counted."""
    return EPOCH + timedelta(microseconds=us)


def _micros(moment: datetime | None) -> int | None:
    return None if moment is None else micros(moment)


def _instant(us: int | None) -> datetime | None:
    return None if us is None else instant(us)


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _day(iso: str | None) -> date | None:
    return None if iso is None else date.fromisoformat(iso)


def event_row(kitchen_id: str, event: Event) -> dict[str, Any]:
    """One row of the ledger."""
    return {
        "kitchen_id": kitchen_id,
        "id": event.id,
        "kind": event.kind,
        "subject": event.subject,
        "happened_us": micros(event.happened_at),
        "recorded_us": micros(event.recorded_at),
        "zone": event.zone,
        "who": event.who,
        "device": event.device,
        "act": event.act,
        "body": as_json(dict(event.body)),
    }


def event_of(row: Row) -> Event:
    """The event that a ledger row holds, its times in UTC."""
    _, event_id, kind, subject, happened_us, recorded_us = row[:6]
    zone, who, device, act, body = row[6:]
    return Event(
        id=event_id,
        kind=kind,
        subject=subject,
        happened_at=instant(happened_us),
        recorded_at=instant(recorded_us),
        zone=zone,
        who=who,
        device=device,
        act=act,
        body=_read_json(body),
    )


def snapshot_row(kitchen_id: str, snapshot: Snapshot) -> dict[str, Any]:
    """One row of the container projection."""
    return {
        "kitchen_id": kitchen_id,
        "code": snapshot.code,
        "food": snapshot.food,
        "food_key": snapshot.food.casefold(),
        "standing": snapshot.standing,
        "batch_number": snapshot.batch_number,
        "batch_id": snapshot.batch_id,
        "index": snapshot.index,
        "of": snapshot.of,
        "lot": snapshot.lot,
        "place": snapshot.place,
        "state": snapshot.state,
        "mass_g": snapshot.mass_g,
        "made_us": _micros(snapshot.made_at),
        "opened_us": _micros(snapshot.opened_at),
        "last_moment_us": _micros(snapshot.last_moment),
        "last_day": _iso(snapshot.last_day),
        "best_by": _iso(snapshot.best_by),
        "days_left": snapshot.days_left,
        "binding": snapshot.binding,
        "is_house_rule": int(snapshot.is_house_rule),
        "is_unverified": int(snapshot.is_unverified),
        "has_hour": int(snapshot.has_hour),
        "is_labelled": int(snapshot.is_labelled),
        "is_unmarked": int(snapshot.is_unmarked),
        "end_kind": snapshot.end_kind,
        "end_reason": snapshot.end_reason,
        "ended_us": _micros(snapshot.ended_at),
        "approval": snapshot.approval,
        "cooling_us": _micros(snapshot.cooling_since),
        "ready_us": _micros(snapshot.ready_at),
        "subjects": as_json(snapshot.subjects),
    }


def snapshot_of(row: Row) -> Snapshot:
    """The snapshot that a projection row holds, its times in UTC."""
    facts = named(tables.container, row)
    del facts["kitchen_id"], facts["food_key"]
    for name in ("made", "opened", "ended"):
        facts[f"{name}_at"] = _instant(facts.pop(f"{name}_us"))
    facts["last_moment"] = _instant(facts.pop("last_moment_us"))
    facts["cooling_since"] = _instant(facts.pop("cooling_us"))
    facts["ready_at"] = _instant(facts.pop("ready_us"))
    for name in ("last_day", "best_by"):
        facts[name] = _day(facts[name])
    for name in (
        *("is_house_rule", "is_unverified", "has_hour"),
        *("is_labelled", "is_unmarked"),
    ):
        facts[name] = bool(facts[name])
    facts["subjects"] = tuple(_read_json(facts["subjects"]))
    return Snapshot(**facts)


def subject_rows(
    kitchen_id: str, snapshots: Iterable[Snapshot]
) -> list[dict[str, Any]]:
    """One row for each subject that each container depends on."""
    return [
        {"kitchen_id": kitchen_id, "subject": subject, "code": snapshot.code}
        for snapshot in snapshots
        for subject in dict.fromkeys(snapshot.subjects)
    ]


def batch_row(kitchen_id: str, batch: Batch) -> dict[str, Any]:
    """One row of the batch projection."""
    return {
        "kitchen_id": kitchen_id,
        "id": batch.id,
        "number": batch.number,
        "food": batch.food,
        "made_us": micros(batch.made_at),
        "total_g": batch.total_g,
        "components": as_json(batch.components),
        "lot": batch.lot,
        "count": batch.count,
    }


def batch_of(row: Row) -> Batch:
    """The batch that a projection row holds."""
    facts = named(tables.batch, row)
    del facts["kitchen_id"]
    facts["made_at"] = instant(facts.pop("made_us"))
    facts["components"] = tuple(json.loads(facts["components"]))
    return Batch(**facts)


def kitchen_row(kitchen: Kitchen) -> dict[str, Any]:
    """One row of the kitchen table."""
    return {
        "id": kitchen.id,
        "name": kitchen.name,
        "zone_name": kitchen.zone_name,
        "guidance": kitchen.guidance,
        "units": kitchen.units,
        "day_start_h": kitchen.day_start_h,
        "lead_h": kitchen.lead_h,
        "stock": kitchen.stock,
        "symbol_base": kitchen.symbol_base,
        "accepts_unmeasured": int(kitchen.accepts_unmeasured),
        "is_high_risk": int(kitchen.is_high_risk),
        "guidance_text": kitchen.guidance_text,
    }


def kitchen_of(row: Row) -> Kitchen:
    """The kitchen that a row holds."""
    facts = named(tables.kitchen, row)
    for name in ("accepts_unmeasured", "is_high_risk"):
        facts[name] = bool(facts[name])
    return Kitchen(**facts)
