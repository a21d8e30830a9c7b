"""The card: what to do next, for one moment."""

from __future__ import annotations

from collections.abc import Iterator

from lidclock.app.card_checks import checks
from lidclock.app.card_demand import Expected
from lidclock.app.card_facts import Facts, facts_of
from lidclock.app.card_meals import meal_proposals
from lidclock.app.card_surplus import surplus_proposals
from lidclock.app.session import Session, Unit
from lidclock.domain.planning import ACCEPTED
from lidclock.plan.card import LAPSES, Card, arrange, is_agreed
from lidclock.plan.proposal import TAKE_OUT, USE, Proposal, proposal_from
from lidclock.store.cards import Cards


def today(session: Session, *, every: bool = False) -> tuple[Card, Facts]:
    """The card at this moment; its numbers are kept for what is said to it.

    With `every` also what did not fit bears a number.
    """
    with session.write() as unit:
        card, facts = card_of(unit)
        shown = [(one.key, one.says) for one in numbered(card, every=every)]
        Cards(unit.connection, session.kitchen.id).put(
            session.device, session.now, shown
        )
        return card, facts


def look(session: Session) -> tuple[Card, Facts]:
    """The card at this moment for who names proposals by key; nothing is recorded.

    So nobody who records waits for those who look.
    """
    with session.read() as unit:
        return card_of(unit)


def numbered(card: Card, *, every: bool = False) -> list[Proposal]:
    """What bears a number, from 1: what is shown, then what was agreed."""
    more = card.more if every else ()
    return [*card.shown, *more, *card.agreed]


def card_of(unit: Unit) -> tuple[Card, Facts]:
    """The card, and what it is made of; nothing is recorded."""
    facts = facts_of(unit)
    found = {one.key: one for one in undone(facts)}
    for one in proposals(facts):
        found.setdefault(one.key, one)
    card = arrange(
        found.values(),
        facts.answers,
        facts.hours,
        facts.now,
        facts.choices.most_shown,
    )
    return card, facts


def proposals(facts: Facts) -> Iterator[Proposal]:
    """Every proposal that the facts call for, in no order."""
    expected = Expected(facts)
    yield from checks(facts)
    yield from meal_proposals(facts)
    yield from surplus_proposals(facts, expected)


def undone(facts: Facts) -> Iterator[Proposal]:
    """What somebody said would be done, whose hour has come or will, and is not done.

    A meal that has begun is not planned any more: was it eaten?
    """
    for answer in facts.answers.values():
        if answer.answer != ACCEPTED or not answer.proposal:
            continue
        one = proposal_from(answer.proposal)
        if not is_agreed(one, answer) or one.at is None or one.at + LAPSES < facts.now:
            continue
        if _is_undone(facts, one):
            yield one


def _is_undone(facts: Facts, one: Proposal) -> bool:
    known = [facts.live[code] for code in one.codes if code in facts.live]
    if one.kind == TAKE_OUT:
        return any(x.place.casefold() != one.to.casefold() for x in known)
    return one.kind == USE and bool(known)
