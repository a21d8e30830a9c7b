"""Fold a set of events into an inventory; the order they arrive in is irrelevant."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime
from typing import Any, NamedTuple

from lidclock.domain.containers import Batch, Container, End, Inventory, Printed
from lidclock.domain.cooling import log_batch_cooling, log_cooling
from lidclock.domain.events import FOOD_SUBJECT, Event, in_order
from lidclock.domain.foods import Food, food_from
from lidclock.domain.history import Placing


class Before(NamedTuple):
    """What a container held before an event, and how it had ended, if it had."""

    mass_g: float | None
    end: End | None


# Told of each event that counted, as it happened: the inventory as it then stood.
Heard = Callable[[Inventory, Container, Event, Before], None]


def fold(events: Iterable[Event], heard: Heard | None = None) -> Inventory:
    """The inventory that `events` describe, corrections applied.

    `heard` is told of each filling, and of each event about a container that changed
    something, with what was there before; what came after its end is passed over.
    """
    facts = in_order(corrected({event.id: event for event in events}.values()))
    inventory = Inventory()
    for event in facts:
        if event.kind == "noted" and event.subject.startswith(FOOD_SUBJECT):
            food = food_from(event.body["food"])
            inventory.foods[food.name.casefold()] = food
        elif event.kind == "made":
            inventory.batches[event.subject] = _batch(event)
        elif event.kind == "filled":
            inventory.containers[event.subject] = _container(event)
    for container in inventory.containers.values():
        _join_batch(inventory, container)
    if heard is None:
        for event in facts:
            _apply(inventory, event)
        return inventory
    for event in facts:
        _tell(inventory, event, heard)
    return inventory


def _tell(inventory: Inventory, event: Event, heard: Heard) -> None:
    container = inventory.containers.get(event.subject)
    if container is None:
        _apply(inventory, event)
        return
    before = Before(container.mass_g, container.end)
    late = len(container.after_end)
    _apply(inventory, event)
    if len(container.after_end) == late:
        heard(inventory, container, event, before)


def corrected(events: Iterable[Event]) -> list[Event]:
    """The events that stand: voided ones gone, corrections written into the others.

    Where two corrections say different things, the one recorded later wins.
    """
    standing = {event.id: event for event in events}
    voided = voided_ids(standing.values())
    corrections = [
        event
        for event in standing.values()
        if event.kind == "corrected" and event.id not in voided and "set" in event.body
    ]
    changes: dict[str, dict[str, Any]] = {}
    for correction in sorted(corrections, key=lambda e: (e.recorded_at, e.id)):
        changes.setdefault(correction.body["event"], {}).update(correction.body["set"])
    return [
        _changed(event, changes.get(event.id))
        for event in standing.values()
        if event.id not in voided and event.kind != "corrected"
    ]


def voided_ids(events: Iterable[Event]) -> set[str]:
    """Ids of the events that a standing correction takes back.

    A correction that was itself taken back voids nothing. What refers to what decides
    this, not the clocks of the devices.
    """
    voids = {e.id: e.body["event"] for e in events if e.body.get("void")}
    by_target: dict[str, list[str]] = {}
    for void, target in voids.items():
        by_target.setdefault(target, []).append(void)
    known: dict[str, bool] = {}

    def is_voided(event_id: str) -> bool:
        if event_id not in known:
            known[event_id] = False  # so that a circle of voids ends
            known[event_id] = any(not is_voided(x) for x in by_target.get(event_id, ()))
        return known[event_id]

    return {target for target in by_target if is_voided(target)}


def _changed(event: Event, change: dict[str, Any] | None) -> Event:
    if not change:
        return event
    body = {**event.body, **change}
    at = body.pop("happened_at", None)
    happened_at = datetime.fromisoformat(at) if at else event.happened_at
    return replace(event, happened_at=happened_at, body=body)


def _batch(event: Event) -> Batch:
    body = event.body
    return Batch(
        id=event.subject,
        number=body["number"],
        food=body["food"],
        made_at=event.happened_at,
        total_g=body.get("total_g"),
        components=tuple(body.get("from", ())),
        lot=body.get("lot", ""),
        count=body.get("count", 0),
        facts=_facts(body),
        recipe=body.get("recipe", ""),
    )


def _container(event: Event) -> Container:
    body = event.body
    use_by = body.get("maker_use_by")
    return Container(
        code=event.subject,
        filled_at=event.happened_at,
        food=body.get("food", ""),
        filled_g=body.get("mass_g"),
        mass_g=body.get("mass_g"),
        batch=body.get("batch"),
        index=body.get("index"),
        of=body.get("of"),
        maker_use_by=date.fromisoformat(use_by) if use_by else None,
        lot=body.get("lot", ""),
        maker=body.get("maker", ""),
        gtin=body.get("gtin", ""),
        components=tuple(body.get("from", ())),
        parent=body.get("parent"),
        facts=_facts(body),
    )


def _facts(body: Mapping[str, Any]) -> Food | None:
    """The food as it was described when it was made or filled."""
    return food_from(body["facts"]) if body.get("facts") else None


def _join_batch(inventory: Inventory, container: Container) -> None:
    batch = inventory.batches.get(container.batch or "")
    if batch is None:
        return
    container.food = container.food or batch.food
    container.facts = container.facts or batch.facts
    container.made_at = batch.made_at
    container.components = container.components or batch.components
    container.lot = container.lot or batch.lot
    inventory.members.setdefault(batch.id, []).append(container)


def _apply(inventory: Inventory, event: Event) -> None:
    container = inventory.containers.get(event.subject)
    step = _STEPS.get(event.kind)
    if container is None and event.kind == "cooled":
        log_batch_cooling(inventory.members.get(event.subject, ()), event)
    if container is None or step is None:
        return
    if container.end is not None and container.end.kind != "missing":
        container.after_end.append(event)
        return
    step(inventory, container, event)


def _placed(_: Inventory, container: Container, event: Event) -> None:
    container.end = None
    body = event.body
    container.place, container.state = body["place"], body["state"]
    ready = body.get("ready_at")
    placing = Placing(
        *(event.happened_at, body["state"], body["place"], body.get("temp_c")),
        ready_at=datetime.fromisoformat(ready) if ready else None,
    )
    container.placings.append(placing)


def _found(_: Inventory, container: Container, __: Event) -> None:
    container.end = None


def _missing(inventory: Inventory, container: Container, event: Event) -> None:
    """Nobody knows where it was from now on, so it counts as on the counter."""
    _ended(inventory, container, event)
    container.placings.append(Placing(event.happened_at, "counter", recorded=False))
    container.place = container.state = ""


def _labelled(_: Inventory, container: Container, event: Event) -> None:
    number = event.body.get("number", container.next_label)
    container.labels.append(Printed(event.happened_at, number, event.body))


def _opened(_: Inventory, container: Container, event: Event) -> None:
    container.opened_at = container.opened_at or event.happened_at


def _cooled(_: Inventory, container: Container, event: Event) -> None:
    """A measured or unmeasured end of cooling, or with a phase an entry of its log."""
    if "phase" not in event.body:
        container.coolings.append((event.happened_at, event.body.get("temp_c")))
        return
    container.cools_alone = True
    log_cooling(container, event)


def _measured(_: Inventory, container: Container, event: Event) -> None:
    if event.body.get("temp_c") is not None:
        container.probes.append((event.happened_at, event.body["temp_c"]))


def _reheated(_: Inventory, container: Container, event: Event) -> None:
    container.reheated.append((event.happened_at, event.body.get("temp_c")))
    if container.cooling is not None:
        container.cooling = container.cooling.reheated(event.happened_at)


def _taken(inventory: Inventory, container: Container, event: Event) -> None:
    """Something of a bought pack cannot be taken without opening it."""
    if inventory.food_of(container).made_by == "maker":
        container.opened_at = container.opened_at or event.happened_at
    if container.mass_g is None:
        return
    container.mass_g = round(container.mass_g - event.body["mass_g"], 1)
    if container.mass_g <= 0:
        container.mass_g = 0.0
        container.end = End("used", event.happened_at)


def _split(inventory: Inventory, container: Container, event: Event) -> None:
    """Children carry the past of the container they came from."""
    for code in event.body["into"]:
        child = inventory.containers.get(code)
        if child is not None:
            child.forget_before(event.happened_at)
            _inherit(container, child)
            if child.cooling is not None:
                child.cooling = child.cooling.divided(event.happened_at)
            inventory.members.setdefault(child.batch or "", []).append(child)
    if container.mass_g is not None:
        moved = sum(event.body["into"].values())
        container.mass_g = round(container.mass_g - moved, 1)
        if container.mass_g <= 0:
            container.mass_g = 0.0
            container.end = End("split", event.happened_at)


def _inherit(parent: Container, child: Container) -> None:
    """The child has all of its parent's past, and its own from the split on."""
    child.food, child.facts = parent.food, parent.facts
    child.batch, child.made_at = parent.batch, parent.made_at
    child.mixed_at = parent.mixed_at
    child.opened_at = parent.opened_at or child.opened_at
    child.maker_use_by, child.lot = parent.maker_use_by, parent.lot
    child.maker, child.gtin = parent.maker, parent.gtin
    child.components = parent.components
    child.reheated = [*parent.reheated, *child.reheated]
    child.coolings = [*parent.coolings, *child.coolings]
    child.probes = [*parent.probes, *child.probes]
    child.cooling = child.cooling or parent.cooling
    child.cools_alone = child.cools_alone or parent.cools_alone
    own = child.placings
    child.placings = [*parent.placings, *own]
    if not own:
        child.place, child.state = parent.place, parent.state


def _combined(inventory: Inventory, container: Container, event: Event) -> None:
    """A part ends here; the mixture is as old as its oldest part."""
    if "into" in event.body:
        container.end = End("combined", event.happened_at, event.body["into"])
        return
    parts = [inventory.containers.get(code) for code in event.body["from"]]
    made = [part.made_at or part.opened_at if part else None for part in parts]
    container.components = tuple(event.body["from"])
    container.mixed_at = event.happened_at
    container.forget_before(event.happened_at)
    known = [at for at in made if at is not None]
    container.made_at = min(known) if known and len(known) == len(made) else None


def _ended(_: Inventory, container: Container, event: Event) -> None:
    body = event.body
    reason = body.get("reason", "") or body.get("to", "")
    container.end = End(event.kind, event.happened_at, reason)


_STEPS: dict[str, Callable[[Inventory, Container, Event], None]] = {
    "placed": _placed,
    "found": _found,
    "labelled": _labelled,
    "opened": _opened,
    "cooled": _cooled,
    "reheated": _reheated,
    "measured": _measured,
    "taken": _taken,
    "split": _split,
    "combined": _combined,
    "used": _ended,
    "discarded": _ended,
    "given": _ended,
    "missing": _missing,
}
