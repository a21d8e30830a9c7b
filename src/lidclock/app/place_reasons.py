"""Why a place was too warm, as people say it: noted beside what it did."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from lidclock.app.session import Fact, Session
from lidclock.domain.events import Event, place_note_subject
from lidclock.domain.sentences import figure, sentence
from lidclock.errors import InputError

LONGEST = 200
_KEY = "too_warm"


@dataclass(frozen=True, slots=True)
class Reason:
    """Why, said when and by whom."""

    at: datetime
    text: str
    who: str


def note_reason(session: Session, place: str, text: str, once: str = "") -> str:
    """Record why a place is beyond its limit; the act, to take it back.

    It explains, and gives no hour back. `once` is the act that it is: what is said
    under it again is noted already.
    """
    where, reason = session.place(place), " ".join(text.split())
    if not reason:
        raise InputError(sentence("say why: the door, the power, or in your own words"))
    if len(reason) > LONGEST:
        raise InputError(
            sentence(
                "a reason has at most {most} letters: shorten it", most=figure(LONGEST)
            )
        )
    fact = Fact("noted", place_note_subject(where.name), {_KEY: reason})
    with session.write() as unit, unit.one_act(once) as act:
        if not unit.has_act(once):
            unit.record([fact])
        return act


def reasons_since(session: Session, place: str, since: datetime) -> list[Reason]:
    """What was said of a place since then, in order; what was taken back is gone."""
    subject = place_note_subject(session.place(place).name)
    with session.read() as unit:
        events: list[Event] = unit.ledger.standing(unit.ledger.of([subject]))
    return [
        Reason(one.happened_at, str(one.body[_KEY]), one.who)
        for one in events
        if one.happened_at >= since and _KEY in one.body
    ]
