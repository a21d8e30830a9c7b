"""Devices, visits and pairings: rows of one kitchen, within one transaction."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from lidclock.domain.people import Device
from lidclock.store.people import Rows, here
from lidclock.store.rows import instant, micros, named
from lidclock.store.statements import adding, putting
from lidclock.store.tables import device, pairing, visit

_ID: sa.BindParameter[str] = sa.bindparam("id")
_HASH: sa.BindParameter[str] = sa.bindparam("hash")
_SEEN = sa.bindparam("seen_us", type_=sa.Integer)
_DEVICE_PUT = putting(device)
_DEVICES = sa.select(device).where(here(device)).order_by(device.c.paired_us)
_DEVICE = sa.select(device).where(here(device), device.c.id == _ID)
_DEVICE_BY_TOKEN = sa.select(device).where(
    here(device),
    device.c.token_hash == _HASH,
    device.c.token_hash != sa.bindparam("no"),
)
_DEVICE_SEEN = (
    sa.update(device).where(here(device), device.c.id == _ID).values(seen_us=_SEEN)
)
_DEVICE_DROP = sa.delete(device).where(here(device), device.c.id == _ID)

_VISIT_ADD = adding(visit)
_VISIT = sa.select(visit).where(here(visit), visit.c.token_hash == _HASH)
_VISIT_SEEN = (
    sa.update(visit)
    .where(here(visit), visit.c.token_hash == _HASH)
    .values(seen_us=_SEEN, ends_us=sa.bindparam("ends_us", type_=sa.Integer))
)
_VISIT_DROP = sa.delete(visit).where(here(visit), visit.c.token_hash == _HASH)
_VISITS_OF_DEVICE = sa.delete(visit).where(here(visit), visit.c.device_id == _ID)
_VISITS_OF_PERSON = sa.delete(visit).where(here(visit), visit.c.person_id == _ID)
_VISITS_BEFORE = sa.delete(visit).where(
    here(visit), visit.c.ends_us < sa.bindparam("before_us")
)

_PAIRING_ADD = adding(pairing)
_PAIRING = sa.select(pairing).where(here(pairing), pairing.c.secret_hash == _HASH)
_PAIRING_DROP = sa.delete(pairing).where(here(pairing), pairing.c.secret_hash == _HASH)
_PAIRINGS_BEFORE = sa.delete(pairing).where(
    here(pairing), pairing.c.ends_us < sa.bindparam("before_us")
)


@dataclass(frozen=True, slots=True)
class Visit:
    """A browser that was let in, until when, and who is at it now."""

    token_hash: str
    device_id: str
    person_id: str
    role: str
    begun_at: datetime
    seen_at: datetime
    ends_at: datetime


@dataclass(frozen=True, slots=True)
class Pairing:
    """An offer to pair one device, for whom, and until when."""

    secret_hash: str
    role: str
    person_id: str
    made_by: str
    ends_at: datetime


class Devices(Rows):
    """The devices of one kitchen."""

    def all(self) -> list[Device]:
        """Every device, the one paired first at the head."""
        return [_device_of(row) for row in self._run(_DEVICES)]

    def get(self, id_: str) -> Device | None:
        """The device with that id."""
        row = self._run(_DEVICE, id=id_).fetchone()
        return None if row is None else _device_of(row)

    def of_token(self, token_hash: str) -> Device | None:
        """The program whose token has that hash; never a browser, which has none."""
        row = self._run(_DEVICE_BY_TOKEN, hash=token_hash, no="").fetchone()
        return None if row is None else _device_of(row)

    def put(self, one: Device, token_hash: str) -> None:
        """Keep a device."""
        self._run(
            _DEVICE_PUT,
            id=one.id,
            name=one.name,
            role=one.role,
            person_id=one.person_id,
            token_hash=token_hash,
            paired_us=micros(one.paired_at),
            seen_us=micros(one.seen_at),
        )

    def seen(self, id_: str, at: datetime) -> None:
        """Keep when a device was last here."""
        self._run(_DEVICE_SEEN, id=id_, seen_us=micros(at))

    def remove(self, id_: str) -> bool:
        """Forget a device and whoever is at it; whether there was one."""
        self._run(_VISITS_OF_DEVICE, id=id_)
        return self._run(_DEVICE_DROP, id=id_).rowcount == 1


class Visits(Rows):
    """The visits of one kitchen's page."""

    def get(self, token_hash: str) -> Visit | None:
        """The visit whose token has that hash."""
        row = self._run(_VISIT, hash=token_hash).fetchone()
        return None if row is None else _visit_of(row)

    def add(self, one: Visit) -> None:
        """Let a browser in, and forget those whose time is over."""
        self._run(_VISITS_BEFORE, before_us=micros(one.begun_at))
        self._run(
            _VISIT_ADD,
            token_hash=one.token_hash,
            device_id=one.device_id,
            person_id=one.person_id,
            role=one.role,
            begun_us=micros(one.begun_at),
            seen_us=micros(one.seen_at),
            ends_us=micros(one.ends_at),
        )

    def seen(self, token_hash: str, at: datetime, ends_at: datetime) -> None:
        """Keep when a browser was last here, and until when it may come back."""
        when = {"seen_us": micros(at), "ends_us": micros(ends_at)}
        self._run(_VISIT_SEEN, hash=token_hash, **when)

    def end(self, token_hash: str) -> bool:
        """End one visit; whether there was one."""
        return self._run(_VISIT_DROP, hash=token_hash).rowcount == 1

    def end_without_device(self) -> None:
        """End every visit that a password let in."""
        self._run(_VISITS_OF_DEVICE, id="")

    def end_of_person(self, id_: str) -> None:
        """End every visit at which a person is."""
        self._run(_VISITS_OF_PERSON, id=id_)


class Pairings(Rows):
    """The pairings that one kitchen offers."""

    def add(self, one: Pairing, now: datetime) -> None:
        """Offer a pairing, and forget those whose time is over."""
        self._run(_PAIRINGS_BEFORE, before_us=micros(now))
        self._run(
            _PAIRING_ADD,
            secret_hash=one.secret_hash,
            role=one.role,
            person_id=one.person_id,
            made_by=one.made_by,
            ends_us=micros(one.ends_at),
        )

    def take(self, secret_hash: str) -> Pairing | None:
        """The pairing with that hash, used up by this; None if there is none."""
        row = self._run(_PAIRING, hash=secret_hash).fetchone()
        if row is None:
            return None
        self._run(_PAIRING_DROP, hash=secret_hash)
        facts = named(pairing, row)
        return Pairing(
            facts["secret_hash"],
            facts["role"],
            facts["person_id"],
            facts["made_by"],
            instant(facts["ends_us"]),
        )


def _device_of(row: tuple[Any, ...]) -> Device:
    facts = named(device, row)
    return Device(
        facts["id"],
        facts["name"],
        facts["role"],
        instant(facts["paired_us"]),
        instant(facts["seen_us"]),
        facts["person_id"],
    )


def _visit_of(row: tuple[Any, ...]) -> Visit:
    facts = named(visit, row)
    return Visit(
        facts["token_hash"],
        facts["device_id"],
        facts["person_id"],
        facts["role"],
        instant(facts["begun_us"]),
        instant(facts["seen_us"]),
        instant(facts["ends_us"]),
    )
