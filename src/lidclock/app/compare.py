"""One history under every authority's limits, side by side."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from lidclock.app.question import read_question
from lidclock.app.session import Session
from lidclock.clock import Verdict, judge
from lidclock.domain.foods import Food
from lidclock.domain.history import History
from lidclock.guidance.load import load_set, set_names
from lidclock.guidance.sets import GuidanceSet


@dataclass(frozen=True, slots=True)
class Asked:
    """What is compared: a food with its history; whose set is in force."""

    food: Food
    history: History
    zone: ZoneInfo
    as_of: datetime
    guidance: GuidanceSet

    @property
    def began_on(self) -> date | None:
        """The local day on which the count begins."""
        start = self.history.made_at or self.history.opened_at
        return start.astimezone(self.zone).date() if start else None


def asked_in(text: str, now: datetime) -> Asked:
    """The question in a JSON document; InputError names the place and the fault."""
    question = read_question(text, now)
    subject = question.subject
    return Asked(
        subject.food,
        subject.history,
        question.zone,
        question.as_of,
        question.guidance_set,
    )


def asked_of(session: Session, code: str) -> Asked:
    """The container with that code, as the kitchen knows it."""
    with session.read() as unit:
        view = unit.view(unit.find(code).code)
    history = view.inventory.history_of(view.container)
    return Asked(
        view.food, history, session.kitchen.zone, session.now, session.guidance
    )


def judged(asked: Asked, guidance: GuidanceSet) -> Verdict:
    """The verdict on what is asked, under one set."""
    return judge(asked.food, asked.history, guidance, zone=asked.zone, now=asked.as_of)


def compare(asked: Asked, sets: Iterable[str] = ()) -> list[Verdict]:
    """A verdict under each set, the earliest last moment first, the unknown last.

    The order in which the sets are named changes nothing. A local set in force is
    compared as well.
    """
    own = asked.guidance
    guidance = {
        name: own if name == own.id else load_set(name) for name in sets or set_names()
    }
    if asked.guidance.is_high_risk:
        guidance = {
            name: one if one.is_high_risk else one.for_high_risk()
            for name, one in guidance.items()
        }
    if not sets:
        guidance[asked.guidance.id] = asked.guidance
    verdicts = [judged(asked, one) for one in guidance.values()]
    return sorted(verdicts, key=_order)


def _order(verdict: Verdict) -> tuple[int, float, str]:
    """By last moment; then paused ones by days left; then what is not known."""
    if verdict.over_at is not None:
        return 0, verdict.over_at.timestamp(), verdict.guidance.id
    if verdict.status == "paused":
        return 1, float(verdict.days_left or 0), verdict.guidance.id
    return 2, 0.0, verdict.guidance.id
