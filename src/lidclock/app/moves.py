"""What happens to a container: placed, frozen, thawed, opened, used, discarded."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from lidclock.app.end_words import reason_words
from lidclock.app.oddities import (
    already_ended,
    is_marked_late,
    lid_words,
    refuse_before_making,
    refuse_ended,
    refuse_odd_freezing,
    refuse_overdue,
    refuse_second_thaw,
    refuse_younger_twin,
)
from lidclock.app.session import Fact, Unit, View
from lidclock.domain.codes import spaced
from lidclock.domain.kitchens import Place
from lidclock.domain.masses import checked_mass, say_mass
from lidclock.domain.moments import say_moment
from lidclock.domain.phrases import boxed, told_of, with_commas
from lidclock.domain.readings import (
    USUAL_C,
    doubt_about,
    refuse_outside,
)
from lidclock.domain.sentences import Sentence, sentence
from lidclock.domain.snapshots import Snapshot
from lidclock.domain.texts import one_line
from lidclock.errors import InputError, OddFactError, RefusedError

_FROZEN, _COOLED = sentence("frozen"), sentence("cooled")
_OVER, _UNKNOWN = sentence("over"), sentence("unknown")
_MARKED_LATE = sentence("marked late")


@dataclass(frozen=True, slots=True)
class Done:
    """What was recorded, in a word, and how the container stands now."""

    did: str
    view: View
    act: str = ""


def place(
    unit: Unit,
    typed: str,
    where: Place,
    *,
    at: datetime | None = None,
    temp_c: float | None = None,
    ready_at: datetime | None = None,
    anyway: bool = False,
) -> Done:
    """The container now sits in `where`; `ready_at` is when it should be thawed."""
    known = unit.find(typed)
    if not anyway:
        refuse_ended(known, "placed", revives=known.end_kind == "missing")
        refuse_odd_freezing(unit, known, where, at)
        refuse_second_thaw(unit, known, where)
    body: dict[str, Any] = {"place": where.name, "state": where.state}
    if temp_c is not None:
        body["temp_c"] = temp_c
    if ready_at is not None:
        body["ready_at"] = _after(ready_at, at or unit.session.now).isoformat()
    did: str = sentence("in {place}", place=where.name)
    if where.state == "freezer":
        did = _late(_FROZEN, unit, known, at)
    done = _done(unit, known, Fact("placed", known.code, body, at), did)
    if done.view.container.is_live and done.view.container.place != where.name:
        now_in = done.view.container.place
        did = sentence("{did} then, in {place} since", did=did, place=now_in)
        return Done(did, done.view, done.act)
    return done


def freeze(
    unit: Unit, typed: str, *, at: datetime | None = None, anyway: bool = False
) -> Done:
    """Into the kitchen's first freezer."""
    where = unit.session.place_in_state("freezer")
    return place(unit, typed, where, at=at, anyway=anyway)


def thaw(
    unit: Unit,
    typed: str,
    *,
    where: Place | None = None,
    at: datetime | None = None,
    ready_at: datetime | None = None,
    anyway: bool = False,
) -> Done:
    """Out of the freezer, into the first fridge unless `where` says otherwise.

    `ready_at` is when its cook expects it to be thawed; it moves no limit.
    """
    known = unit.find(typed)
    if known.state != "freezer":
        raise RefusedError(
            sentence(
                "{lid} is not in a freezer, so it cannot be taken out to thaw; it is "
                "in {place}",
                lid=lid_words(known),
                place=known.place or sentence("no recorded place"),
            )
        )
    target = where or unit.session.place_in_state("fridge")
    done = place(unit, typed, target, at=at, ready_at=ready_at, anyway=anyway)
    did = sentence("taken out to thaw in {place}", place=target.name)
    if ready_at is not None:
        did = sentence(
            "taken out to thaw in {place}, ready {when}",
            place=target.name,
            when=say_moment(ready_at, unit.session.kitchen.zone),
        )
    return Done(did, done.view, done.act)


def open_container(
    unit: Unit, typed: str, *, at: datetime | None = None, anyway: bool = False
) -> Done:
    """Its lid was opened; it will be used before its unopened twins."""
    known = unit.find(typed)
    if not anyway:
        refuse_ended(known, "opened")
        refuse_overdue(unit, known, at, "opened", "open")
    return _done(unit, known, Fact("opened", known.code, {}, at), sentence("opened"))


def use(
    unit: Unit, typed: str, *, at: datetime | None = None, anyway: bool = False
) -> Done:
    """All of it was used; a younger twin says first which one to take instead."""
    known = unit.find(typed)
    if not anyway:
        refuse_ended(known, "used")
        refuse_overdue(unit, known, at)
        refuse_younger_twin(unit, known)
    did = _late(sentence("used"), unit, known, at)
    return _done(unit, known, Fact("used", known.code, {}, at), did)


def discard(
    unit: Unit,
    typed: str,
    reason: str,
    *,
    at: datetime | None = None,
    anyway: bool = False,
) -> Done:
    """Thrown away, and why."""
    known = unit.find(typed)
    if not anyway:
        refuse_ended(known, "discarded")
    body = {"reason": one_line(reason, "the reason") or "not said"}
    did: str = sentence("discarded ({reason})", reason=reason_words(body["reason"]))
    if known.mass_g:
        did = with_commas([did, say_mass(known.mass_g)])
    return _done(unit, known, Fact("discarded", known.code, body, at), did)


def give(
    unit: Unit,
    typed: str,
    to: str,
    *,
    at: datetime | None = None,
    anyway: bool = False,
) -> Done:
    """Handed on; past its last moment it may not be, whenever it is written down."""
    known = unit.find(typed)
    if not anyway:
        refuse_ended(known, "given")
    verdict = unit.view(known.code).verdict
    is_late = is_marked_late(unit, known, at)
    if verdict.status == "unknown" or (verdict.status == "over" and not is_late):
        status = _OVER if verdict.status == "over" else _UNKNOWN
        raise RefusedError(
            sentence(
                "{lid} is {status}: it may not be handed on; discard it, or record "
                "what is missing",
                lid=lid_words(known),
                status=status,
            )
        )
    fact = Fact("given", known.code, {"to": one_line(to, "who takes it")}, at)
    return _done(unit, known, fact, _late(sentence("handed on"), unit, known, at))


def take(
    unit: Unit,
    typed: str,
    mass_g: float,
    *,
    at: datetime | None = None,
    anyway: bool = False,
) -> Done:
    """Part of it was used."""
    known, mass_g = unit.find(typed), checked_mass(mass_g)
    if not anyway:
        refuse_ended(known, "used")
        refuse_overdue(unit, known, at)
    if known.mass_g is None:
        fact = sentence(
            "nobody recorded how much {code} holds", code=spaced(known.code)
        )
        how = f"give it with `lidclock correct {known.code} --mass ...` first"
        raise RefusedError(f"{fact}; {how}", fact)
    if mass_g > known.mass_g:
        raise InputError(
            sentence(
                "{code} holds {mass}, not {wanted}; take less, or correct its mass",
                code=spaced(known.code),
                mass=say_mass(known.mass_g),
                wanted=say_mass(mass_g),
            )
        )
    did = _late(sentence("{mass} taken", mass=say_mass(mass_g)), unit, known, at)
    return _done(unit, known, Fact("taken", known.code, {"mass_g": mass_g}, at), did)


def cooled(
    unit: Unit,
    typed: str,
    *,
    at: datetime | None = None,
    temp_c: float | None = None,
    anyway: bool = False,
) -> Done:
    """Cooling was finished and measured."""
    known = unit.find(typed)
    if not anyway:
        refuse_ended(known, "cooled")
    return _done(unit, known, Fact("cooled", known.code, _temp(temp_c), at), _COOLED)


def measured(
    unit: Unit,
    typed: str,
    temp_c: float,
    *,
    at: datetime | None = None,
    anyway: bool = False,
) -> Done:
    """The food in it was measured; warm, it counts as warm for as long as unknown."""
    known = unit.find(typed)
    refuse_outside(temp_c)
    if not anyway:
        refuse_ended(known, "measured")
        doubt = doubt_about(temp_c, known.state) if known.state in USUAL_C else ""
        if doubt:
            raise OddFactError(told_of(f"{spaced(known.code)} ({known.food})", doubt))
    fact = Fact("measured", known.code, {"temp_c": temp_c}, at)
    return _done(unit, known, fact, f"measured {temp_c:g} °C")


def reheated(
    unit: Unit,
    typed: str,
    *,
    at: datetime | None = None,
    temp_c: float | None = None,
    anyway: bool = False,
) -> Done:
    """Reheated: the counter time starts again, the days go on."""
    known = unit.find(typed)
    if not anyway:
        refuse_ended(known, "reheated")
    fact = Fact("reheated", known.code, _temp(temp_c), at)
    return _done(unit, known, fact, sentence("reheated"))


def missing(unit: Unit, typed: str, *, at: datetime | None = None) -> Done:
    """Looked for and not seen; placing or finding it again brings it back."""
    known = unit.find(typed)
    if not known.is_live:
        raise RefusedError(
            sentence("{ended}: there is nothing to miss", ended=already_ended(known))
        )
    return _done(unit, known, Fact("missing", known.code, {}, at), sentence("missing"))


def _late(did: Sentence, unit: Unit, known: Snapshot, at: datetime | None) -> Sentence:
    """The same, told to be late where it was done in time and is written down later."""
    return boxed(did, _MARKED_LATE) if is_marked_late(unit, known, at) else did


def _after(ready_at: datetime, taken_at: datetime) -> datetime:
    if ready_at <= taken_at:
        raise InputError(
            sentence("it cannot be thawed before it was taken out; give a later time")
        )
    return ready_at


def _temp(temp_c: float | None) -> dict[str, Any]:
    return {} if temp_c is None else {"temp_c": temp_c}


def _done(unit: Unit, known: Snapshot, fact: Fact, did: str) -> Done:
    when = unit.session.checked_past(fact.at, "time")
    if fact.at is not None:
        refuse_before_making(unit, known, when)
    events = unit.record([fact])
    return Done(did, unit.view(known.code), events[0].act)
