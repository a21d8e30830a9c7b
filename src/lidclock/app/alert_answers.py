"""Answering an alert: seen to, or mine to see to; each can be taken back."""

from __future__ import annotations

from lidclock.app.alert_list import Found, alerts_found
from lidclock.app.session import Fact, Session, Unit
from lidclock.domain.alert_answers import (
    ALERT_ANSWERS,
    ALERT_SUBJECT,
    AlertAnswer,
    alert_answers_from,
)
from lidclock.domain.moments import local_date
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError, RefusedError


def answer_alert(session: Session, key: str, answer: str) -> Found:
    """Say who sees to the alert called `key`; the alert with its answer.

    The same said again by the same person, while it holds, is the same answer.
    RefusedError if the alert is there no longer, InputError for another answer.
    """
    if answer not in ALERT_ANSWERS:
        raise InputError(f"an answer is one of {', '.join(ALERT_ANSWERS)}")
    with session.write() as unit:
        found = _find(session, key)
        if not _is_said(found, answer, session.who):
            unit.record([_fact(session, found, answer)])
    return _find(session, key)


def told_of(unit: Unit, act: str) -> AlertAnswer | None:
    """The answer that an act gave, while it stands."""
    events = unit.ledger.standing(unit.ledger.act(act)) if act else []
    ours = [one for one in events if one.subject.startswith(ALERT_SUBJECT)]
    return next(iter(alert_answers_from(ours).values()), None)


def _find(session: Session, key: str) -> Found:
    for one in alerts_found(session):
        if one.key == key:
            return one
    raise RefusedError(sentence("that alert is no longer so: look at the list again"))


def _is_said(found: Found, answer: str, who: str) -> bool:
    known = found.answered
    return known is not None and (known.given.answer, known.given.who) == (answer, who)


def _fact(session: Session, found: Found, answer: str) -> Fact:
    on = local_date(session.now, session.kitchen.zone)
    about = {"kind": found.kind}
    if found.container is not None:
        known = found.container.container
        about |= {"code": known.code, "food": known.food, "place": known.place}
    elif found.place is not None:
        about["place"] = found.place.place.name
    body = {"key": found.key, "answer": answer, "alert": about}
    return Fact("noted", f"{ALERT_SUBJECT}{on.isoformat()}", body)
