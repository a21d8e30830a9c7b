"""Out of the kitchen and into it: export, import, backup, restore, rebuild."""

from __future__ import annotations

import csv
import io
import json
import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from lidclock.app.files import write_whole
from lidclock.app.planning import planning_events
from lidclock.app.projection import snapshot_of
from lidclock.app.session import Session, Unit
from lidclock.domain.alert_answers import check_alert_answers
from lidclock.domain.counting import check_counts
from lidclock.domain.events import KINDS, Event
from lidclock.domain.fold import fold
from lidclock.domain.kitchens import Kitchen, Place
from lidclock.domain.moments import zone_of
from lidclock.domain.planning import ANSWER_SUBJECT
from lidclock.domain.planning_checks import refuse_bad_planning
from lidclock.domain.screen_text import json_shown, shown
from lidclock.domain.stock_takes import check_stock_takes
from lidclock.errors import InputError, RefusedError
from lidclock.store import Kitchens

FORMAT = "lidclock events 1"
_EVENT_KEYS = (
    *("id", "kind", "subject", "happened_at", "recorded_at", "zone"),
    *("who", "device", "act", "body"),
)


def export_lines(unit: Unit) -> Iterator[str]:
    """The whole kitchen as JSON lines: its settings first, then every event."""
    session = unit.session
    head = {
        "format": FORMAT,
        "kitchen": asdict(session.kitchen),
        "places": [asdict(place) for place in session.places],
    }
    yield json_shown(json.dumps(head, ensure_ascii=False))
    for event in unit.ledger.all():
        yield json_shown(json.dumps(_event_dict(event), ensure_ascii=False))


def _event_dict(event: Event) -> dict[str, Any]:
    zone = zone_of(event.zone)
    return {
        "happened_at": event.happened_at.astimezone(zone).isoformat(),
        "kind": event.kind,
        "subject": event.subject,
        "body": dict(event.body),
        "who": event.who,
        "recorded_at": event.recorded_at.astimezone(zone).isoformat(),
        "zone": event.zone,
        "device": event.device,
        "act": event.act,
        "id": event.id,
    }


@dataclass(frozen=True, slots=True)
class Document:
    """A kitchen read from JSON lines."""

    kitchen: Kitchen
    places: tuple[Place, ...]
    events: tuple[Event, ...]


def read_lines(lines: Iterable[str], name: str) -> Document:
    """The kitchen in exported lines; InputError names the line that is wrong."""
    numbered = [
        (number, line) for number, line in enumerate(lines, start=1) if line.strip()
    ]
    if not numbered:
        raise InputError(f"{name} is empty; expected an export of lidclock")
    kitchen, places = _head(name, *numbered[0])
    events = tuple(_event(name, number, line) for number, line in numbered[1:])
    _check_that_they_fold(name, events)
    _check_stock_takes(name, events)
    _check_answers(name, events)
    return Document(kitchen, places, events)


def _check_that_they_fold(name: str, events: tuple[Event, ...]) -> None:
    """InputError if an event lacks what its kind needs, before anything is recorded."""
    try:
        fold(events)
        refuse_bad_planning(events)
    except InputError as error:
        raise InputError(f"{name}: {error}") from error
    except KeyError as error:
        raise InputError(f"{name}: an event lacks {error} in its body") from error
    except (TypeError, ValueError, AttributeError) as error:
        raise InputError(f"{name}: an event has a body that fails: {error}") from error


def _check_stock_takes(name: str, events: tuple[Event, ...]) -> None:
    """InputError if a stock-take does not say what one says."""
    try:
        check_stock_takes(events)
        check_counts(events)
    except KeyError as error:
        raise InputError(f"{name}: a stock-take lacks {error} in its body") from error
    except (TypeError, ValueError) as error:
        raise InputError(f"{name}: {error}") from error


def _check_answers(name: str, events: tuple[Event, ...]) -> None:
    """InputError if an answer does not say what a card or a list has to know of it."""
    try:
        check_alert_answers(events)
        if any(event.subject.startswith(ANSWER_SUBJECT) for event in events):
            from lidclock.app.answer_checks import check_answers

            check_answers(events)
    except InputError as error:
        raise InputError(f"{name}: {error}") from error


def _head(name: str, number: int, line: str) -> tuple[Kitchen, tuple[Place, ...]]:
    facts = _json(name, number, line)
    if facts.get("format") != FORMAT:
        raise InputError(f"{name} line {number}: expected an export ({FORMAT!r})")
    try:
        kitchen = Kitchen(**facts["kitchen"])
        zone_of(kitchen.zone_name)
        return kitchen, tuple(Place(**place) for place in facts["places"])
    except (TypeError, ValueError, KeyError) as error:
        raise InputError(f"{name} line {number}: {error}") from error


def _event(name: str, number: int, line: str) -> Event:
    facts = _json(name, number, line)
    stray = facts.keys() - set(_EVENT_KEYS)
    if stray:
        raise InputError(f"{name} line {number}: unknown key {sorted(stray)[0]!r}")
    if facts.get("kind") not in KINDS:
        raise InputError(f"{name} line {number}: unknown kind {facts.get('kind')!r}")
    try:
        _check_numbers(facts.get("body"))
        happened_at = datetime.fromisoformat(facts["happened_at"]).astimezone(UTC)
        recorded_at = datetime.fromisoformat(facts["recorded_at"]).astimezone(UTC)
        return Event(
            **{**facts, "happened_at": happened_at, "recorded_at": recorded_at}
        )
    except (TypeError, ValueError, KeyError) as error:
        raise InputError(f"{name} line {number}: {error}") from error


_MASSES = frozenset({"mass_g", "total_g", "portion_g"})


def _check_numbers(value: Any, key: str = "") -> None:
    """ValueError for a number that is none, and for a mass that is no number."""
    if isinstance(value, float) and not math.isfinite(value):
        raise ValueError(f"{key or 'a number'} is not finite")
    if key in _MASSES and (isinstance(value, bool | str | list | dict)):
        raise ValueError(f"{key} must be a number of grams, not {value!r:.40}")
    if isinstance(value, dict):
        for name, one in value.items():
            _check_numbers(one, name)
    elif isinstance(value, list):
        for one in value:
            _check_numbers(one, key)


def _json(name: str, number: int, line: str) -> dict[str, Any]:
    try:
        facts = json.loads(line)
    except json.JSONDecodeError as error:
        raise InputError(f"{name} line {number}: not JSON ({error.msg})") from error
    except RecursionError as error:
        raise InputError(f"{name} line {number}: nested too deeply") from error
    if not isinstance(facts, dict):
        raise InputError(f"{name} line {number}: expected an object")
    return facts


def import_events(unit: Unit, events: Iterable[Event]) -> int:
    """Merge events into this kitchen; how many were new. Replays change nothing."""
    new = [event for event in events if unit.ledger.append(event)]
    if not new:
        return 0
    try:
        rebuild(unit)
    except (KeyError, TypeError, ValueError, AttributeError, OverflowError) as error:
        # Such as a correction of an event that is only here, or a mass that is none.
        raise InputError(
            f"nothing was imported: with these events this kitchen cannot be read: "
            f"{type(error).__name__}: {error}"
        ) from error
    return len(new)


def rebuild(unit: Unit) -> bool:
    """Drop all projections and fold the ledger again; True if nothing differed."""
    before = unit.snapshots.dump()
    unit.snapshots.clear()
    inventory = fold(unit.ledger.all())
    for food in inventory.foods.values():
        unit.snapshots.put_food(food)
    for batch in inventory.batches.values():
        unit.snapshots.put_batch(batch)
    unit.snapshots.put_all(
        snapshot_of(inventory, container, unit.verdict(inventory, container))
        for container in inventory.containers.values()
    )
    return unit.snapshots.dump() == before


CSV_COLUMNS = (
    *("code", "food", "place", "state", "mass_g", "made_at", "opened_at"),
    *("last_day", "status", "binding", "batch", "lot", "ended", "reason"),
)


def export_csv(session: Session) -> str:
    """Every container, ended ones too, as CSV."""
    from lidclock.app.lists import listed

    zone = session.kitchen.zone
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\n")
    writer.writerow(CSV_COLUMNS)
    with session.read() as unit:
        found = unit.snapshots.find(live=False)
    for one in sorted(found, key=lambda one: one.code):
        made = one.made_at.astimezone(zone).isoformat() if one.made_at else ""
        opened = one.opened_at.astimezone(zone).isoformat() if one.opened_at else ""
        row = (
            *(one.code, one.food, one.place, one.state, one.mass_g, made, opened),
            *(one.last_day, listed(session, one).status, one.binding),
            *(one.batch_number, one.lot, one.end_kind, one.end_reason),
        )
        writer.writerow([_harmless(value) for value in row])
    return buffer.getvalue()


# OWASP ASVS 5.0, 1.2.10: what begins so may be run as a formula. Wide signs and blanks
# before the sign are from memory, unverified.
_FORMULA = re.compile(r"\s*[=+\-@\uff1d\uff0b\uff0d\uff20]|[\t\r\n\0]")


def _harmless(value: object) -> object:
    """Text that a spreadsheet would run as a formula gets an apostrophe in front."""
    if isinstance(value, str):
        mark = "'" if _FORMULA.match(value) else ""
        return mark + shown(value)
    return "" if value is None else value


def write_text(path: Path, lines: Iterable[str]) -> int:
    """Write lines to a file, whole or not at all; how many."""
    count = 0

    def encoded() -> Iterator[bytes]:
        nonlocal count
        for line in lines:
            count += 1
            yield f"{line}\n".encode()

    write_whole(path, encoded())
    return count


def ensure_kitchen(path: Path, document: Document) -> bool:
    """Make the kitchen in the head of `document` if there is none; True if so."""
    from lidclock.app.setup import init_kitchen

    if path.exists():
        return False
    init_kitchen(path, document.kitchen, document.places)
    return True


def import_document(unit: Unit, document: Document) -> int:
    """Merge places and events of `document`; how many events were new.

    Refuses a file from another kitchen: two kitchens number their own batches.
    """
    ours, theirs = unit.session.kitchen, document.kitchen
    if theirs.id != ours.id:
        raise RefusedError(
            f"that is the kitchen {theirs.name!r}, and this is {ours.name!r}; "
            "set LIDCLOCK_DB to another file to look at it"
        )
    known = {place.name.casefold() for place in unit.session.places}
    kitchens = Kitchens(unit.connection)
    for place in document.places:
        if place.name.casefold() not in known:
            kitchens.add_place(unit.session.kitchen.id, place)
    # A correction in the file may be of a meal that only this kitchen has so far.
    refuse_bad_planning([*planning_events(unit), *document.events])
    return import_events(unit, document.events)


def backup_to(database: Path, copy: Path) -> None:
    """Copy the database as it stands, and check the copy."""
    from lidclock.store.backup import backup

    backup(database, copy)


def restore_from(copy: Path, database: Path, *, replace: bool = False) -> None:
    """Put a checked copy in the place of the database."""
    from lidclock.store.backup import restore

    restore(copy, database, replace=replace)
