"""A reading of a place as a device tells it: had once, however often it comes.

Readings are no events, so no ledger knows their ids: they are kept beside.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from lidclock.app.device_events import moment_of, number_of, only_keys
from lidclock.app.session import Session, Unit
from lidclock.app.temp_words import typed_line
from lidclock.app.temps import add_typed, refuse_doubtful
from lidclock.domain.events import PLACE_SUBJECT
from lidclock.domain.kitchens import Place
from lidclock.domain.readings import Reading
from lidclock.errors import InputError
from lidclock.store.reading_values import Mark
from lidclock.store.rows import micros
from lidclock.store.told_readings import ToldReading, ToldReadings

MEASURED = "measured"
_KEYS = frozenset(("id", "kind", "subject", "happened_at", "body"))


def is_reading(facts: object) -> bool:
    """Whether what a device sent is about a place, and no event of a container."""
    if not isinstance(facts, dict) or facts.get("kind") != MEASURED:
        return False
    subject = facts.get("subject")
    return isinstance(subject, str) and subject.startswith(PLACE_SUBJECT)


def take_reading(
    unit: Unit, reading_id: str, facts: Mapping[str, Any], who: str, device: str
) -> str:
    """Record it and say what to make of it; empty if it was told before.

    A time still to come counts as the kitchen's present one. Errors as for a reading
    that is typed; what looks like a slip is refused unless `anyway` is true.
    """
    session = unit.session
    place, told = _read(facts, session)
    store = ToldReadings(unit.connection, session.kitchen.id)
    known = store.get(reading_id)
    if known is not None:
        if known != told:
            raise InputError(
                "another reading has that id: what was read besides needs its own"
            )
        return ""
    is_so = facts["body"].get("anyway") is True
    refuse_doubtful(told.temp_c, place, anyway=is_so)
    at = min(moment_of(facts, "happened_at"), session.now)
    mark = Mark(micros(session.now), who, device)
    typed = add_typed(unit, place, Reading(at, told.temp_c), mark)
    store.add(reading_id, told)
    return typed_line(typed, session)


def _read(facts: Mapping[str, Any], session: Session) -> tuple[Place, ToldReading]:
    only_keys(facts, _KEYS, "a reading")
    place = session.place(facts["subject"].removeprefix(PLACE_SUBJECT))
    body = facts.get("body")
    if not isinstance(body, dict):
        raise InputError("a reading's body is an object with temp_c")
    only_keys(body, frozenset(("temp_c", "anyway")), "a reading's body")
    temp_c = number_of(body.get("temp_c"), "temp_c")
    told_us = micros(moment_of(facts, "happened_at"))
    return place, ToldReading(place.name, told_us, temp_c)
