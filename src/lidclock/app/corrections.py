"""Corrections and undo: further facts, never changed ones."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from lidclock.app.history_words import kind_words
from lidclock.app.now import new_ids
from lidclock.app.oddities import refuse_before_making
from lidclock.app.remarks import allergen_remark
from lidclock.app.session import Fact, Unit, View
from lidclock.domain.codes import spaced
from lidclock.domain.events import Event, in_order
from lidclock.domain.fold import corrected
from lidclock.domain.masses import HEAVIEST_CONTAINER_G, checked_mass, say_mass
from lidclock.domain.phrases import with_and
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError, RefusedError, UnknownThingError


@dataclass(frozen=True, slots=True)
class Change:
    """What a correction says instead; None leaves a fact as it is.

    `placed_at` is when it came to where it is, `first_placed_at` to its first place.
    """

    made_at: datetime | None = None
    placed_at: datetime | None = None
    first_placed_at: datetime | None = None
    opened_at: datetime | None = None
    mass_g: float | None = None
    food: str | None = None
    allergens: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class Corrected:
    """The container as it stands now, and what the cook should know.

    `labels` are live containers whose lids do not say the allergens that hold now.
    """

    view: View
    remarks: tuple[str, ...] = ()
    labels: tuple[View, ...] = ()
    act: str = ""


def correct_container(unit: Unit, typed: str, change: Change) -> Corrected:
    """Append corrections to what was recorded about one container."""
    known = unit.find(typed)
    view = unit.view(known.code)
    _refuse_ineffective(view, change)
    facts: list[Fact] = []
    remarks: list[str] = []
    if change.made_at is not None:
        facts += _made(unit, view, change.made_at, remarks)
    if change.first_placed_at is not None:
        facts.append(_first_placed(unit, view, change.first_placed_at, change.made_at))
    for kind, at in (("placed", change.placed_at), ("opened", change.opened_at)):
        if at is not None:
            when = _usable(unit, view, at, change.made_at)
            facts.append(_set_time(_event(view, kind), when))
    if change.mass_g is not None:
        facts.append(_mass(unit, view, _container_mass(change.mass_g), remarks))
    if change.food is not None or change.allergens is not None:
        facts.append(_described(unit, view, change))
    if not facts:
        raise InputError(
            "say what to correct: --made, --placed, --opened, --mass, --food, "
            "--allergens",
            sentence("fill in what is to be corrected"),
        )
    act = unit.record(facts)[0].act
    labels = tuple(_lids_to_print(unit, known.code))
    return Corrected(unit.view(known.code), tuple(remarks), labels, act)


def _described(unit: Unit, view: View, change: Change) -> Fact:
    """What it is instead: another food, or the same with other allergens in it."""
    food = view.food if change.food is None else unit.need_food(change.food)
    if change.allergens is not None:
        food = replace(food, allergens=change.allergens)
    what = {"food": food.name, "facts": food.as_dict()}
    return _set(_event(view, "filled"), what)


def _lids_to_print(unit: Unit, code: str) -> Iterator[View]:
    """Live containers with something of this in them whose lids say other allergens."""
    found = unit.snapshots.those(unit.snapshots.dependents({code}))
    for one in sorted(found.values(), key=lambda x: (x.food.casefold(), x.code)):
        if one.is_live and not one.is_labelled:
            view = unit.view(one.code)
            if allergen_remark(view):
                yield view


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
        whole = unit.ledger.act(event.act) if event.kind in _WHOLE_ACTS else [event]
        unit.record([_void(part) for part in whole or [event]])
    elif at is not None:
        if event.kind == "corrected":
            raise RefusedError("a correction has no time to correct: take it back")
        when = unit.session.checked_past(at, "time")
        known = unit.snapshot(event.subject)
        if known is not None and event.kind != "filled":
            refuse_before_making(unit, known, when)
        unit.record([_set(event, {"happened_at": when.isoformat()})])
    else:
        raise InputError("say what to correct: --at TIME, or --void to take it back")
    return event


def undo(unit: Unit) -> list[Event]:
    """Take back the latest act recorded on this device; the facts stay, struck out."""
    events = unit.ledger.latest_act(unit.session.device or None)
    if not events:
        raise RefusedError(sentence("there is nothing to undo that was recorded here"))
    unit.record([_void(event) for event in events])
    return events


def take_back(unit: Unit, act: str) -> list[Event]:
    """Take back one act that this device recorded, whatever was recorded since.

    RefusedError where nothing of it stands any more, or another device recorded it.
    """
    here = [x for x in unit.ledger.act(act) if x.device == unit.session.device]
    events = unit.ledger.standing(here) if act else []
    if not events:
        raise RefusedError(
            sentence("that was taken back already, or recorded elsewhere")
        )
    unit.record([_void(event) for event in events])
    return events


def undo_act(unit: Unit, act: str) -> list[Event]:
    """Take back what still stands of one act, however it came to be recorded."""
    events = unit.ledger.standing(unit.ledger.act(act))
    if not events:
        raise RefusedError(sentence("there is nothing left of that to take back"))
    unit.record([_void(event) for event in events])
    return events


# Events that only make sense together are taken back together.
_WHOLE_ACTS = ("made", "filled", "split", "combined")


def _refuse_ineffective(view: View, change: Change) -> None:
    """Some facts belong to the container that this one came from."""
    container = view.container
    is_described = change.food or change.allergens is not None
    if container.parent and (is_described or change.made_at):
        raise RefusedError(
            sentence(
                "{code} was split from {parent}: correct that one",
                code=spaced(view.code),
                parent=spaced(container.parent),
            )
        )
    if container.mixed_at is not None and change.made_at:
        raise RefusedError(
            sentence(
                "{code} was combined from {parts}: correct when those were made",
                code=spaced(view.code),
                parts=with_and([spaced(code) for code in container.components]),
            )
        )


def _container_mass(mass_g: float) -> float:
    return checked_mass(mass_g, HEAVIEST_CONTAINER_G)


def _void(event: Event) -> Fact:
    return Fact("corrected", event.subject, {"event": event.id, "void": True})


def _set(event: Event, change: dict[str, Any]) -> Fact:
    return Fact("corrected", event.subject, {"event": event.id, "set": change})


def _event(view: View, kind: str) -> Event:
    """The standing event of that kind about the container that decides.

    The first opening counts, and the latest of everything else.
    """
    fitting = _events(view, kind)
    return fitting[0] if kind == "opened" else fitting[-1]


def _events(view: View, kind: str) -> list[Event]:
    """The standing events of that kind in order; RefusedError where there are none."""
    fitting = [
        event
        for event in in_order(corrected(view.events))
        if event.kind == kind and event.subject == view.code
    ]
    if not fitting:
        raise RefusedError(
            sentence(
                "{code} was never {event}; record that first",
                code=spaced(view.code),
                event=kind_words(kind),
            )
        )
    return fitting


def _made(unit: Unit, view: View, made_at: datetime, remarks: list[str]) -> list[Fact]:
    when = unit.session.checked_past(made_at, "making time")
    batch = view.inventory.batches.get(view.container.batch or "")
    if batch is not None:
        if batch.count > 1:
            remarks.append(f"all {batch.count} containers of batch {batch.number} move")
        made = unit.ledger.get(batch.id)
        assert made is not None
        return [_set_time(made, when)]
    batch_id, number = new_ids(1)[0], unit.ledger.next_batch_number()
    body = {"number": number, "food": view.food.name, "count": 1}
    filled = _event(view, "filled")
    return [
        Fact("made", batch_id, body, when, batch_id),
        _set(filled, {"batch": batch_id}),
    ]


def _first_placed(
    unit: Unit, view: View, at: datetime, made_at: datetime | None
) -> Fact:
    """When it came to its first place, which is before it came to the next."""
    when = _usable(unit, view, at, made_at)
    first, *later = _events(view, "placed")
    if later and when >= later[0].happened_at:
        raise InputError(
            sentence("that is after it was put somewhere else: give an earlier time")
        )
    return _set_time(first, when)


def _usable(unit: Unit, view: View, at: datetime, made_at: datetime | None) -> datetime:
    """A time that has come, and not before the making, corrected by now or before."""
    when = unit.session.checked_past(at, "time")
    made_at = made_at or view.container.made_at
    if made_at is not None and when < made_at:
        raise InputError(
            sentence("that is before it was made; correct the making time first")
        )
    return when


def _set_time(event: Event, when: datetime) -> Fact:
    return _set(event, {"happened_at": when.isoformat()})


def _mass(unit: Unit, view: View, mass_g: float, remarks: list[str]) -> Fact:
    batch = view.inventory.batches.get(view.container.batch or "")
    if batch is not None and batch.total_g is not None:
        others = unit.snapshots.find(batch=batch.number, live=False)
        filled = {
            one.code: unit.view(one.code).container.filled_g or 0.0
            for one in others
            if one.batch_id == batch.id
        }
        left = round(batch.total_g - sum({**filled, view.code: mass_g}.values()), 1)
        if left > 0:
            remarks.append(f"{say_mass(left)} of batch {batch.number} in no container")
        elif left < 0:
            remarks.append(
                f"batch {batch.number} now holds {say_mass(-left)} more than was made"
            )
    return _set(_event(view, "filled"), {"mass_g": mass_g})
