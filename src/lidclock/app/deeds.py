"""What a person does to a container, by one word: for buttons and for devices."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from lidclock.app import corrections, moves
from lidclock.app.food_names import listed_allergens
from lidclock.app.history_words import event_words
from lidclock.app.moves import Done
from lidclock.app.planning import choices_of
from lidclock.app.session import Session, Unit, View
from lidclock.domain.events import Event
from lidclock.domain.phrases import with_commas
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError


@dataclass(frozen=True, slots=True)
class Deed:
    """What was done: `kind` is a key of the deeds, the rest is what some of them need.

    `text` is a reason or who took it. `at=None` is now. `ready_at` is when what is
    taken out should be thawed, by the kitchen's own hours where nobody says. `made_at`
    and `placed_at`, when it came to its first place, are for a correction.
    """

    kind: str
    place: str = ""
    mass_g: float | None = None
    temp_c: float | None = None
    text: str = ""
    at: datetime | None = None
    ready_at: datetime | None = None
    made_at: datetime | None = None
    placed_at: datetime | None = None
    anyway: bool = False


def do(session: Session, code: str, deed: Deed, once: str = "") -> Done:
    """Record it; errors as for the single moves.

    `once` is the act that it is: what is said under it again is done already.
    """
    act = _DEEDS.get(deed.kind)
    if act is None:
        raise InputError(
            sentence(
                "{deed} is nothing that is done to a container", deed=repr(deed.kind)
            )
        )
    with session.write() as unit, unit.one_act(once):
        if unit.has_act(once):
            return Done("", unit.view(unit.find(code).code), once)
        return act(unit, code, deed)


def offered(view: View) -> list[str]:
    """The deeds to offer, the likeliest first; a missing one can only be found.

    What is past its last moment can only be discarded now.
    """
    return [*_offered(view)]


def offered_late(view: View) -> list[str]:
    """What may have been done to it before its last moment, and is written down late.

    Nothing while that is still to come.
    """
    if not view.container.is_live or not is_over(view):
        return []
    return ["use"] if view.container.state == "freezer" else ["use", "freeze"]


def is_over(view: View) -> bool:
    """Whether it is past its last moment, or was when it was frozen."""
    status = view.verdict.status
    return status == "over" or (status == "paused" and not view.verdict.days_left)


def _offered(view: View) -> Iterator[str]:
    container, status = view.container, view.verdict.status
    if not container.is_live:
        if container.end is not None and container.end.kind == "missing":
            yield "place"
        return
    if is_over(view):
        yield "discard"
        return
    if container.state == "freezer":
        yield "thaw"
    yield "use"
    if container.opened_at is None and container.state != "freezer":
        yield "open"
    if container.state != "freezer":
        yield "freeze"
    yield "place"
    if container.mass_g is not None:
        yield "take"
    yield "discard"
    if status != "unknown":
        yield "give"
    yield "measure"
    yield "missing"


def correct_allergens(
    session: Session, code: str, listed: str, *, has_none: bool
) -> corrections.Corrected:
    """Say what is really in it; the lids that want a new label for that are told.

    InputError where nothing is named, RefusedError for what was split from another.
    """
    if has_none and listed.strip():
        raise InputError(
            sentence("name the allergens, or say that none are in it; not both")
        )
    allergens = () if has_none else listed_allergens(listed)
    change = corrections.Change(allergens=allergens)
    with session.write() as unit:
        return corrections.correct_container(unit, code, change)


def _correct(unit: Unit, code: str, deed: Deed) -> Done:
    """What was recorded wrongly, or not at all; a time left out stays as it is."""
    change = corrections.Change(
        made_at=deed.made_at, first_placed_at=deed.placed_at, mass_g=deed.mass_g
    )
    done = corrections.correct_container(unit, code, change)
    return Done("corrected", done.view, done.act)


def undo_act(session: Session, act: str) -> list[Event]:
    """Take back one act of this device; what it was about comes first."""
    with session.write() as unit:
        return corrections.take_back(unit, act)


def told(unit: Unit, act: str, view: View) -> str:
    """What an act recorded of a container, while it stands; else nothing."""
    if not act:
        return ""
    container = view.container
    subjects = {view.code, container.batch}
    events = unit.ledger.standing(unit.ledger.act(act))
    return with_commas(event_words(one) for one in events if one.subject in subjects)


def _mass(deed: Deed) -> float:
    if deed.mass_g is None:
        raise InputError(sentence("say how much was taken, such as 150 g"))
    return deed.mass_g


def _temp(deed: Deed) -> float:
    if deed.temp_c is None:
        raise InputError(sentence("say what the thermometer shows in the food"))
    return deed.temp_c


def _who(deed: Deed) -> str:
    text = " ".join(deed.text.split())
    if not text:
        raise InputError(sentence("say who takes it"))
    return text


def _own_ready_at(unit: Unit, code: str, at: datetime | None) -> datetime | None:
    """By the hours that this kitchen says its food takes; None where it says none."""
    hours = choices_of(unit).food(unit.find(code).food).thaw_h
    return None if hours is None else (at or unit.session.now) + timedelta(hours=hours)


_DEEDS: Mapping[str, Callable[[Unit, str, Deed], Done]] = {
    "use": lambda unit, code, deed: moves.use(
        unit, code, at=deed.at, anyway=deed.anyway
    ),
    "open": lambda unit, code, deed: moves.open_container(
        unit, code, at=deed.at, anyway=deed.anyway
    ),
    "freeze": lambda unit, code, deed: moves.freeze(
        unit, code, at=deed.at, anyway=deed.anyway
    ),
    "thaw": lambda unit, code, deed: moves.thaw(
        *(unit, code),
        at=deed.at,
        ready_at=deed.ready_at or _own_ready_at(unit, code, deed.at),
        anyway=deed.anyway,
    ),
    "place": lambda unit, code, deed: moves.place(
        unit, code, unit.session.place(deed.place), at=deed.at, anyway=deed.anyway
    ),
    "take": lambda unit, code, deed: moves.take(
        unit, code, _mass(deed), at=deed.at, anyway=deed.anyway
    ),
    "discard": lambda unit, code, deed: moves.discard(
        unit, code, deed.text, at=deed.at, anyway=deed.anyway
    ),
    "give": lambda unit, code, deed: moves.give(
        unit, code, _who(deed), at=deed.at, anyway=deed.anyway
    ),
    "measure": lambda unit, code, deed: moves.measured(
        unit, code, _temp(deed), at=deed.at, anyway=deed.anyway
    ),
    "missing": lambda unit, code, deed: moves.missing(unit, code, at=deed.at),
    "correct": _correct,
}
