"""What devices recorded on their own, taken in: idempotent, in any order, lossless.

Each event is judged alone: recorded, known from before, or refused with words. What is
odd (used after it had ended, frozen after its last moment) may be true and is recorded;
what cannot be a fact here is refused.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from lidclock.app.device_events import (
    DEVICE_AT,
    KINDS,
    UNDONE,
    Told,
    code_of,
    id_of,
    is_same,
    read_event,
)
from lidclock.app.device_words import is_contradicted, says
from lidclock.app.parcels import (
    KNOWN,
    RECORDED,
    REFUSED,
    Parcel,
    Received,
    Result,
    check_count,
    clock_remark,
    is_undo,
    portions,
    rejoined,
)
from lidclock.app.session import CHECK_SYMBOLS, Session, Unit
from lidclock.app.told_readings import is_reading, take_reading
from lidclock.domain.advice import without_commands
from lidclock.domain.codes import is_code, spaced
from lidclock.domain.events import Event
from lidclock.domain.phrases import with_semicolons
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError, LidclockError, UnknownThingError

_LONGEST_ID = 36
_KNOWN_ALREADY = sentence("known already")


def receive(session: Session, events: Sequence[Any], sent_at: datetime) -> Received:
    """Take in what this session's device recorded, some hundred events at a time.

    What was taken in stays so where the rest fails: sending all again does no harm.
    InputError beyond `MOST_EVENTS`.
    """
    check_count(events)
    whole = Parcel(events, session.who, session.device)
    results = [
        (numbers, take_in(session, [some])[0]) for numbers, some in portions(whole)
    ]
    off = sent_at - session.now
    return Received(tuple(rejoined(results)), off, clock_remark(off))


def take_in(session: Session, parcels: Sequence[Parcel]) -> list[list[Result]]:
    """Record several devices' events in one transaction; results by parcel.

    What takes back stands after what it takes back: `portions` sees to that.
    Nothing of it is recorded where this raises.
    """
    early: dict[str, str] = {}
    while True:
        try:
            with session.write() as unit:
                return _Taking(unit, early).take(parcels)
        except _TooEarlyError as error:
            early |= error.early


class _TooEarlyError(Exception):
    """Events that turned out to lie before their container's beginning."""

    def __init__(self, early: dict[str, str]) -> None:
        super().__init__(*early)
        self.early = early


@dataclass(frozen=True, slots=True)
class _Again:
    """An event that the kitchen has already."""

    event: Event


_Judged = Result | Event | _Again


@dataclass
class _Taking:
    """One transaction. `early` are events that a first try showed to be impossible."""

    unit: Unit
    early: Mapping[str, str]
    known: dict[str, Event] = field(default_factory=dict)
    fresh: dict[str, Event] = field(default_factory=dict)

    def take(self, parcels: Sequence[Parcel]) -> list[list[Result]]:
        ids = {str(x) for parcel in parcels for x in _ids(parcel.events)}
        ids |= {x for parcel in parcels for x in _targets(parcel.events)}
        self.known = self.unit.ledger.those(ids)
        self.unit.expect({x for parcel in parcels for x in _codes(parcel.events)})
        judged = [self._judge(parcel) for parcel in parcels]
        self.unit.ledger.append_all(self.fresh.values())
        subjects = {event.subject for event in self.fresh.values()}
        before = {code: self.unit.snapshot(code) for code in subjects}
        if subjects:
            self.unit.refresh(subjects)
            self._refuse_early()
        return [[self._result(one, before) for one in some] for some in judged]

    def _result(self, one: _Judged, before: Mapping[str, Any]) -> Result:
        if isinstance(one, _Again):
            return self._told_again(one.event)
        return self._told(one, before) if isinstance(one, Event) else one

    def _judge(self, parcel: Parcel) -> list[_Judged]:
        return [self._one_or_refusal(facts, parcel) for facts in parcel.events]

    def _one_or_refusal(self, facts: Any, parcel: Parcel) -> _Judged:
        try:
            return self._one(facts, parcel)
        except LidclockError as error:
            return Result(_shown_id(facts), REFUSED, _words(error.fact))

    def _one(self, facts: Any, parcel: Parcel) -> _Judged:
        event_id, session = id_of(facts), self.unit.session
        known = self.known.get(event_id) or self.fresh.get(event_id)
        if known is not None:
            if is_same(known, facts, session):
                return _Again(known)
            raise InputError(
                "another event has that id: what happened besides needs its own"
            )
        if is_reading(facts):
            return self._reading(event_id, facts, parcel)
        told = read_event(facts, session)
        if event_id in self.early:
            raise InputError(self.early[event_id])
        self._check(told, parcel)
        event = _event(told, session, parcel)
        self.fresh[event_id] = event
        return event

    def _reading(self, reading_id: str, facts: Any, parcel: Parcel) -> Result:
        told = take_reading(self.unit, reading_id, facts, parcel.who, parcel.device)
        if not told:
            return Result(reading_id, KNOWN, _KNOWN_ALREADY)
        return Result(reading_id, RECORDED, _words(told))

    def _codes_of(self, subject: str) -> list[str]:
        """The container, known or not, or those known of a batch, live ones first."""
        if is_code(subject):
            return [subject]
        found = [
            (not one.is_live, one.code)
            for code in self.unit.snapshots.dependents({subject})
            if (one := self.unit.snapshot(code)) and one.batch_id == subject
        ]
        return [code for _, code in sorted(found)]

    def _check(self, told: Told, parcel: Parcel) -> None:
        if not is_code(told.subject):
            if not self._codes_of(told.subject):
                raise UnknownThingError("no batch of this kitchen has that id")
            return
        if self.unit.snapshot(told.subject) is None:
            lid = sentence("{typed} is not in this kitchen", typed=spaced(told.subject))
            raise UnknownThingError(with_semicolons([lid, CHECK_SYMBOLS]))
        if told.kind != UNDONE:
            return
        target_id = told.body["event"]
        target = self.known.get(target_id) or self.fresh.get(target_id)
        is_theirs = target is not None and target.device == parcel.device
        if target is None or not is_theirs or target.subject != told.subject:
            raise InputError(
                sentence("there is nothing of this device to take back under that id")
            )
        if target.kind == UNDONE:
            raise InputError("what was taken back is said again, not taken back twice")
        if target.kind not in KINDS:
            raise InputError(
                "a filling is taken back with its whole batch: use Undo on its page"
            )

    def _refuse_early(self) -> None:
        """Nothing can have happened to it before it was made, split off or mixed."""
        early: dict[str, str] = {}
        for event in self.fresh.values():
            if event.kind == UNDONE:
                continue
            begun = [
                (at, code)
                for code in self._codes_of(event.subject)
                if (at := self.unit.view(code).container.begins_at) is not None
            ]
            begins_at, code = min(begun, default=(None, ""))
            if begins_at is not None and event.happened_at < begins_at:
                early[event.id] = sentence(
                    "that is before {code} was made or filled; check this device's "
                    "clock, or correct when it was made",
                    code=spaced(code),
                )
        if early:
            raise _TooEarlyError(early)

    def _told(self, event: Event, before: Mapping[str, Any]) -> Result:
        view = self.unit.view(self._codes_of(event.subject)[0])
        told = _words(says(event, view, before.get(view.code)))
        return Result(event.id, RECORDED, told, is_contradicted(event, view))

    def _told_again(self, event: Event) -> Result:
        """The answer may have been lost: what contradicts is told as the first time."""
        code = next(iter(self._codes_of(event.subject)), "")
        if event.kind != UNDONE and self.unit.snapshot(code) is not None:
            view = self.unit.view(code)
            if is_contradicted(event, view):
                return Result(event.id, KNOWN, _words(says(event, view, None)), True)
        return Result(event.id, KNOWN, _KNOWN_ALREADY)


def _event(told: Told, session: Session, parcel: Parcel) -> Event:
    body = dict(told.body)
    if told.device_at is not None:
        body[DEVICE_AT] = told.device_at.isoformat()
    return Event(
        id=told.id,
        kind=told.kind,
        subject=told.subject,
        happened_at=told.happened_at,
        recorded_at=session.now,
        zone=session.kitchen.zone_name,
        who=parcel.who,
        device=parcel.device,
        act=told.id,
        body=body,
    )


def _ids(events: Iterable[Any]) -> Iterator[str]:
    for facts in events:
        try:
            yield id_of(facts)
        except InputError:
            continue


def _codes(events: Iterable[Any]) -> Iterator[str]:
    for facts in events:
        try:
            yield code_of(facts)
        except InputError:
            continue


def _targets(events: Iterable[Any]) -> Iterator[str]:
    bodies = (facts.get("body") for facts in events if is_undo(facts))
    for body in bodies:
        if isinstance(body, dict):
            yield from _ids([{"id": body.get("event")}])


def _shown_id(facts: Any) -> str:
    """The id as sent, where it is short text, so that a device knows which it was."""
    event_id = facts.get("id") if isinstance(facts, dict) else None
    return _clean(event_id[:_LONGEST_ID]) if isinstance(event_id, str) else ""


def _words(text: str) -> str:
    """What is told to a device, which has no command line."""
    return _clean(without_commands(text))


def _clean(text: str) -> str:
    """Text that can be sent: without halves of characters."""
    whole = text.encode("utf-8", "replace").decode()
    return text if text == whole else whole
