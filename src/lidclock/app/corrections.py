"""Corrections and undo: further facts, never changed ones."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from lidclock.app.now import new_ids
from lidclock.app.session import Fact, Unit, View
from lidclock.domain.codes import spaced
from lidclock.domain.events import Event
from lidclock.domain.masses import checked_mass, say_mass
from lidclock.errors import InputError, RefusedError, UnknownThingError


@dataclass(frozen=True, slots=True)
class Change:
    """What a correction says instead; None leaves a fact as it is."""

    made_at: datetime | None = None
    placed_at: datetime | None = None
    opened_at: datetime | None = None
    mass_g: float | None = None
    food: str | None = None


@dataclass(frozen=True, slots=True)
class Corrected:
    """The container as it stands now, and what the cook should know."""

    view: View
    remarks: tuple[str, ...] = ()


def correct_container(unit: Unit, typed: str, change: Change) -> Corrected:
    """Append corrections to what was recorded about one container."""
    known = unit.find(typed)
    view = unit.view(known.code)
    facts: list[Fact] = []
    remarks: list[str] = []
    if change.made_at is not None:
        facts += _made(unit, view, change.made_at, remarks)
    for kind, at in (("placed", change.placed_at), ("opened", change.opened_at)):
        if at is not None:
            facts.append(_moved(unit, view, kind, at))
    if change.mass_g is not None:
        facts.append(_mass(unit, view, checked_mass(change.mass_g), remarks))
    if change.food is not None:
        food = unit.need_food(change.food)
        facts.append(_set(_event(view, "filled"), {"food": food.name}))
    if not facts:
        raise InputError(
            "say what to correct: --made, --placed, --opened, --mass, --food"
        )
    unit.record(facts)
    return Corrected(unit.view(known.code), tuple(remarks))


def correct_event(
    unit: Unit, event_id: str, *, at: datetime | None = None, void: bool = False
) -> Event:
    """Move one event to another time, or take it back."""
    event = unit.ledger.get(event_id)
    if event is None:
        raise UnknownThingError(
            f"no event {event_id!r} here; `lidclock show CODE --json` lists them"
        )
    if void:
        unit.record(
            [Fact("corrected", event.subject, {"event": event.id, "void": True})]
        )
    elif at is not None:
        when = unit.session.checked_past(at, "time")
        unit.record([_set(event, {"happened_at": when.isoformat()})])
    else:
        raise InputError("say what to correct: --at TIME, or --void to take it back")
    return event


def undo(unit: Unit) -> list[Event]:
    """Take back the latest act of this kitchen; the facts stay, struck out."""
    events = unit.ledger.latest_act()
    if not events:
        raise RefusedError("there is nothing to undo")
    unit.record(
        [
            Fact("corrected", event.subject, {"event": event.id, "void": True})
            for event in events
        ]
    )
    return events


def _set(event: Event, change: dict[str, Any]) -> Fact:
    return Fact("corrected", event.subject, {"event": event.id, "set": change})


def _event(view: View, kind: str) -> Event:
    """The latest standing event of that kind about the container."""
    voided = {e.body["event"] for e in view.events if e.body.get("void")}
    fitting = [
        event
        for event in view.events
        if event.kind == kind and event.subject == view.code and event.id not in voided
    ]
    if not fitting:
        raise RefusedError(f"{spaced(view.code)} was never {kind}; record that first")
    return max(fitting, key=lambda event: (event.happened_at, event.id))


def _made(unit: Unit, view: View, made_at: datetime, remarks: list[str]) -> list[Fact]:
    when = unit.session.checked_past(made_at, "making time")
    batch = view.inventory.batches.get(view.container.batch or "")
    if batch is not None:
        if batch.count > 1:
            remarks.append(f"all {batch.count} containers of batch {batch.number} move")
        made = unit.ledger.get(batch.id)
        assert made is not None
        return [_set(made, {"happened_at": when.isoformat()})]
    batch_id, number = new_ids(1)[0], unit.ledger.next_batch_number()
    body = {"number": number, "food": view.food.name, "count": 1}
    filled = _event(view, "filled")
    return [
        Fact("made", batch_id, body, when, batch_id),
        _set(filled, {"batch": batch_id}),
    ]


def _moved(unit: Unit, view: View, kind: str, at: datetime) -> Fact:
    when = unit.session.checked_past(at, "time")
    made_at = view.container.made_at
    if made_at is not None and when < made_at:
        raise InputError("that is before it was made; correct the making time first")
    return _set(_event(view, kind), {"happened_at": when.isoformat()})


def _mass(unit: Unit, view: View, mass_g: float, remarks: list[str]) -> Fact:
    batch = view.inventory.batches.get(view.container.batch or "")
    if batch is not None and batch.total_g is not None:
        others = unit.snapshots.find(batch=batch.number, live=False)
        filled = {
            one.code: unit.view(one.code).container.filled_g or 0.0 for one in others
        }
        left = round(batch.total_g - sum({**filled, view.code: mass_g}.values()), 1)
        if left > 0:
            remarks.append(f"{say_mass(left)} of batch {batch.number} in no container")
        elif left < 0:
            remarks.append(
                f"batch {batch.number} now holds {say_mass(-left)} more than was made"
            )
    return _set(_event(view, "filled"), {"mass_g": mass_g})
