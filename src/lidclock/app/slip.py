"""The slip that goes with what is handed on: what it is, until when, who gave and took.

Only what may still be handed on gets one: within its limit, and never out of the cold
since it was first put there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from lidclock.app.container_words import allergen_words
from lidclock.app.cooling_watch import temp_words
from lidclock.app.handing_on import why_not_hand_on
from lidclock.app.instants import local
from lidclock.app.list_words import (
    JOIN,
    ListPage,
    Row,
    Section,
    cautions_of,
    date_words,
    recorded_line,
)
from lidclock.app.lists import listed
from lidclock.app.session import Session, Unit, View
from lidclock.domain.codes import spaced
from lidclock.domain.masses import say_mass
from lidclock.domain.moments import local_date, say_day, say_moment
from lidclock.domain.phrases import told_of
from lidclock.domain.sentences import sentence, strung, typed
from lidclock.domain.snapshots import Snapshot
from lidclock.domain.texts import one_line
from lidclock.errors import InputError, RefusedError

MOST = 200
_LINE = "_" * 30


@dataclass(frozen=True, slots=True)
class Handed:
    """A container, and why it may not be handed on; no reason where it may."""

    known: Snapshot
    view: View
    refusal: str

    @property
    def measured(self) -> tuple[datetime, float] | None:
        """The last temperature that was measured in it, if any was."""
        container = self.view.container
        cooled = [
            (at, temp_c) for at, temp_c in container.coolings if temp_c is not None
        ]
        return max([*container.probes, *cooled], default=None)


def handed(session: Session, codes: Sequence[str]) -> list[Handed]:
    """Each container with what stands against handing it on; errors as for finding."""
    if not 1 <= len(codes) <= MOST:
        raise InputError(sentence("name the containers that are handed on"))
    with session.read() as unit:
        found = dict.fromkeys(unit.find(code).code for code in codes)
        return [_handed(unit, code) for code in found]


def with_its_batch(session: Session, typed_code: str) -> list[Handed]:
    """The container and the live ones of its batch, to choose from."""
    with session.read() as unit:
        known = unit.find(typed_code)
        others = (
            unit.snapshots.find(batch=known.batch_number)
            if known.batch_number is not None
            else []
        )
        mates = [x for x in others if x.batch_id == known.batch_id]
        mates.sort(key=lambda x: (x.index or 0, x.code))
        codes = dict.fromkeys([known.code, *(one.code for one in mates)])
        return [_handed(unit, code) for code in list(codes)[:MOST]]


def _handed(unit: Unit, code: str) -> Handed:
    view, known = unit.view(code), unit.snapshot(code)
    assert known is not None  # it was found
    return Handed(known, view, why_not_hand_on(unit.session, known, view))


def slip(session: Session, codes: Sequence[str], by: str, to: str) -> ListPage:
    """The slip for these containers; names that are not given are lines to write on.

    RefusedError with the reason if one of them may not be handed on.
    """
    found = handed(session, codes)
    for one in found:
        if one.refusal:
            name = sentence(
                "{code} ({food}) may not be handed on",
                code=spaced(one.known.code),
                food=one.known.food,
            )
            raise RefusedError(told_of(name, one.refusal))
    names = (
        (sentence("Given by"), one_line(by, "who gives it")),
        (sentence("Taken by"), one_line(to, "who takes it")),
    )
    degrees = "°F" if session.kitchen.units == "us" else "°C"
    return ListPage(
        "Hand-over slip",
        session.kitchen.name,
        say_day(local_date(session.now, session.kitchen.zone)),
        (recorded_line(session),),
        (
            Section(
                sentence("Handed on"),
                tuple(_row(one, session) for one in found),
                ("Hour", degrees),
            ),
            Section(
                sentence("Names"),
                tuple(Row(told_of(what, name or _LINE)) for what, name in names),
                ("Signature",),
            ),
        ),
        (
            sentence("Measure the food at hand-over, and keep it cold on the way."),
            *cautions_of(session),
        ),
    )


def _row(one: Handed, session: Session) -> Row:
    view, known = one.view, one.known
    grams = (
        "" if known.mass_g is None else say_mass(known.mass_g, session.kitchen.units)
    )
    made = sentence("making time not recorded")
    if known.made_at is not None:
        when = say_moment(known.made_at, session.kitchen.zone)
        made = sentence("made {when}", when=when)
    elif known.opened_at is not None:
        when = say_moment(known.opened_at, session.kitchen.zone)
        made = sentence("opened {when}", when=when)
    return Row(
        typed(known.food),
        (
            strung(JOIN, (typed(spaced(known.code)), grams, made)),
            date_words(listed(session, known)),
            sentence("allergens: {allergens}", allergens=allergen_words(view)),
            _temperature(one, session),
            *(
                sentence("not known: {what}", what=what)
                for what in view.verdict.unknown
            ),
        ),
    )


def _temperature(one: Handed, session: Session) -> str:
    if one.measured is None:
        return sentence("temperature of the food: not measured")
    at, temp_c = one.measured
    return sentence(
        "temperature of the food: {temp}, {when}",
        temp=typed(temp_words(temp_c, session)),
        when=say_moment(at, session.kitchen.zone),
    )


def handed_json(one: Handed, session: Session) -> dict[str, Any]:
    """A container and whether it may be handed on, as JSON-ready data."""
    view, known, zone = one.view, one.known, session.kitchen.zone
    return {
        "code": known.code,
        "food": known.food,
        "may_be_handed_on": not one.refusal,
        "refusal": one.refusal or None,
        "made_at": local(known.made_at, zone),
        "last_day": known.last_day.isoformat() if known.last_day else None,
        "allergens": None if view.allergens is None else list(view.allergens),
        "known_allergens": list(view.known_allergens),
        "temp_c": one.measured[1] if one.measured else None,
        "measured_at": local(one.measured[0], zone) if one.measured else None,
    }
