"""What needs somebody now, for a list with links and for a number in a bar."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from lidclock.alerts.voice import Alert
from lidclock.app.alert_list import Answered, Found, alerts_found
from lidclock.app.instants import local
from lidclock.app.listed_words import listed_words, unmarked_reason
from lidclock.app.lists import listed
from lidclock.app.session import Session
from lidclock.app.verdict_words import box
from lidclock.domain.phrases import with_commas
from lidclock.domain.sentences import typed


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that needs somebody: a container by its code, or a place.

    `key` names it for an answer; `answered` says that somebody sees to it.
    """

    key: str
    kind: str
    what: str
    where: str
    says: str
    code: str = ""
    answered: Answered | None = None


def alerts_now(session: Session) -> list[Line]:
    """Places first, then containers, the most urgent first; answered ones last."""
    found = sorted(alerts_found(session), key=lambda one: one.answered is not None)
    return [line_of(session, one) for one in found]


def count_alerts(session: Session) -> int:
    """How many there are that nobody answered."""
    return sum(one.answered is None for one in alerts_found(session))


def line_of(session: Session, found: Found) -> Line:
    """One alert in words."""
    if found.container is not None:
        what, where, says, code = _of_container(session, found.container)
    else:
        from lidclock.app.temp_alert_words import alert_words

        assert found.place is not None
        what, where, code = typed(found.place.place.name), "", ""
        says = alert_words(found.place, session)
    return Line(found.key, found.kind, what, where, says, code, found.answered)


def _of_container(session: Session, one: Alert) -> tuple[str, str, str, str]:
    known = one.container
    what = with_commas([typed(known.food), box(known.index, known.of)])
    lacks = unmarked_reason(known) if one.kind == "unmarked" else ""
    says = one.note or lacks or listed_words(listed(session, known))
    return what, known.place, says, known.code


def line_facts(session: Session, line: Line) -> dict[str, Any]:
    """One alert as JSON-ready data."""
    answered, zone = line.answered, session.kitchen.zone
    given = answered.given if answered else None
    return {
        "key": line.key,
        "kind": line.kind,
        "what": line.what,
        "place": line.where or (None if line.code else line.what),
        "code": line.code or None,
        "says": line.says,
        "answer": given.answer if given else None,
        "answered_by": given.who or None if given else None,
        "answered_at": local(given.at, zone) if given else None,
        "back_at": local(answered.until, zone) if answered else None,
    }
