"""People of the kitchen: who there is, what each may do, and the kitchen's password.

None of it goes into the ledger: an event bears a handle, and keeps it.
"""

from __future__ import annotations

from dataclasses import replace

from lidclock.app.now import fresh_token, new_ids
from lidclock.app.passwords import FOR_CODE, checked_password, hashed, is_right
from lidclock.app.session import Session
from lidclock.domain.people import (
    HELPER,
    Person,
    checked_code,
    checked_name,
    checked_role,
)
from lidclock.domain.sentences import sentence
from lidclock.errors import UnknownThingError
from lidclock.store.devices import Devices, Visits
from lidclock.store.people import People, Secrets

_PASSWORD, _FORM_KEY = "password", "form-key"
_HANDLE = sentence("a handle")


def list_people(session: Session) -> list[Person]:
    """Everybody in the kitchen, by handle."""
    with session.read() as unit:
        return People(unit.connection, session.kitchen.id).all()


def add_person(
    session: Session, handle: str, role: str = HELPER, code: str = ""
) -> Person:
    """Add a person; without a code they cannot be switched to on a shared device."""
    person = Person(
        new_ids(1)[0],
        checked_name(handle, _HANDLE),
        checked_role(role),
        has_code=bool(code.strip()),
    )
    code_hash = _code_hash(code)
    with session.write() as unit:
        People(unit.connection, session.kitchen.id).add(person, code_hash)
    return person


def change_person(
    session: Session, id_: str, *, handle: str = "", role: str = "", code: str = ""
) -> Person:
    """Rename a person, or change role or code; what is empty stays as it is.

    What was recorded keeps the old handle. A new role holds from the next request on;
    a new code ends the visits at which the person is.
    """
    code_hash = _code_hash(code)
    with session.write() as unit:
        people = People(unit.connection, session.kitchen.id)
        known = _found(people, id_)
        changed = replace(
            known,
            handle=checked_name(handle, _HANDLE) if handle.strip() else known.handle,
            role=checked_role(role) if role else known.role,
            has_code=bool(code_hash) or known.has_code,
        )
        people.update(changed, code_hash or people.code_hash(id_))
        if code_hash:
            Visits(unit.connection, session.kitchen.id).end_of_person(id_)
    return changed


def remove_person(session: Session, id_: str) -> Person:
    """Take a person off the list, with their own devices; their facts stay."""
    with session.write() as unit:
        people = People(unit.connection, session.kitchen.id)
        person = _found(people, id_)
        people.remove(id_)
        Visits(unit.connection, session.kitchen.id).end_of_person(id_)
        devices = Devices(unit.connection, session.kitchen.id)
        for device in devices.all():
            if device.person_id == id_:
                devices.remove(device.id)
    return person


def find_person(session: Session, id_: str) -> Person:
    """The person with that id; UnknownThingError if there is none."""
    with session.read() as unit:
        return _found(People(unit.connection, session.kitchen.id), id_)


def is_code_of(session: Session, id_: str, code: str) -> bool:
    """Whether it is a person's switch code; never, where they have none."""
    with session.read() as unit:
        kept = People(unit.connection, session.kitchen.id).code_hash(id_)
    return is_right(code.strip(), kept)


def set_password(session: Session, password: str) -> None:
    """Set the kitchen's password; whoever came in by the old one has to come again."""
    kept = hashed(checked_password(password))
    with session.write() as unit:
        Secrets(unit.connection, session.kitchen.id).put(_PASSWORD, kept)
        Visits(unit.connection, session.kitchen.id).end_without_device()


def has_password(session: Session) -> bool:
    """Whether the kitchen has a password at all."""
    return bool(_secret(session, _PASSWORD))


def is_password(session: Session, password: str) -> bool:
    """Whether it is the kitchen's password; never, where it has none."""
    return is_right(password, _secret(session, _PASSWORD))


def form_key(session: Session) -> str:
    """What the page's forms are marked with: random, made once for each kitchen."""
    known = _secret(session, _FORM_KEY)
    if known:
        return known
    with session.write() as unit:
        secrets = Secrets(unit.connection, session.kitchen.id)
        return secrets.keep_first(_FORM_KEY, fresh_token())


def _secret(session: Session, kind: str) -> str:
    with session.read() as unit:
        return Secrets(unit.connection, session.kitchen.id).get(kind)


def _code_hash(code: str) -> str:
    return hashed(checked_code(code), FOR_CODE) if code.strip() else ""


def _found(people: People, id_: str) -> Person:
    person = people.get(id_)
    if person is None:
        raise UnknownThingError(
            sentence("nobody of that name is in this kitchen: look again")
        )
    return person
