"""Pairing a phone, a shared tablet, a wall display or a program; and taking it back."""

from __future__ import annotations

import base64
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TypeVar

from lidclock.app.attempts import tried
from lidclock.app.now import fresh_token, new_ids, random_bytes
from lidclock.app.passwords import token_hash
from lidclock.app.people import find_person
from lidclock.app.session import Session, Unit
from lidclock.app.visits import OF_DEVICE, Entry, begin
from lidclock.domain.people import DEVICE_ROLES, HELPER, Device, checked_name
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError, UnknownThingError
from lidclock.store.devices import Devices, Pairing, Pairings
from lidclock.store.people import People

LASTS = timedelta(minutes=10)
# 80 bits in sixteen letters and digits (RFC 4648, section 6): short enough to be typed
# once, and far too many to be found within ten minutes.
_SECRET_BYTES, _GROUP = 10, 4


_NOT_VALID = "that pairing is not valid, or not any more: ask an owner for a new one"
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Knock:
    """What a new device brings: the secret, what it wants to be called, from where."""

    secret: str
    name: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Offer:
    """A pairing secret in groups of four, and until when it may be used, once."""

    secret: str
    ends_at: datetime


def offer_pairing(
    session: Session, role: str = HELPER, person_id: str = "", *, by: str = ""
) -> Offer:
    """Offer to pair one device: somebody's own, everybody's, or one on the wall."""
    if role not in DEVICE_ROLES:
        raise InputError(
            f"a device is for {' or '.join(DEVICE_ROLES)}, not {role[:20]!r}"
        )
    if person_id:
        find_person(session, person_id)
        role = HELPER
    letters = base64.b32encode(random_bytes(_SECRET_BYTES)).decode("ascii").lower()
    groups = [letters[at : at + _GROUP] for at in range(0, len(letters), _GROUP)]
    offer = Offer("-".join(groups), session.now + LASTS)
    pairing = Pairing(_secret_hash(letters), role, person_id, by, offer.ends_at)
    with session.write() as unit:
        Pairings(unit.connection, session.kitchen.id).add(pairing, session.now)
    return offer


def pair_browser(session: Session, knock: Knock) -> Entry:
    """Pair the browser that shows this secret; it is let in from now on."""

    def settle(unit: Unit, device: Device) -> Entry:
        Devices(unit.connection, session.kitchen.id).put(device, "")
        return begin(
            unit,
            device.role,
            session.now + OF_DEVICE,
            device_id=device.id,
            person_id=device.person_id,
        )

    return _paired(session, knock, settle)


def pair_program(session: Session, knock: Knock) -> str:
    """Pair a program; the token that it has to bear, which is not kept here."""

    def settle(unit: Unit, device: Device) -> str:
        token = fresh_token()
        devices = Devices(unit.connection, session.kitchen.id)
        devices.put(device, token_hash(token))
        return token

    return _paired(session, knock, settle)


def list_devices(session: Session) -> list[Device]:
    """Every paired device, the one paired first at the head."""
    with session.read() as unit:
        return Devices(unit.connection, session.kitchen.id).all()


def revoke(session: Session, id_: str) -> None:
    """Forget a device: its token and whoever is at it are refused from now on."""
    with session.write() as unit:
        if not Devices(unit.connection, session.kitchen.id).remove(id_):
            raise UnknownThingError(
                sentence("that device is not paired (any more): look again")
            )


def _paired(
    session: Session,
    knock: Knock,
    settle: Callable[[Unit, Device], T],
) -> T:
    """Use a secret up, once: of two that come at once only one finds it."""
    name = checked_name(knock.name or "device", sentence("a device's name"))
    done: list[T] = []

    def is_taken() -> bool:
        with session.write() as unit:
            pairings = Pairings(unit.connection, session.kitchen.id)
            taken = pairings.take(_secret_hash(knock.secret))
            if taken is None or session.now >= taken.ends_at:
                return False
            people = People(unit.connection, session.kitchen.id)
            if taken.person_id and people.get(taken.person_id) is None:
                return False
            done.append(settle(unit, _device(session, taken, name)))
        return True

    tried(session, f"pair/{knock.source}", is_taken, _NOT_VALID)
    return done[0]


def _device(session: Session, taken: Pairing, name: str) -> Device:
    now = session.now
    return Device(new_ids(1)[0], name, taken.role, now, now, taken.person_id)


def _secret_hash(secret: str) -> str:
    letters = "".join(secret.split()).replace("-", "").lower()
    return token_hash(letters[:64])
