"""Every alert of this moment, with what somebody said to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING

from lidclock.alerts.answers import (
    is_quiet,
    matter_of,
    place_matter_of,
    quiet_until,
)
from lidclock.alerts.voice import Alert
from lidclock.app.lists import alerts
from lidclock.app.planning import choices_of
from lidclock.app.session import Session, Unit
from lidclock.app.temp_report import temperature_alerts
from lidclock.domain.alert_answers import (
    ALERT_SUBJECT,
    AlertAnswer,
    alert_answers_from,
)
from lidclock.domain.moments import local_date
from lidclock.plan.card import card_hours

if TYPE_CHECKING:
    from lidclock.alerts.temperature import TemperatureAlert

# The usual look ahead, of the page and of `lidclock alert`.
WITHIN = timedelta(hours=36)
# No answer holds longer: there is a card hour every day.
_REMEMBERED = timedelta(days=2)


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer that holds, and when the alert comes back if it is still so."""

    given: AlertAnswer
    until: datetime


@dataclass(frozen=True, slots=True)
class Found:
    """One alert: of a container, or of a place. `key` names it while nothing changes.

    `since` is when it began, where that tells one time from the next.
    """

    key: str
    kind: str
    container: Alert | None = None
    place: TemperatureAlert | None = None
    since: datetime | None = None
    answered: Answered | None = None


def alerts_found(session: Session, within: timedelta = WITHIN) -> list[Found]:
    """Places first, then containers, the most urgent first, answered or not."""
    places = [one for one in temperature_alerts(session) if one.is_pressing]
    containers = alerts(session, within)
    if not places and not containers:
        return []
    answers = _Answers(session)
    return [
        *(
            answers.put(
                Found(place_matter_of(one), one.kind, place=one, since=one.since)
            )
            for one in places
        ),
        *(
            answers.put(Found(matter_of(one), one.kind, container=one))
            for one in containers
        ),
    ]


class _Answers:
    """What was said of late, put to the alerts of now."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._hours: tuple[time, ...] = ()
        with session.read() as unit:
            self._given = _given(unit)
            if self._given:
                self._hours = choices_of(unit).card_hours

    def put(self, found: Found) -> Found:
        """The alert with the answer that holds, if there is one."""
        answer = self._given.get(found.key)
        if answer is None:
            return found
        kitchen, now = self._session.kitchen, self._session.now
        _, next_card = card_hours(self._hours, kitchen.zone, answer.at)
        until = quiet_until(found.kind, answer, next_card)
        if not is_quiet(answer, found.since, until, now):
            return found
        return replace(found, answered=Answered(answer, until))


def _given(unit: Unit) -> Mapping[str, AlertAnswer]:
    session = unit.session
    first = local_date(session.now - _REMEMBERED, session.kitchen.zone)
    since = f"{ALERT_SUBJECT}{first.isoformat()}"
    return alert_answers_from(unit.ledger.starting(ALERT_SUBJECT, since))
