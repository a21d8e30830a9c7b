"""One event as a device tells it: read, and checked for what it may say."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from lidclock.app.session import Session
from lidclock.domain.codes import is_code, normalise
from lidclock.domain.events import Event
from lidclock.domain.masses import HEAVIEST_CONTAINER_G, checked_mass
from lidclock.domain.moments import checked_year
from lidclock.domain.readings import COLDEST_C, HOTTEST_C
from lidclock.domain.texts import LONGEST_LINE, one_line
from lidclock.errors import InputError, LidclockError

# RFC 9562, section 5.7: version 7, variant 10 in binary; small letters, so that one
# event has one id.
_ID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
_LONGEST_TIME = 40
_ORDINARY = 1e9
_KEYS = frozenset(("id", "kind", "subject", "happened_at", "body"))
UNDONE = "corrected"
# What the device's own clock said, where that was a time still to come.
DEVICE_AT = "device_at"

Body = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Told:
    """What a device says: as it will be recorded, but for who said it and when.

    `device_at` is set where the device's clock runs ahead of the kitchen's.
    """

    id: str
    kind: str
    subject: str
    happened_at: datetime
    body: Body
    device_at: datetime | None = None


def id_of(facts: object) -> str:
    """The id under which an event was sent; InputError where it is no UUIDv7."""
    if not isinstance(facts, dict):
        raise InputError("an event is an object with id, kind, subject, happened_at")
    event_id = facts.get("id")
    if not isinstance(event_id, str) or _ID.fullmatch(event_id) is None:
        raise InputError("an event's id must be a UUIDv7 in small letters")
    return event_id


def read_event(facts: Mapping[str, Any], session: Session) -> Told:
    """The event in `facts`, its id known to be one.

    A time still to come is recorded as the kitchen's present one, with the device's own
    kept beside it. InputError or UnknownThingError for what cannot be a fact here.
    """
    only_keys(facts, _KEYS, "an event")
    kind = facts.get("kind")
    read = _BODIES.get(kind) if isinstance(kind, str) else None
    if read is None or not isinstance(kind, str):
        raise InputError(f"a device may not say that; it may say {', '.join(_BODIES)}")
    device_at = moment_of(facts, "happened_at")
    body = facts.get("body", {})
    if not isinstance(body, dict):
        raise InputError("an event's body is an object, {} where there is no more")
    is_logged = kind == "cooled" and "phase" in body
    subject = _logged_of(facts) if is_logged else code_of(facts)
    at = min(device_at, session.now)
    is_ahead = device_at > session.now
    return Told(
        facts["id"],
        kind,
        subject,
        at,
        read(body, session, device_at),
        device_at if is_ahead else None,
    )


def is_same(known: Event, facts: Mapping[str, Any], session: Session) -> bool:
    """Whether a recorded event is the one in `facts`, sent again.

    Where its body can no longer be read (its place is gone, say), kind and subject
    decide: what was recorded stays recorded.
    """
    try:
        told = read_event(facts, session)
        sent_at = moment_of(facts, "happened_at")
    except LidclockError:
        return (facts.get("kind"), facts.get("subject")) == (known.kind, known.subject)
    body = dict(known.body)
    own = body.pop(DEVICE_AT, None)
    happened_at = datetime.fromisoformat(own) if own else known.happened_at
    theirs = (told.kind, told.subject, sent_at, dict(told.body))
    return theirs == (known.kind, known.subject, happened_at, body)


def code_of(facts: object) -> str:
    """The code that an event is about; InputError where it is none."""
    subject = facts.get("subject") if isinstance(facts, dict) else None
    code = normalise(subject) if isinstance(subject, str) and len(subject) < 20 else ""
    if not is_code(code):
        raise InputError("an event's subject is a container's code of seven symbols")
    return code


def _logged_of(facts: Mapping[str, Any]) -> str:
    """What a cooling log is of: one container, or a whole batch by its id."""
    subject = facts.get("subject")
    is_batch = isinstance(subject, str) and _ID.fullmatch(subject) is not None
    return str(subject) if is_batch else code_of(facts)


def moment_of(facts: Body, key: str) -> datetime:
    """A time with its offset; InputError says how one is written."""
    text = facts.get(key)
    try:
        if not isinstance(text, str) or len(text) > _LONGEST_TIME:
            raise ValueError(key)
        moment = datetime.fromisoformat(text)
        checked_year(moment)
        if moment.tzinfo is None:
            raise ValueError(key)
    except ValueError as error:
        raise InputError(
            f"{key} is a time with its offset, such as 2026-10-31T17:10:00-04:00"
        ) from error
    return moment.astimezone(UTC)


def read_sent_at(text: object) -> datetime:
    """The moment at which a device says it sent; InputError where it is none."""
    return moment_of({"sent_at": text}, "sent_at")


def only_keys(facts: Body, allowed: frozenset[str], what: str) -> None:
    """InputError for anything that nobody asks for."""
    if facts.keys() - allowed:
        listed = ", ".join(sorted(allowed)) or "nothing"
        raise InputError(f"{what} may hold {listed}, and no more")


def _text(body: Body, key: str) -> str:
    text = body.get(key, "")
    if not isinstance(text, str):
        raise InputError(f"{key} is a text of at most {LONGEST_LINE} letters")
    return one_line(text, key)


def number_of(value: object, what: str) -> float:
    """A number of ordinary size; JSON knows no bounds, and True is none."""
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    # Comparing refuses NaN, infinity, and whole numbers that no float can hold.
    if not is_number or not -_ORDINARY <= value <= _ORDINARY:  # type: ignore[operator]
        raise InputError(f"{what} is a number of ordinary size")
    return float(value)  # type: ignore[arg-type]


def _temp(body: Body) -> dict[str, Any]:
    if body.get("temp_c") is None:
        return {}
    temp_c = number_of(body["temp_c"], "temp_c")
    if not COLDEST_C <= temp_c <= HOTTEST_C:
        raise InputError(f"temp_c must lie within {COLDEST_C:g} and {HOTTEST_C:g}")
    return {"temp_c": temp_c}


def _placed(body: Body, session: Session, at: datetime) -> Body:
    only_keys(body, frozenset(("place", "state", "temp_c", "ready_at")), "placed")
    where = session.place(_text(body, "place"))
    if body.get("state") not in (None, where.state):
        raise InputError(f"{where.name} is a {where.state} here: look at it again")
    found = {"place": where.name, "state": where.state, **_temp(body)}
    if body.get("ready_at") is not None:
        ready_at = moment_of(body, "ready_at")
        if ready_at <= at:
            raise InputError("it cannot be thawed before it was taken out")
        found["ready_at"] = ready_at.isoformat()
    return found


def _measured(body: Body, _: Session, __: datetime) -> Body:
    only_keys(body, frozenset(("temp_c",)), "its body")
    return _temp(body)


def _cooled(body: Body, session: Session, at: datetime) -> Body:
    """An end of cooling or, with a phase, a reading for its log."""
    if "phase" not in body:
        return _measured(body, session, at)
    only_keys(body, frozenset(("phase", "temp_c")), "its body")
    if body["phase"] != "read":
        raise InputError("phase is read: logs are opened and closed in the kitchen")
    found = _temp(body)
    if not found:
        raise InputError("a reading needs its temp_c")
    # To a tenth, as a probe shows it: so 40 °F is 4.4 °C, as the charts print it.
    return {"phase": "read", "temp_c": round(found["temp_c"], 1)}


def _probed(body: Body, _: Session, __: datetime) -> Body:
    only_keys(body, frozenset(("temp_c",)), "measured")
    found = _temp(body)
    if not found:
        raise InputError("measured says what the food measured: write it under temp_c")
    return found


def _bare(body: Body, _: Session, __: datetime) -> Body:
    only_keys(body, frozenset(), "its body")
    return {}


def _discarded(body: Body, _: Session, __: datetime) -> Body:
    only_keys(body, frozenset(("reason",)), "discarded")
    return {"reason": _text(body, "reason") or "not said"}


def _given(body: Body, _: Session, __: datetime) -> Body:
    only_keys(body, frozenset(("to",)), "given")
    to = _text(body, "to")
    if not to:
        raise InputError("given says to whom: write it under to")
    return {"to": to}


def _taken(body: Body, _: Session, __: datetime) -> Body:
    only_keys(body, frozenset(("mass_g",)), "taken")
    mass_g = checked_mass(number_of(body.get("mass_g"), "mass_g"), HEAVIEST_CONTAINER_G)
    if mass_g <= 0:
        raise InputError("mass_g is at least a tenth of a gram")
    return {"mass_g": mass_g}


def _undone(body: Body, _: Session, __: datetime) -> Body:
    only_keys(body, frozenset(("event", "void")), "corrected")
    if body.get("void") is not True:
        raise InputError("a device can only take back: event is an id, void is true")
    return {"event": id_of({"id": body.get("event")}), "void": True}


_BODIES: dict[str, Callable[[Body, Session, datetime], Body]] = {
    "placed": _placed,
    "opened": _bare,
    "used": _bare,
    "discarded": _discarded,
    "given": _given,
    "taken": _taken,
    "cooled": _cooled,
    "reheated": _measured,
    "measured": _probed,
    "missing": _bare,
    "found": _bare,
    UNDONE: _undone,
}
# What a device may say, and so take back.
KINDS = frozenset(_BODIES)
