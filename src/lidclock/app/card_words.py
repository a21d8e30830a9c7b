"""What a card says of its proposals, in the words of every screen."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from lidclock.app.history_words import event_words
from lidclock.app.verdict_words import plural, say_when
from lidclock.domain.planning import ANSWER_SUBJECT
from lidclock.plan.proposal import TAKE_OUT

if TYPE_CHECKING:
    from lidclock.app.card_facts import Facts
    from lidclock.app.session import Unit
    from lidclock.domain.events import Event
    from lidclock.plan.card import Card
    from lidclock.plan.proposal import Proposal

_LATER = (1, 3, 6, 24)


def step_lines(one: Proposal, facts: Facts) -> Iterator[str]:
    """What is done on the way; what goes together is one line."""
    together: dict[tuple[datetime, str, datetime | None], list[str]] = {}
    for step in one.steps:
        key = (step.at, step.to, step.ready_at)
        together.setdefault(key, []).append(step.code)
    for (at, to, ready_at), codes in together.items():
        words = [f"ready {hour_words(ready_at, facts)}"] if ready_at else []
        if one.kind != TAKE_OUT:  # whose own first line says it
            words.insert(
                0, f"{hour_words(at, facts)}  take {facts.names(codes)} out to {to}"
            )
        if words:
            yield ", ".join(words)


def loss_words(one: Proposal, facts: Facts) -> str:
    """`at stake: 2 portions, EUR 6.00`; nothing where harm is the reason."""
    if one.loss.is_harm or one.loss.portions <= 0:
        return ""
    portions = f"{one.loss.portions:.1f}".removesuffix(".0")
    noun = "portion" if portions == "1" else "portions"
    money = facts.choices.money
    worth = f", {money} {one.loss.money:.2f}" if money else ""
    return f"at stake: {portions} {noun}{worth}"


def hour_words(at: datetime | None, facts: Facts) -> str:
    """`18:30` today, `Thu 5 Nov 18:30` else; nothing without an hour."""
    if at is None:
        return ""
    local = at.astimezone(facts.zone)
    is_today = local.date() == facts.today
    return f"{local:%H:%M}" if is_today else say_when(at, facts.zone)


def pick_rows(one: Proposal, facts: Facts) -> list[tuple[str, str, str, str]]:
    """Code, name, place and share of each container that is still there."""
    return [
        (
            pick.code,
            facts.names([pick.code]),
            facts.live[pick.code].place,
            "" if pick.is_whole else plural(pick.portions, "portion"),
        )
        for pick in one.picks
        if pick.code in facts.live
    ]


def later_hours(card: Card, facts: Facts) -> list[tuple[datetime, str]]:
    """Hours to put a proposal off to: some hours from now, and the next card."""
    hours = [facts.now + timedelta(hours=hours) for hours in _LATER]
    found = sorted({card.next_at, *hours})
    return [(at, hour_words(at, facts)) for at in found]


def told_of_act(unit: Unit, act: str) -> str:
    """What an answer recorded, while it stands: `accepted: use up: stew box 1`."""
    events = unit.ledger.standing(unit.ledger.act(act)) if act else []
    answers = [one for one in events if one.subject.startswith(ANSWER_SUBJECT)]
    return "; ".join(dict.fromkeys(map(_told, answers or events)))


def _told(event: Event) -> str:
    if not event.subject.startswith(ANSWER_SUBJECT):
        return event_words(event)
    return f"{event.body['answer']}: {event.body['proposal']['says']}"
