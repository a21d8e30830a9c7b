"""What became of a container that was not seen: an answer, and why one cannot hold."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from lidclock.app.oddities import refuse_before_making
from lidclock.app.session import Fact, Unit
from lidclock.app.stock_take_words import OVER_FOR_FREEZER
from lidclock.domain.kitchens import Place
from lidclock.domain.sentences import sentence
from lidclock.domain.snapshots import Snapshot
from lidclock.domain.stock_takes import is_time_needed
from lidclock.errors import InputError

EATEN, LOST, DISCARDED, STILL_THERE = "eaten", "lost", "discarded", "still there"
ELSEWHERE = "elsewhere"
_KINDS = {EATEN: "used", LOST: "missing", DISCARDED: "discarded"}
_EATEN_BEFORE = sentence(
    "it is past its last moment: if it was eaten before that, say when"
)
_WHERE = sentence("say in which other place it is")
_SINCE_WHEN = sentence("it comes from where it was colder: say since when it is there")
_TOO_EARLY = sentence("that is before it was made or filled: give a later time")
_TO_COME = sentence("that time is still to come: give one up to now")


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of a container that was not seen.

    `reason` goes with discarded, `place` with elsewhere; `at=None` is now.
    """

    what: str
    reason: str = ""
    place: str = ""
    at: datetime | None = None


def refusal(unit: Unit, counted: Place, one: Snapshot, answer: Answer) -> str:
    """Why an answer about a container of `counted` cannot hold; nothing if it can."""
    if answer.at is not None:
        if answer.at > unit.session.now:
            return _TO_COME
        try:
            refuse_before_making(unit, one, answer.at)
        except InputError:
            return _TOO_EARLY
    at = answer.at or unit.session.now
    is_over = one.last_moment is not None and at >= one.last_moment
    if answer.what == EATEN and is_over:
        return _EATEN_BEFORE
    if answer.what == ELSEWHERE:
        return _misplaced(unit, counted, one, answer, is_over=is_over)
    return ""


def _misplaced(
    unit: Unit, counted: Place, one: Snapshot, answer: Answer, *, is_over: bool
) -> str:
    if not answer.place:
        return _WHERE
    where = unit.session.place(answer.place)
    if where.name == counted.name:
        return _WHERE
    if answer.at is None and is_time_needed(one, where):
        return _SINCE_WHEN
    placings = unit.view(one.code).container.placings
    if answer.at is not None and placings and answer.at < placings[-1].at:
        last = placings[-1].place
        return sentence("it was put in {place} after that: say since when", place=last)
    return OVER_FOR_FREEZER if where.state == "freezer" and is_over else ""


def became(unit: Unit, code: str, answer: Answer) -> list[Fact]:
    """What is recorded of it; nothing where it is still there."""
    if answer.what == ELSEWHERE:
        return [placed(code, unit.session.place(answer.place), answer.at)]
    if answer.what not in _KINDS:
        return []
    reason = " ".join(answer.reason.split()) or "not said"
    body: dict[str, Any] = {"reason": reason} if answer.what == DISCARDED else {}
    return [Fact(_KINDS[answer.what], code, body, answer.at)]


def placed(code: str, where: Place, at: datetime | None) -> Fact:
    """That it is in a place, since a moment or from now on."""
    return Fact("placed", code, {"place": where.name, "state": where.state}, at)
