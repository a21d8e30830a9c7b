"""After a power cut: what the charts say of every container that stood in it.

Nothing is recorded here: whoever has looked acts with a scan.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TypeVar

from lidclock.app.outage_cut import Cut
from lidclock.app.outage_places import (
    COLD,
    Circumstances,
    Load,
    Model,
    PlaceOut,
    places_out,
)
from lidclock.app.scanning import last_words
from lidclock.app.session import Session, View
from lidclock.domain.history import Stay
from lidclock.domain.kitchens import Place
from lidclock.domain.snapshots import Snapshot
from lidclock.errors import InputError
from lidclock.guidance.outage import (
    FOUND,
    Decision,
    outage_cautions,
)
from lidclock.guidance.outage_chart import Cited, Doubt, load_charts, say_degrees
from lidclock.guidance.sets import GuidanceSet
from lidclock.heat.outage import ROOM_C

__all__ = [
    "Cited",
    "Decision",
    "Doubt",
    "Model",
    "Outage",
    "OutageRow",
    "PlaceOut",
    "outage",
    "outage_cautions",
    "say_degrees",
]

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
class Outage:
    """A power cut: what is known of each place, and each container, strictest first."""

    began: datetime
    ended: datetime
    is_full: bool
    places: tuple[PlaceOut, ...]
    rows: tuple[OutageRow, ...]
    doubt: Doubt


def outage(
    session: Session,
    began: datetime,
    ended: datetime,
    *,
    places: Sequence[str] = (),
    fridge_c: Mapping[str, float] | None = None,
    freezer_full: bool = False,
    found: Mapping[str, str] | None = None,
    room_c: float = ROOM_C,
) -> Outage:
    """What is known of places without power, and each live container that met it.

    Only `places` had none, where some are named. `fridge_c` and `found` (`icy` or
    `warm`) go by the names of places. The strictest first, and there by place. Nothing
    is recorded.
    """
    _check_times(session, began, ended)
    said = Circumstances(
        began,
        ended,
        freezer_full,
        room_c,
        _by_place(session, fridge_c or {}, "fridge"),
        _by_place(session, found or {}, "freezer"),
    )
    for name, state in said.found.items():
        if state not in FOUND:
            raise InputError(f"{name} was found {state!r}: say {' or '.join(FOUND)}")
    cold = _cold_places(session, places, (*said.fridge_c, *said.found))
    with session.read() as unit:
        boxes = [(one, unit.view(one.code)) for one in unit.snapshots.find()]
        known = places_out(unit, cold, said, _loads(boxes, began))
        cut = Cut(said, known, not places)
        rows = [
            row
            for one, view in boxes
            if (row := _row(one, view, cut, session.guidance))
        ]
    order = {place.name: number for number, place in enumerate(session.places)}
    rows.sort(key=lambda row: _order(row, order))
    return Outage(
        began,
        ended,
        freezer_full,
        tuple(known.values()),
        tuple(rows),
        load_charts().doubt,
    )


def _cold_places(
    session: Session, names: Sequence[str], told: Sequence[str]
) -> list[Place]:
    """The fridges and freezers named, or all; what is told must be of one of them."""
    named = [session.place(name) for name in names]
    for place in named:
        if place.state not in COLD:
            raise InputError(
                f"{place.name} is a {place.state}: name fridges and freezers only"
            )
    chosen = {place.name for place in named}
    for name in told:
        if chosen and name not in chosen:
            raise InputError(f"{name} is not among the places named; name it too")
    return [
        place
        for place in session.places
        if place.state in COLD and (not chosen or place.name in chosen)
    ]


def _loads(boxes: list[tuple[Snapshot, View]], began: datetime) -> dict[str, Load]:
    """What is recorded of the food in each place when the power went."""
    found: dict[str, Load] = {}
    for one, view in boxes:
        for stay in view.verdict.history.stays:
            is_past = stay.ended is not None and stay.ended <= began
            if is_past or stay.began > began or stay.state not in COLD:
                continue
            load = found.get(stay.place, Load())
            mass_kg = load.mass_kg + (one.mass_g or 0.0) / 1000
            unweighed = load.unweighed + (one.mass_g is None)
            found[stay.place] = Load(mass_kg, unweighed)
    return found


def _order(row: OutageRow, places: Mapping[str, int]) -> tuple[object, ...]:
    """The strictest first, then by place, what shares a reason side by side."""
    one, judged = row.container, row.judged
    number = places.get(row.place, len(places))
    reason = (judged.row, judged.why)
    box = (one.food.casefold(), one.batch_number or 0, one.index or 0, one.code)
    return (-judged.severity, number, reason, box)


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
    one: Snapshot, view: View, cut: Cut, guidance: GuidanceSet
) -> OutageRow | None:
    """What it comes to for one container; None where no cold place is involved."""
    then = [stay for stay in view.verdict.history.stays if cut.touches(stay)]
    dark = [stay for stay in then if cut.darkens(stay)]
    if not dark and not _may_have_met(one, then, cut):
        return None
    judged = [
        (_judged(stay, dark[0].began, view, cut, guidance), stay) for stay in dark
    ]
    if judged:
        decision, stay = max(judged, key=lambda pair: pair[0].severity)
        place, state = stay.place, stay.state
    else:
        decision, place, state = _elsewhere(view, then, cut), one.place, one.state
    if view.verdict.status == "over":
        return OutageRow(one, place, state, _over(view, decision))
    return OutageRow(one, place, state, _with_remarks(decision, view, place))


def _may_have_met(one: Snapshot, then: list[Stay], cut: Cut) -> bool:
    """Whether to list what is recorded in no place that had no power.

    Where only some places had none, it is listed if nobody recorded where it stood.
    """
    if cut.is_everywhere:
        return one.state in COLD or not one.place
    return any(not stay.recorded for stay in then)


def _judged(
    stay: Stay, since: datetime, view: View, cut: Cut, guidance: GuidanceSet
) -> Decision:
    """What the charts say; a set that never freezes again what thawed is stricter."""
    decision = cut.judge(stay, since, view.food.category)
    counting = guidance.counting
    is_barred = counting.refreeze == "never" or counting.fresh_hours is not None
    if decision.decision != "refreeze" or not is_barred:
        return decision
    note = f"{guidance.title}: what has thawed is not frozen again; use or discard it"
    return replace(decision, decision="check", notes=(note,))


def _elsewhere(view: View, then: list[Stay], cut: Cut) -> Decision:
    """It was in no cold place that is recorded; what is not recorded is to check."""
    begins_at = view.container.begins_at
    if begins_at is None or begins_at < cut.ended:
        if then and all(stay.recorded for stay in then):
            return Decision("keep", "stood in no fridge or freezer: its last day holds")
        return Decision("check", "where it stood is not recorded: count it as warm")
    if view.container.components:
        return Decision("check", "made afterwards from others: their row counts")
    return Decision("keep", "made afterwards: its last day holds")


def _over(view: View, charted: Decision) -> Decision:
    """Its own clock comes first: past its last moment no chart brings it back."""
    verdict = view.verdict
    word = "best by" if verdict.is_house_rule else "use by"
    row = f"past its own last moment: {word} was {last_words(verdict)}"
    why = (f"over without the power cut; that alone: {charted.decision}",)
    if verdict.binding is None:
        return Decision("discard", row, why=why)
    rule = verdict.binding.rule
    return Decision("discard", row, rule.id, Cited(rule.source, rule.section), why)


def _with_remarks(decision: Decision, view: View, place: str) -> Decision:
    """What else a person should know of it."""
    remarks = list(decision.why)
    if view.verdict.status == "unknown":
        remarks.append("its own last day is not known")
    if place != view.container.place:
        remarks.append(f"now in {view.container.place or 'no place'}")
    return replace(decision, why=tuple(remarks))
