"""After a power cut: what the charts say of every container that stood in it.

Nothing is recorded here: whoever has looked acts with a scan.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TypeVar

from lidclock.app.scanning import last_words
from lidclock.app.session import Session, View
from lidclock.domain.history import Stay
from lidclock.domain.snapshots import Snapshot
from lidclock.errors import InputError
from lidclock.guidance.outage import (
    FOUND,
    Decision,
    judge_freezer,
    judge_fridge,
    outage_cautions,
)
from lidclock.guidance.outage_chart import Cited
from lidclock.guidance.sets import GuidanceSet

__all__ = ["Decision", "OutageRow", "outage", "outage_cautions"]

_COLD = ("fridge", "freezer")
_Said = TypeVar("_Said", float, str)


@dataclass(frozen=True, slots=True)
class OutageRow:
    """One container, the place where the power cut met it, and what to do with it.

    `place` is empty where nobody recorded one.
    """

    container: Snapshot
    place: str
    state: str
    judged: Decision


@dataclass(frozen=True, slots=True)
class _Cut:
    """A power cut, with what was measured and found by the names of places."""

    began: datetime
    ended: datetime
    fridge_c: Mapping[str, float]
    is_full: bool
    found: Mapping[str, str]

    @property
    def hours(self) -> float:
        """How long it lasted."""
        return (self.ended - self.began) / timedelta(hours=1)

    def touches(self, stay: Stay) -> bool:
        """Whether that stay and the power cut have time in common."""
        is_past = stay.ended is not None and stay.ended <= self.began
        return stay.began < self.ended and not is_past

    def judge(self, stay: Stay, category: str) -> Decision:
        """What the charts say of food that stood there, for the whole of it."""
        if stay.state == "fridge":
            return judge_fridge(category, self.hours, self.fridge_c.get(stay.place))
        found = self.found.get(stay.place)
        return judge_freezer(category, self.hours, self.is_full, found)


def outage(
    session: Session,
    began: datetime,
    ended: datetime,
    *,
    fridge_c: Mapping[str, float] | None = None,
    freezer_full: bool = False,
    found: Mapping[str, str] | None = None,
) -> list[OutageRow]:
    """Every live container that is, or was then, in a fridge or a freezer.

    `fridge_c` and `found` (`icy` or `warm`) go by the names of places. By place, and
    there the strictest first. Nothing is recorded.
    """
    _check_times(session, began, ended)
    cut = _Cut(
        began,
        ended,
        _by_place(session, fridge_c or {}, "fridge"),
        freezer_full,
        _by_place(session, found or {}, "freezer"),
    )
    for name, state in cut.found.items():
        if state not in FOUND:
            raise InputError(f"{name} was found {state!r}: say {' or '.join(FOUND)}")
    with session.read() as unit:
        rows = [
            row
            for one in unit.snapshots.find()
            if (row := _row(one, unit.view(one.code), cut, session.guidance))
        ]
    order = {place.name: number for number, place in enumerate(session.places)}
    rows.sort(key=lambda row: _order(row, order))
    return rows


def _order(row: OutageRow, places: Mapping[str, int]) -> tuple[object, ...]:
    """By place, the strictest first, what shares a reason side by side."""
    one, judged = row.container, row.judged
    number = places.get(row.place, len(places))
    reason = (judged.row, judged.why)
    box = (one.food.casefold(), one.batch_number or 0, one.index or 0, one.code)
    return (number, -judged.severity, reason, box)


def _check_times(session: Session, began: datetime, ended: datetime) -> None:
    session.checked_past(began, "the beginning")
    session.checked_past(ended, "the end")
    if ended == began:
        raise InputError("it ended when it began; give two different times")
    if ended < began:
        raise InputError("it ended before it began; exchange the two times")


def _by_place(
    session: Session, given: Mapping[str, _Said], state: str
) -> dict[str, _Said]:
    """What was said of places, by their names as the kitchen knows them."""
    known: dict[str, _Said] = {}
    for name, value in given.items():
        place = session.place(name)
        if place.state != state:
            raise InputError(
                f"{place.name} is a {place.state}: give the temperature of a fridge, "
                "and of a freezer what was found in it"
            )
        if place.name in known:
            raise InputError(f"{place.name} was given twice; say it once")
        known[place.name] = value
    return known


def _row(
    one: Snapshot, view: View, cut: _Cut, guidance: GuidanceSet
) -> OutageRow | None:
    """What it comes to for one container; None where no cold place is involved."""
    then = [stay for stay in view.verdict.history.stays if cut.touches(stay)]
    cold = [stay for stay in then if stay.state in _COLD]
    if not cold and one.place and one.state not in _COLD:
        return None
    judged = [(_judged(stay, view, cut, guidance), stay) for stay in cold]
    if judged:
        decision, stay = max(judged, key=lambda pair: pair[0].severity)
        place, state = stay.place, stay.state
    else:
        decision, place, state = _elsewhere(view, then, cut), one.place, one.state
    if view.verdict.status == "over":
        return OutageRow(one, place, state, _over(view))
    return OutageRow(one, place, state, _with_remarks(decision, view, place))


def _judged(stay: Stay, view: View, cut: _Cut, guidance: GuidanceSet) -> Decision:
    """What the charts say; a set that never freezes again what thawed is stricter."""
    decision, counting = cut.judge(stay, view.food.category), guidance.counting
    is_barred = counting.refreeze == "never" or counting.fresh_hours is not None
    if decision.decision != "refreeze" or not is_barred:
        return decision
    note = f"{guidance.title}: what has thawed is not frozen again; use or discard it"
    return replace(decision, decision="check", notes=(note,))


def _elsewhere(view: View, then: list[Stay], cut: _Cut) -> Decision:
    """It was in no cold place that is recorded; what is not recorded is to check."""
    begins_at = view.container.begins_at
    if begins_at is None or begins_at < cut.ended:
        if then and all(stay.recorded for stay in then):
            return Decision("keep", "stood in no fridge or freezer: its last day holds")
        return Decision("check", "where it stood is not recorded: count it as warm")
    if view.container.components:
        return Decision("check", "made afterwards from others: their row counts")
    return Decision("keep", "made afterwards: its last day holds")


def _over(view: View) -> Decision:
    """Its own clock comes first: past its last moment no chart brings it back."""
    verdict = view.verdict
    word = "best by" if verdict.is_house_rule else "use by"
    row = f"past its own last moment: {word} was {last_words(verdict)}"
    if verdict.binding is None:
        return Decision("discard", row)
    rule = verdict.binding.rule
    return Decision("discard", row, rule.id, Cited(rule.source, rule.section))


def _with_remarks(decision: Decision, view: View, place: str) -> Decision:
    """What else a person should know of it."""
    remarks = list(decision.why)
    if view.verdict.status == "unknown":
        remarks.append("its own last day is not known")
    if place != view.container.place:
        remarks.append(f"now in {view.container.place or 'no place'}")
    return replace(decision, why=tuple(remarks))
