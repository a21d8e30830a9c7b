"""What is said to a proposal: accepted, declined, put off; each can be taken back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from lidclock.app import moves
from lidclock.app.card_checks import PAST
from lidclock.app.card_facts import Facts
from lidclock.app.now import new_ids
from lidclock.app.session import Fact, Session, Unit
from lidclock.app.today import card_of
from lidclock.domain.moments import local_date
from lidclock.domain.planning import (
    ACCEPTED,
    ANSWER_SUBJECT,
    DECLINED,
    MEAL_SUBJECT,
    PUT_OFF,
    Item,
    Meal,
    Occurrence,
)
from lidclock.domain.sentences import figure, sentence
from lidclock.errors import InputError, RefusedError
from lidclock.plan.card import QUIET, SOON, Card
from lidclock.plan.proposal import (
    CHECK,
    DISCARD,
    FREEZE,
    HAND_ON,
    MAKE,
    TAKE_OUT,
    USE,
    USE_UP,
    Picked,
    Proposal,
)
from lidclock.store.cards import Cards

# Numbers of a card older than this mean nothing any more.
_STALE = timedelta(hours=24)
LONGEST_REASON = 200


@dataclass(frozen=True, slots=True)
class Said:
    """What came of an answer: things done now, and what was agreed for later."""

    proposal: Proposal
    answer: str
    done: tuple[moves.Done, ...] = ()
    agreed: tuple[Proposal, ...] = ()
    until: datetime | None = None
    act: str = ""


def accept(
    session: Session,
    which: int | str,
    *,
    at: datetime | None = None,
    to: str = "",
    is_done: bool = False,
    anyway: bool = False,
) -> Said:
    """Do what a proposal says, or agree to it for its hour.

    `which` is its number on the last card, or its key. What is half an hour off or
    less is done now, and so is all of it with `is_done`; `at` says when it was done.
    `to` names who takes what is handed on. All of it is one act. Errors as for doing it
    by hand; nothing is recorded then.
    """
    session.checked_past(at, "time")
    with session.write() as unit, unit.one_act():
        one, facts = _proposal(unit, which)
        deed = _Deed(unit, facts, one, at, to, anyway)
        if is_done or at is not None or _is_due(one, session.now):
            done = tuple(_DO[one.kind](deed))
            agreed: Sequence[Proposal] = ()
        else:
            done, agreed = (), _agreed(deed)
        answers = [*agreed] if agreed else [one]
        recorded = unit.record([_fact(session, x, ACCEPTED) for x in answers])
        if agreed and one.key not in {x.key for x in agreed}:
            unit.record([_fact(session, one, ACCEPTED)])
        return Said(one, ACCEPTED, done, tuple(agreed), act=recorded[0].act)


def decline(session: Session, which: int | str, reason: str = "") -> Said:
    """Do not do what a proposal says, by number or key.

    It does not come back, but for what may harm: that is said again at the next card.
    """
    with session.write() as unit:
        one, _ = _proposal(unit, which)
        fact = _fact(session, one, DECLINED, reason=_line(reason))
        (recorded,) = unit.record([fact])
    return Said(one, DECLINED, act=recorded.act)


def put_off(session: Session, which: int | str, until: datetime | None = None) -> Said:
    """Do not show a proposal before `until`, or before the next card.

    `which` is its number or its key. It stays away for an hour at least.
    """
    with session.write() as unit:
        one, facts = _proposal(unit, which)
        then = facts.hours[1] if until is None else until
        if then <= session.now:
            raise InputError(sentence("put it off to a time that is still to come"))
        then = max(then, session.now + QUIET)
        body = {"until": then.isoformat()}
        (recorded,) = unit.record([_fact(session, one, PUT_OFF, **body)])
    return Said(one, PUT_OFF, until=then, act=recorded.act)


def _proposal(unit: Unit, which: int | str) -> tuple[Proposal, Facts]:
    """The proposal of that number or key, as it is now."""
    key, was = (which, "that") if isinstance(which, str) else _shown(unit, which)
    card, facts = card_of(unit)
    for one in _all(card):
        if one.key == key:
            return one, facts
    fact = sentence("that is no longer so: look at the card again")
    raise RefusedError(f"{was} is no longer so: see `lidclock today`", fact)


def _shown(unit: Unit, number: int) -> tuple[str, str]:
    """What bore `number` on the card that this device showed last: key and words."""
    session = unit.session
    shown = Cards(unit.connection, session.kitchen.id).get(session.device)
    if shown is None:
        raise RefusedError("no card was shown here yet: see `lidclock today` first")
    shown_at, lines = shown
    if session.now - shown_at > _STALE:
        raise RefusedError("the last card is a day old: see `lidclock today` first")
    if not 1 <= number <= len(lines):
        last = f"1 to {len(lines)}" if lines else "none"
        raise InputError(f"the card has no number {number}; there are {last}")
    key, says = lines[number - 1]
    return key, f"{number} was {says!r}, and that"


def _all(card: Card) -> list[Proposal]:
    groups = (card.shown, card.more, card.agreed, card.put_off, card.declined)
    return [one for group in groups for one in group]


def _is_due(one: Proposal, now: datetime) -> bool:
    starts = [one.at, *(step.at for step in one.steps)]
    first = min((at for at in starts if at is not None), default=None)
    return first is None or first <= now + SOON


@dataclass(frozen=True, slots=True)
class _Deed:
    """One proposal that somebody does."""

    unit: Unit
    facts: Facts
    one: Proposal
    at: datetime | None
    to: str
    anyway: bool


def _use(deed: _Deed) -> list[moves.Done]:
    """Each container, whole or so many of its portions; gone ones are passed over."""
    done = []
    for pick in deed.one.picks:
        if pick.code in deed.facts.live:
            done.append(_use_one(deed, pick))
    return done


def _use_one(deed: _Deed, pick: Picked) -> moves.Done:
    known = deed.facts.live[pick.code]
    food = deed.facts.foods.get(known.food.casefold())
    portion_g = food.portion_g if food else None
    if pick.is_whole or portion_g is None or known.mass_g is None:
        return moves.use(deed.unit, pick.code, at=deed.at, anyway=deed.anyway)
    mass_g = min(known.mass_g, pick.portions * portion_g)
    return moves.take(deed.unit, pick.code, mass_g, at=deed.at, anyway=deed.anyway)


def _freeze(deed: _Deed) -> list[moves.Done]:
    return [
        moves.freeze(deed.unit, pick.code, at=deed.at, anyway=deed.anyway)
        for pick in deed.one.picks
    ]


def _take_out(deed: _Deed) -> list[moves.Done]:
    where = deed.unit.session.place(deed.one.to)
    return [
        moves.place(
            deed.unit,
            step.code,
            where,
            at=deed.at,
            ready_at=step.ready_at,
            anyway=deed.anyway,
        )
        for step in deed.one.steps
    ]


def _discard(deed: _Deed) -> list[moves.Done]:
    return [
        moves.discard(deed.unit, pick.code, PAST, at=deed.at, anyway=deed.anyway)
        for pick in deed.one.picks
    ]


def _hand_on(deed: _Deed) -> list[moves.Done]:
    if not deed.to.strip():
        raise InputError("say who takes it: --to NAME", sentence("say who takes it"))
    return [
        moves.give(deed.unit, pick.code, _line(deed.to), at=deed.at)
        for pick in deed.one.picks
    ]


def _nothing(_: _Deed) -> list[moves.Done]:
    """To look at something, or to make it, is recorded where it is done."""
    return []


_DO: dict[str, Callable[[_Deed], Sequence[moves.Done]]] = {
    USE: _use,
    USE_UP: _use,
    FREEZE: _freeze,
    TAKE_OUT: _take_out,
    DISCARD: _discard,
    HAND_ON: _hand_on,
    CHECK: _nothing,
    MAKE: _nothing,
}


def _agreed(deed: _Deed) -> list[Proposal]:
    """What is to do later: the meal itself, and each step on the way to it."""
    one = deed.one
    if one.kind == USE_UP:
        one = _planned(deed)
    steps = [
        Proposal(
            kind=TAKE_OUT,
            key=f"take-out/{one.meal}/{step.code}",
            says=sentence(
                "take {names} out to {place}",
                names=deed.facts.names([step.code]),
                place=step.to,
            ),
            at=step.at,
            picks=(Picked(step.code),),
            steps=(step,),
            to=step.to,
            meal=one.meal,
        )
        for step in one.steps
        if one.kind != TAKE_OUT
    ]
    return [*steps, one if one.kind == TAKE_OUT else replace(one, steps=())]


def _planned(deed: _Deed) -> Proposal:
    """A meal that uses up, on the list of meals from now on, and what it eats."""
    one, session = deed.one, deed.unit.session
    assert one.at is not None
    begins = one.at.astimezone(session.kitchen.zone).replace(tzinfo=None)
    items = tuple(Item(deed.facts.name(food), n) for food, n in one.wants)
    (meal_id,) = new_ids(1)
    meal = Meal(meal_id, begins, session.kitchen.zone_name, items, one.meal)
    fact = Fact("noted", MEAL_SUBJECT + meal_id, {"meal": meal.as_dict()})
    deed.unit.record([fact])
    key = Occurrence(meal, one.at, begins.date()).key
    return replace(one, kind=USE, key=f"use/{key}", meal=key)


def _fact(session: Session, one: Proposal, answer: str, **more: Any) -> Fact:
    on = local_date(session.now, session.kitchen.zone)
    body = {"key": one.key, "answer": answer, "proposal": one.as_dict(), **more}
    return Fact("noted", f"{ANSWER_SUBJECT}{on.isoformat()}", body)


def _line(text: str) -> str:
    """One line of a reason or a name."""
    line = " ".join(text.split())
    if len(line) > LONGEST_REASON:
        most = figure(LONGEST_REASON)
        raise InputError(sentence("say it in {most} letters or fewer", most=most))
    return line
