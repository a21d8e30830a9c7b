"""Containers, foods and places as data, for whoever draws them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any
from zoneinfo import ZoneInfo

from lidclock.app.assess import verdict_json
from lidclock.app.instants import local
from lidclock.app.lid import lid_of
from lidclock.app.lists import Listed, listed, stocked
from lidclock.app.remarks import lid_remark
from lidclock.app.scanning import standing_words
from lidclock.app.session import Session, View
from lidclock.domain.events import Event, in_order
from lidclock.domain.fold import corrected, voided_ids
from lidclock.domain.snapshots import Snapshot


def shelf_facts(session: Session) -> dict[str, Any]:
    """What is where now, each container with what its lid shows."""
    kitchen = session.kitchen
    return {
        "now": local(session.now, kitchen.zone),
        "kitchen": {
            "name": kitchen.name,
            "zone": kitchen.zone_name,
            "units": kitchen.units,
        },
        "places": place_facts(session),
        "containers": [listed_facts(one) for one in stocked(session).containers],
    }


def place_facts(session: Session) -> list[dict[str, str]]:
    """The kitchen's places in its order."""
    return [{"name": one.name, "state": one.state} for one in session.places]


def food_facts(session: Session) -> list[dict[str, Any]]:
    """Every food that was described, by name."""
    with session.read() as unit:
        return [
            {
                "name": food.name,
                "category": food.category,
                "allergens": None if food.allergens is None else list(food.allergens),
                "made_by": food.made_by,
                "portion_g": food.portion_g,
                "house_days": food.house_days,
            }
            for food in unit.snapshots.foods()
        ]


def container_facts(session: Session, typed: str) -> dict[str, Any]:
    """One container whole: how it stands, why, what happened to it, what may follow.

    UnknownThingError for a code that is not here; the error names near ones.
    """
    with session.read() as unit:
        known = unit.find(typed)
        view = unit.view(known.code)
    zone, container = session.kitchen.zone, view.container
    end = container.end
    return {
        **listed_facts(listed(session, known)),
        "now": local(session.now, zone),
        "category": view.food.category,
        "allergens": None if view.allergens is None else list(view.allergens),
        "known_allergens": list(view.known_allergens),
        "lot": container.lot or None,
        "made_at": local(container.made_at, zone),
        "opened_at": local(container.opened_at, zone),
        "ended": end.kind if end else None,
        "ended_at": local(end.at, zone) if end else None,
        "ended_reason": (end.reason or None) if end else None,
        "says": standing_words(view),
        "lid": (lid_remark(view) or None) if container.is_live else None,
        "verdict": verdict_json(view.verdict),
        "contradictions": [_event(one, zone) for one in container.after_end],
        "history": list(_history(view, known, zone)),
    }


def listed_facts(one: Listed) -> dict[str, Any]:
    """A container as a list shows it, with what its lid shows."""
    container, lid = one.container, lid_of(one)
    day = container.last_day
    return {
        "code": container.code,
        "food": container.food,
        "index": container.index,
        "of": container.of,
        "place": container.place or None,
        "state": container.state or None,
        "status": one.status,
        "standing": container.standing,
        "last_day": day.isoformat() if day else None,
        "last_moment": local(container.last_moment, one.zone),
        "word": lid.word,
        "note": lid.note,
        "segments": list(lid.segments),
        "mass_g": container.mass_g,
    }


def _history(view: View, known: Snapshot, zone: ZoneInfo) -> Iterator[dict[str, Any]]:
    """What was recorded of it, its batch and what it came from, as it happened.

    A fact that was taken back stays and says so; one whose time was corrected stands
    at the time that counts.
    """
    container = view.container
    own = {known.code, container.batch, container.parent}
    about = [one for one in view.events if one.subject in own]
    voided = voided_ids(view.events)
    standing = {one.id: one for one in corrected(view.events)}
    shown = [standing.get(one.id, one) for one in about if one.kind != "corrected"]
    for event in in_order(shown):
        yield {**_event(event, zone), "voided": event.id in voided}


def _event(event: Event, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "id": event.id,
        "kind": event.kind,
        "subject": event.subject,
        "happened_at": local(event.happened_at, zone),
        "recorded_at": local(event.recorded_at, zone),
        "who": event.who or None,
        "body": dict(event.body),
    }
