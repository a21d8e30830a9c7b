"""What people type into forms, read as the kitchen's moments and masses."""

from __future__ import annotations

import json
import re
from datetime import date, datetime, timedelta
from typing import Annotated
from uuid import UUID, uuid5

from fastapi import Depends, Request
from starlette.datastructures import FormData

from lidclock.app.session import Session
from lidclock.domain.masses import read_mass
from lidclock.domain.moments import read_iso, read_iso_day
from lidclock.domain.readings import read_temp
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError
from lidclock.web.forms import FIELD, ONCE


class Fields:
    """The fields of a form that was sent; one that is not there is empty."""

    def __init__(self, form: FormData) -> None:
        self._form = form

    def text(self, name: str) -> str:
        """What was typed or chosen, without blanks around it."""
        return next(iter(self.all(name)), "")

    def all(self, name: str) -> list[str]:
        """Every value of a field that may come more than once.

        InputError for one that nobody typed; `shown` bears all the places there are.
        """
        values = [x.strip() for x in self._form.getlist(name) if isinstance(x, str)]
        if any(len(one) > _LONGEST for one in values):
            raise InputError(sentence("that is longer than anybody types: write less"))
        return values

    def pairs(self, without: tuple[str, ...]) -> list[tuple[str, str]]:
        """Every field in order with its value, but for those named."""
        items = self._form.multi_items()
        return [(x, y) for x, y in items if isinstance(y, str) and x not in without]

    def act(self) -> str:
        """The act that this form is, the same one however often it is sent.

        Named after the form (`once`) and all that it says: another button, or another
        number, is another act. Empty for a form that has no name.
        """
        form = self.text(ONCE)
        if not form:
            return ""
        try:
            return str(uuid5(UUID(form), json.dumps(self.pairs(without=(FIELD,)))))
        except ValueError as error:
            raise InputError("this form is stale: open the page again") from error

    def number(self, name: str, what: str) -> int | None:
        """A whole number; None if empty, InputError for anything else."""
        text = self.text(name)
        if not text:
            return None
        if not text.isascii() or not text.isdecimal() or len(text) > _MOST_DIGITS:
            raise InputError(
                sentence(
                    "{field}: {text} is not a whole number", field=what, text=repr(text)
                )
            )
        return int(text)

    def day(self, name: str) -> date | None:
        """A calendar day; None if empty."""
        text = self.text(name)
        return read_iso_day(text) if text else None


_MOST_DIGITS, _LONGEST = 6, 20_000
_MINUTE = timedelta(minutes=1)


async def _fields_of(request: Request) -> Fields:
    return Fields(await request.form())


Sent = Annotated[Fields, Depends(_fields_of)]


def moment_in(session: Session, text: str) -> datetime | None:
    """The instant of a field for day and hour in the kitchen's zone; None if empty."""
    return read_iso(text.strip(), session.kitchen.zone) if text.strip() else None


def mass_in(session: Session, text: str) -> float | None:
    """Grams; a bare number is in the kitchen's small unit. None if empty."""
    bare = text.strip()
    if not bare:
        return None
    unit = "oz" if session.kitchen.units == "us" else "g"
    return read_mass(f"{bare} {unit}" if bare[-1].isdigit() else bare)


def temp_in(session: Session, text: str) -> float | None:
    """Degrees Celsius; a bare number is in the kitchen's scale. None if empty."""
    bare = text.strip()
    # The sign stands in the field of a freezer from the beginning.
    if not bare.strip("-−"):
        return None
    scale = "F" if session.kitchen.units == "us" else "C"
    return read_temp(f"{bare}{scale}" if bare[-1].isdigit() else bare)


def depth_in(session: Session, text: str) -> float | None:
    """Millimetres; a bare number is in mm, in US kitchens in inches. None if empty."""
    bare = text.strip().replace(",", ".")
    if not bare:
        return None
    match = _DEPTH.fullmatch(bare)
    if match is None:
        raise InputError(
            sentence(
                "{text} is not a depth; write it like 50 mm, 5 cm or 2 in",
                text=repr(text),
            )
        )
    unit = match[2].lower() or ("in" if session.kitchen.units == "us" else "mm")
    return float(match[1]) * _MM[unit]


_DEPTH = re.compile(r"([0-9]{1,4}(?:\.[0-9]{1,3})?)\s*(mm|cm|in|)", re.I)
_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4}


def local_text(session: Session, at: datetime) -> str:
    """The value of such a field for an instant: `2026-11-03T07:30`."""
    local = at.astimezone(session.kitchen.zone).replace(tzinfo=None)
    return local.isoformat(timespec="minutes")


def present_text(session: Session) -> str:
    """The same for the present; empty where it would be read as an hour earlier.

    Such a field has no offset, and of an hour that comes twice the first is meant.
    """
    text = local_text(session, session.now)
    is_meant = session.now - read_iso(text, session.kitchen.zone) < _MINUTE
    return text if is_meant else ""
