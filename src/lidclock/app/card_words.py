"""What a card says of its proposals, in the words of every screen."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from lidclock.app.history_words import event_words
from lidclock.domain.moments import say_short_day
from lidclock.domain.phrases import with_semicolons
from lidclock.domain.planning import ACCEPTED, ANSWER_SUBJECT, DECLINED, PUT_OFF
from lidclock.domain.sentences import (
    Figure,
    joined,
    quoted,
    sentence,
    sentences,
    typed,
)
from lidclock.plan.proposal import CHECK, TAKE_OUT, proposal_from

if TYPE_CHECKING:
    from lidclock.app.card_facts import Facts
    from lidclock.app.session import Unit
    from lidclock.domain.events import Event
    from lidclock.plan.card import Card
    from lidclock.plan.proposal import Proposal

_LATER = (1, 3, 6, 24)
# Languages count 2.4 portions as they count a hundred.
_PARTS = 100


def step_lines(one: Proposal, facts: Facts) -> Iterator[str]:
    """What is done on the way; what goes together is one line."""
    together: dict[tuple[datetime, str, datetime | None], list[str]] = {}
    for step in one.steps:
        key = (step.at, step.to, step.ready_at)
        together.setdefault(key, []).append(step.code)
    for (at, to, ready_at), codes in together.items():
        ready = hour_words(ready_at, facts)
        if one.kind == TAKE_OUT:  # whose own first line says the rest
            if ready:
                yield sentence("ready {hour}", hour=ready)
            continue
        hour, names = hour_words(at, facts), facts.names(codes)
        known = {"hour": hour, "names": names, "place": to}
        if ready:
            yield sentence(
                "{hour}  take {names} out to {place}, ready {ready}",
                ready=ready,
                **known,
            )
        else:
            yield sentence("{hour}  take {names} out to {place}", **known)


def overtaken_words(one: Proposal, facts: Facts) -> Iterator[str]:
    """What was agreed for an hour at which a container of it is over, or unknown.

    The facts changed after somebody said yes: it keeps its words, and this is added.
    """
    if one.at is None:
        return
    known = [facts.live[code] for code in one.codes if code in facts.live]
    over: dict[datetime, list[str]] = {}
    for x in known:
        if x.last_moment is not None and x.last_moment <= one.at:
            over.setdefault(x.last_moment, []).append(x.code)
    for at, codes in sorted(over.items()):
        hour, names = hour_words(at, facts), facts.names(codes)
        yield sentence("over by then, at {hour}: {names}", hour=hour, names=names)
    silent = facts.session.silent
    unknown = [
        x.code for x in known if x.standing == "unknown" or x.place.casefold() in silent
    ]
    if unknown:
        yield sentence("unknown by now: {names}", names=facts.names(unknown))


def loss_words(one: Proposal, facts: Facts) -> str:
    """`at stake: 2 portions, EUR 6.00`; nothing where harm is the reason."""
    if one.loss.is_harm or one.loss.portions <= 0:
        return ""
    portions = Figure(f"{one.loss.portions:.1f}".removesuffix(".0"))
    number = int(portions) if portions.isdecimal() else _PARTS
    if not facts.choices.money:
        return sentences(
            "at stake: {count} portion",
            "at stake: {count} portions",
            number,
            count=portions,
        )
    return sentences(
        "at stake: {count} portion, {money} {worth}",
        "at stake: {count} portions, {money} {worth}",
        number,
        count=portions,
        money=facts.choices.money,
        worth=Figure(f"{one.loss.money:.2f}"),
    )


def hour_words(at: datetime | None, facts: Facts) -> str:
    """`18:30` today, `Thu 5 Nov 18:30` else; nothing without an hour."""
    if at is None:
        return ""
    local = at.astimezone(facts.zone)
    clock = f"{local:%H:%M}"
    if local.date() == facts.today:
        return typed(clock)
    return joined("{day} {clock}", day=say_short_day(local.date()), clock=clock)


def pick_rows(one: Proposal, facts: Facts) -> list[tuple[str, str, str, str]]:
    """Code, name, place and share of each container that is still there."""
    return [
        (
            pick.code,
            facts.names([pick.code]),
            facts.live[pick.code].place,
            "" if pick.is_whole else portion_words(pick.portions),
        )
        for pick in one.picks
        if pick.code in facts.live
    ]


def portion_words(count: int) -> str:
    """`1 portion`, `2 portions`."""
    return sentences("{count} portion", "{count} portions", count)


def later_hours(card: Card, facts: Facts) -> list[tuple[datetime, str]]:
    """Hours to put a proposal off to: some hours from now, and the next card."""
    hours = [facts.now + timedelta(hours=hours) for hours in _LATER]
    found = sorted({card.next_at, *hours})
    return [(at, hour_words(at, facts)) for at in found]


def told_of_act(unit: Unit, act: str) -> str:
    """What an answer recorded, while it stands: `accepted: use up: stew box 1`."""
    events = unit.ledger.standing(unit.ledger.act(act)) if act else []
    answers = [one for one in events if one.subject.startswith(ANSWER_SUBJECT)]
    told = list(dict.fromkeys(map(_told, answers or events)))
    return told[0] if len(told) == 1 else with_semicolons(list(map(quoted, told)))


def _told(event: Event) -> str:
    if not event.subject.startswith(ANSWER_SUBJECT):
        return event_words(event)
    kept = event.body.get("proposal")
    one = proposal_from(kept) if kept else None
    what, answer = one.says if one else event.body["key"], event.body["answer"]
    if answer == ACCEPTED and one is not None and one.kind == CHECK:
        return sentence("seen to: {what}", what=what)
    return _SAID[answer](what)


_SAID: dict[str, Callable[[str], str]] = {
    ACCEPTED: lambda what: sentence("accepted: {what}", what=what),
    DECLINED: lambda what: sentence("declined: {what}", what=what),
    PUT_OFF: lambda what: sentence("put off: {what}", what=what),
}
