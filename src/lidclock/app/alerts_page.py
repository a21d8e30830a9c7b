"""What needs somebody now, for a list with links and for a number in a bar."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from lidclock.app.listed_words import listed_words, unmarked_reason
from lidclock.app.lists import alerts, listed
from lidclock.app.session import Session
from lidclock.app.temp_report import temperature_alerts
from lidclock.app.verdict_words import box

# The same look ahead as `lidclock alert`.
WITHIN = timedelta(hours=36)


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that needs somebody: a container by its code, or a place."""

    kind: str
    what: str
    where: str
    says: str
    code: str = ""


def alerts_now(session: Session) -> list[Line]:
    """Places first, then containers, the most urgent first."""
    places = [one for one in temperature_alerts(session) if one.is_pressing]
    lines = []
    if places:
        from lidclock.app.temp_alert_words import alert_words

        lines = [
            Line(one.kind, one.place.name, "", alert_words(one, session))
            for one in places
        ]
    for one in alerts(session, WITHIN):
        known = one.container
        number = box(known.index, known.of)
        what = ", ".join(filter(None, [known.food, number]))
        lacks = unmarked_reason(known) if one.kind == "unmarked" else ""
        says = one.note or lacks or listed_words(listed(session, known))
        lines.append(Line(one.kind, what, known.place, says, known.code))
    return lines


def count_alerts(session: Session) -> int:
    """How many there are."""
    places = [one for one in temperature_alerts(session) if one.is_pressing]
    return len(places) + len(alerts(session, WITHIN))
