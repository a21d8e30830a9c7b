"""Who is at the page: let in by the password, switched to by a code, gone again.

A visit is known by a random token that the browser holds and the database does not. A
new one is made whenever somebody is let in or takes over, so a token that was foisted
on a browser beforehand is worth nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta

from lidclock.app.attempts import tried
from lidclock.app.now import fresh_token
from lidclock.app.passwords import token_hash, waiting
from lidclock.app.people import find_person, is_code_of, is_password
from lidclock.app.session import Session, Unit
from lidclock.domain.people import HELPER, KIOSK, OWNER, Device, Person, Visitor
from lidclock.domain.sentences import sentence
from lidclock.errors import NotAllowedError, StoreError, WrongSecretError
from lidclock.store.devices import Devices, Visit, Visits
from lidclock.store.people import People

# Our own choices: a working day for a password, a season for a device that nobody
# picks up. A browser keeps no cookie longer than 400 days (RFC 6265bis, 5.5).
OF_PASSWORD, OF_DEVICE = timedelta(hours=12), timedelta(days=90)
# Written down at most this often, so that looking costs no writing.
_SEEN_EVERY = timedelta(minutes=10)
_LONGEST_TOKEN = 128


@dataclass(frozen=True, slots=True)
class Entry:
    """A visit that was begun: the token for the browser, and until when it holds."""

    token: str
    ends_at: datetime


def log_in(session: Session, password: str, source: str) -> Entry:
    """Let an owner in by the kitchen's password; `source` is where they knock from."""
    with waiting():
        tried(
            session,
            f"password/{source}",
            lambda: is_password(session, password),
            sentence("that is not the kitchen's password"),
        )
    with session.write() as unit:
        return begin(unit, OWNER, session.now + OF_PASSWORD)


def switch(session: Session, visitor: Visitor, person_id: str, code: str) -> Entry:
    """Let a person take over at a device by their code; the visit so far ends.

    From then on nobody is an owner here but by a code or the password: who leaves falls
    back to a helper's things.
    """
    if visitor.role == KIOSK or visitor.is_program:
        raise NotAllowedError(
            sentence("nobody can be switched to here: it is only to look at")
        )
    person = find_person(session, person_id)
    if not person.has_code:
        raise NotAllowedError(
            sentence(
                "{person} has no code yet: an owner can set one", person=person.handle
            )
        )
    # Counted for the person, from wherever: more devices are no more tries.
    with waiting():
        tried(
            session,
            f"code/{person.id}",
            lambda: is_code_of(session, person.id, code),
            sentence("that is not the code"),
        )
    return _taken_over(session, visitor, person.id)


def leave(session: Session, visitor: Visitor) -> Entry | None:
    """Nobody named is at a shared device any more; None where the visit is over.

    It is over for good where a password let somebody in, and on a device of their own.
    """
    if visitor.handle and visitor.device_id and not _is_own(session, visitor):
        return _taken_over(session, visitor, "")
    end(session, visitor)
    return None


def end(session: Session, visitor: Visitor) -> None:
    """End a visit for good: its token is worth nothing from now on."""
    if visitor.visit:
        with session.write() as unit:
            Visits(unit.connection, session.kitchen.id).end(visitor.visit)


def visitor_of(session: Session, token: str) -> Visitor | None:
    """Who holds the token of a visit; None if it is unknown, ended or over."""
    if not 0 < len(token) <= _LONGEST_TOKEN:
        return None
    hash_ = token_hash(token)
    with session.read() as unit:
        visit = Visits(unit.connection, session.kitchen.id).get(hash_)
        if visit is None or session.now >= visit.ends_at:
            return None
        device = Devices(unit.connection, session.kitchen.id).get(visit.device_id)
        person = People(unit.connection, session.kitchen.id).get(visit.person_id)
    # What a visit stands on may be gone: then so is the visit.
    if bool(visit.device_id) != bool(device) or bool(visit.person_id) != bool(person):
        return None
    _keep_seen(session, visit)
    return Visitor(
        person.handle if person else "",
        _role(visit.role, device, person),
        device.name if device else "page",
        visit.token_hash,
        visit.device_id,
    )


def still_here(session: Session, visitors: Iterable[Visitor]) -> set[Visitor]:
    """Those of `visitors` whose visit or token holds; nothing is written down.

    Whoever was let in without a visit, on the machine itself, is here.
    """
    with session.read() as unit:
        return {one for one in set(visitors) if _is_here(unit, one)}


def program_of(session: Session, token: str) -> Visitor:
    """Which program bears a token; WrongSecretError for one that is not valid."""
    hash_ = token_hash(token[: _LONGEST_TOKEN + 1])
    with session.read() as unit:
        devices = Devices(unit.connection, session.kitchen.id)
        device = devices.of_token(hash_)
        people = People(unit.connection, session.kitchen.id)
        person = people.get(device.person_id) if device else None
    if device is None or bool(device.person_id) != bool(person):
        raise WrongSecretError(
            sentence("that token is not valid, or not any more: pair again")
        )
    if session.now - device.seen_at > _SEEN_EVERY:
        _keep(session, lambda unit: _of_devices(unit).seen(device.id, session.now))
    return Visitor(
        person.handle if person else "",
        _role(device.role, device, person),
        device.name,
        device_id=device.id,
        is_program=True,
    )


def begin(
    unit: Unit,
    role: str,
    ends_at: datetime,
    *,
    device_id: str = "",
    person_id: str = "",
) -> Entry:
    """Begin a visit within a unit of work."""
    token, now = fresh_token(), unit.session.now
    visit = Visit(token_hash(token), device_id, person_id, role, now, now, ends_at)
    Visits(unit.connection, unit.session.kitchen.id).add(visit)
    return Entry(token, ends_at)


def _taken_over(session: Session, visitor: Visitor, person_id: str) -> Entry:
    lasting = OF_DEVICE if visitor.device_id else OF_PASSWORD
    with session.write() as unit:
        Visits(unit.connection, session.kitchen.id).end(visitor.visit)
        return begin(
            unit,
            HELPER,
            session.now + lasting,
            device_id=visitor.device_id,
            person_id=person_id,
        )


def _is_here(unit: Unit, visitor: Visitor) -> bool:
    kitchen_id, person_ids = unit.session.kitchen.id, []
    if visitor.device_id:
        device = Devices(unit.connection, kitchen_id).get(visitor.device_id)
        if device is None:
            return False
        person_ids += [device.person_id] if visitor.is_program else []
    if visitor.visit:
        visit = Visits(unit.connection, kitchen_id).get(visitor.visit)
        if visit is None or unit.session.now >= visit.ends_at:
            return False
        person_ids.append(visit.person_id)
    people = People(unit.connection, kitchen_id)
    return all(people.get(one) is not None for one in person_ids if one)


def _is_own(session: Session, visitor: Visitor) -> bool:
    with session.read() as unit:
        visit = Visits(unit.connection, session.kitchen.id).get(visitor.visit)
        device = Devices(unit.connection, session.kitchen.id).get(visitor.device_id)
    return bool(visit and device and visit.person_id == device.person_id)


def _role(base: str, device: Device | None, person: Person | None) -> str:
    """What is on a wall stays only to be looked at, whoever stands before it."""
    if device and device.role == KIOSK:
        return KIOSK
    return person.role if person else base


def _keep_seen(session: Session, visit: Visit) -> None:
    if session.now - visit.seen_at <= _SEEN_EVERY:
        return
    ends_at = session.now + OF_DEVICE if visit.device_id else visit.ends_at

    def seen(unit: Unit) -> None:
        visits = Visits(unit.connection, session.kitchen.id)
        visits.seen(visit.token_hash, session.now, ends_at)
        if visit.device_id:
            _of_devices(unit).seen(visit.device_id, session.now)

    _keep(session, seen)


def _keep(session: Session, write: Callable[[Unit], None]) -> None:
    """Write down that somebody was here; who looks is let in also where it fails.

    It is tried again with the next request.
    """
    with suppress(StoreError), session.write() as unit:
        write(unit)


def _of_devices(unit: Unit) -> Devices:
    return Devices(unit.connection, unit.session.kitchen.id)
