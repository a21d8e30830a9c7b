"""People and the secrets of the page: rows of one kitchen, within one transaction."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from lidclock.domain.people import Person
from lidclock.errors import RefusedError
from lidclock.store.rows import instant, micros, named
from lidclock.store.statements import adding, putting, run
from lidclock.store.tables import attempt, person, secret

_ID: sa.BindParameter[str] = sa.bindparam("id")


def here(table: sa.Table) -> sa.ColumnElement[bool]:
    """The rows of the kitchen that is asked."""
    return table.c.kitchen_id == sa.bindparam("kitchen_id")


_ADD, _PUT = adding(person), putting(person)
_ALL = sa.select(person).where(here(person)).order_by(person.c.handle_key)
_ONE = sa.select(person).where(here(person), person.c.id == _ID)
_DROP = sa.delete(person).where(here(person), person.c.id == _ID)
_SECRET_PUT, _SECRET_ADD = putting(secret), adding(secret)
_SECRET = sa.select(secret.c.value).where(
    here(secret), secret.c.kind == sa.bindparam("kind")
)
_ATTEMPT_PUT = putting(attempt)
_ATTEMPT = sa.select(attempt).where(
    here(attempt), attempt.c.subject == sa.bindparam("subject")
)
_FORGIVE = sa.delete(attempt).where(
    here(attempt), attempt.c.subject == sa.bindparam("subject")
)
_FORGET = sa.delete(attempt).where(
    here(attempt), attempt.c.last_us < sa.bindparam("before_us")
)


class Rows:
    """Statements about one kitchen."""

    def __init__(self, connection: sa.Connection, kitchen_id: str) -> None:
        self._connection = connection
        self._kitchen = {"kitchen_id": kitchen_id}

    def _run(self, statement: sa.ClauseElement, **params: Any) -> sqlite3.Cursor:
        return run(self._connection, statement, {**self._kitchen, **params})


class People(Rows):
    """The people of one kitchen."""

    def all(self) -> list[Person]:
        """Everybody, by handle."""
        return [_person_of(row) for row in self._run(_ALL)]

    def get(self, id_: str) -> Person | None:
        """The person with that id."""
        row = self._run(_ONE, id=id_).fetchone()
        return None if row is None else _person_of(row)

    def code_hash(self, id_: str) -> str:
        """The hash of a person's switch code; empty where there is none."""
        row = self._run(_ONE, id=id_).fetchone()
        return "" if row is None else str(named(person, row)["code_hash"])

    def add(self, one: Person, code_hash: str) -> None:
        """Add a person; RefusedError if one of that handle, in any case, is there."""
        if self._run(_ADD, **_row(one, code_hash)).rowcount != 1:
            raise _taken(one)

    def update(self, one: Person, code_hash: str) -> None:
        """Store a changed handle, role or code; RefusedError if the handle is taken."""
        try:
            self._run(_PUT, **_row(one, code_hash))
        except sqlite3.IntegrityError as error:
            raise _taken(one) from error

    def remove(self, id_: str) -> bool:
        """Forget a person; whether there was one."""
        return self._run(_DROP, id=id_).rowcount == 1


class Secrets(Rows):
    """Hash of the kitchen's password, key of its forms."""

    def get(self, kind: str) -> str:
        """The value kept under `kind`; empty where there is none."""
        row = self._run(_SECRET, kind=kind).fetchone()
        return "" if row is None else str(row[0])

    def put(self, kind: str, value: str) -> None:
        """Keep a value, in the place of what was there."""
        self._run(_SECRET_PUT, kind=kind, value=value)

    def keep_first(self, kind: str, value: str) -> str:
        """The value kept under `kind`, which is this one if there was none."""
        self._run(_SECRET_ADD, kind=kind, value=value)
        return self.get(kind)


@dataclass(frozen=True, slots=True)
class Tries:
    """Wrong ones in a row, the last of them, and when the next may be tried."""

    wrong: int
    last_at: datetime
    free_at: datetime


class Attempts(Rows):
    """Who or what was wrongly tried, how often, and until when nobody may try again."""

    def get(self, subject: str) -> Tries | None:
        """What was tried at a subject; None if nothing wrong was."""
        row = self._run(_ATTEMPT, subject=subject).fetchone()
        if row is None:
            return None
        facts = named(attempt, row)
        return Tries(
            facts["wrong"], instant(facts["last_us"]), instant(facts["free_us"])
        )

    def put(self, subject: str, tries: Tries) -> None:
        """Keep what was tried."""
        self._run(
            _ATTEMPT_PUT,
            subject=subject,
            wrong=tries.wrong,
            last_us=micros(tries.last_at),
            free_us=micros(tries.free_at),
        )

    def forgive(self, subject: str) -> None:
        """Start again from none."""
        self._run(_FORGIVE, subject=subject)

    def forget_before(self, moment: datetime) -> None:
        """Let go of what was last tried before an instant."""
        self._run(_FORGET, before_us=micros(moment))


def _row(one: Person, code_hash: str) -> dict[str, Any]:
    return {
        "id": one.id,
        "handle_key": one.handle.casefold(),
        "handle": one.handle,
        "role": one.role,
        "code_hash": code_hash,
    }


def _person_of(row: tuple[Any, ...]) -> Person:
    facts = named(person, row)
    return Person(facts["id"], facts["handle"], facts["role"], bool(facts["code_hash"]))


def _taken(one: Person) -> RefusedError:
    return RefusedError(
        f"there is somebody called {one.handle!r} already: choose another handle"
    )
