"""A kitchen's calendar: last days, what thaws, meals, for any calendar to read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from lidclock.app.calendar_entries import (
    Group,
    Setting,
    group_key,
    last_day_entry,
    meal_entry,
    ready_entry,
    take_out_entry,
)
from lidclock.app.card_facts import facts_of
from lidclock.app.files import write_whole
from lidclock.app.planning import choices_of, meals_of
from lidclock.app.session import Session, Unit
from lidclock.app.thawing import EVER, thawing
from lidclock.app.today import undone
from lidclock.domain.planning import ANSWER_SUBJECT, MEAL_SUBJECT
from lidclock.domain.snapshots import Snapshot, made_order
from lidclock.errors import InputError
from lidclock.gateways.calendar import Entry, calendar_bytes
from lidclock.plan.proposal import TAKE_OUT

__all__ = ["calendar_of", "write_calendar"]


_CAUTIONS = ("cold-chain", "senses")


def write_calendar(session: Session, path: Path) -> int:
    """Write the calendar to a file, whole or not at all; how many entries it has."""
    if path.suffix.lower() != ".ics":
        raise InputError(
            f"{path.name} must end in .ics; `-` is for what another program reads"
        )
    entries = entries_of(session)
    write_whole(path, [_written(session, entries)])
    return len(entries)


def calendar_of(session: Session) -> bytes:
    """The calendar as it is now: what a file holds, and what a feed gives."""
    return _written(session, entries_of(session))


def _written(session: Session, entries: Iterable[Entry]) -> bytes:
    kitchen = session.kitchen
    return calendar_bytes(
        kitchen.name, entries, now=session.now, zone_name=kitchen.zone_name
    )


def entries_of(session: Session) -> list[Entry]:
    """Every entry: one for containers that end together, that thaw together, a meal."""
    cautions = session.guidance.cautions
    with session.read() as unit:
        setting = Setting(
            session.kitchen,
            min(choices_of(unit).card_hours),
            (*(cautions[key] for key in _CAUTIONS), session.guidance.advice),
            session.now,
        )
        return [
            *(last_day_entry(one, setting) for one in _groups(unit)),
            *_take_outs(unit, setting),
            *_ready(unit, setting),
            *_meals(unit, setting),
        ]


def _groups(unit: Unit) -> list[Group]:
    kitchen = unit.session.kitchen
    paused = [one for one in unit.snapshots.paused() if one.last_moment is not None]
    groups: dict[object, list[Snapshot]] = {}
    for one in [*unit.snapshots.due(EVER), *paused]:
        groups.setdefault(group_key(one, kitchen), []).append(one)
    ordered = [sorted(members, key=made_order) for members in groups.values()]
    anchors = [_anchor(unit, members) for members in ordered]
    revisions = _revisions(unit, anchors)
    return [
        Group(tuple(members), anchor, revisions[anchor.code])
        for members, anchor in zip(ordered, anchors, strict=True)
    ]


def _anchor(unit: Unit, members: list[Snapshot]) -> Snapshot:
    """The first of their batches that ends, or ended, with them; used up or not."""
    kitchen, key = unit.session.kitchen, group_key(members[0], unit.session.kitchen)
    numbers = {one.batch_number for one in members if one.batch_number is not None}
    kin = [
        one
        for number in sorted(numbers)
        for one in unit.snapshots.find(batch=number, live=False)
        if group_key(one, kitchen) == key
    ]
    return min([*members, *kin], key=made_order)


def _revisions(unit: Unit, anchors: Iterable[Snapshot]) -> dict[str, int]:
    """How many facts were recorded about each: it only ever rises."""
    subjects = {one.code: one.subjects for one in anchors}
    events = unit.ledger.of({name for names in subjects.values() for name in names})
    counts = Counter(event.subject for event in events)
    return {code: sum(counts[x] for x in names) for code, names in subjects.items()}


def _ready(unit: Unit, setting: Setting) -> list[Entry]:
    found = thawing(unit)
    revisions = _revisions(unit, [one.containers[0] for one in found])
    return [
        ready_entry(one, setting, revisions[one.containers[0].code]) for one in found
    ]


def _take_outs(unit: Unit, setting: Setting) -> list[Entry]:
    """What was agreed to be taken out, and is not out yet."""
    agreed = [one for one in undone(facts_of(unit)) if one.kind == TAKE_OUT]
    if not agreed:
        return []
    answers = unit.ledger.starting(ANSWER_SUBJECT)
    counts = Counter(str(event.body.get("key", "")) for event in answers)
    return [take_out_entry(one, setting, counts[one.key] - 1) for one in agreed]


def _meals(unit: Unit, setting: Setting) -> list[Entry]:
    counts = Counter(event.subject for event in unit.ledger.starting(MEAL_SUBJECT))
    entries = (
        meal_entry(meal, setting, counts[f"{MEAL_SUBJECT}{meal.id}"] - 1)
        for meal in meals_of(unit)
    )
    return [entry for entry in entries if entry is not None]
