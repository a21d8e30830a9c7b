"""Proposals for what ends and cannot be frozen: hand it on, or use it here."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from hashlib import blake2b

from lidclock.app.card_facts import Facts
from lidclock.app.handing_on import why_not_hand_on
from lidclock.domain.sentences import quoted, sentence
from lidclock.plan.proposal import HAND_ON, USE, Loss, Picked, Proposal
from lidclock.plan.surplus import Risk


def give_or_use(facts: Facts, food: str, group: Sequence[Risk]) -> Iterator[Proposal]:
    """Hand on what the slip lets pass; use by its hour what it refuses."""
    refused = {one.lot.code: why_not_give(facts, one.lot.code) for one in group}
    given = [one for one in group if not refused[one.lot.code]]
    if given:
        yield _hand_on(facts, food, given)
    kept = [one for one in group if refused[one.lot.code]]
    if kept:
        whys = dict.fromkeys(refused[one.lot.code] for one in kept)
        yield _use(facts, food, kept, list(whys))


def why_not_give(facts: Facts, code: str) -> str:
    """What the slip says against handing it on; nothing where it may be."""
    view = facts.unit.view(code)
    return why_not_hand_on(facts.session, facts.live[code], view)


def _hand_on(facts: Facts, food: str, group: Sequence[Risk]) -> Proposal:
    return _proposal(
        *(HAND_ON, "hand-on", facts, food, group),
        says=sentence("hand on {names}", names=_names(facts, group)),
        why=[
            _last_day(facts, _ends(group)),
            _why_not_freeze(facts, group[0].lot.code),
            sentence("if it is eaten here, say so on its lid"),
        ],
    )


def _use(
    facts: Facts, food: str, group: Sequence[Risk], whys: Sequence[str]
) -> Proposal:
    return _proposal(
        *(USE, "use-here", facts, food, group),
        says=sentence("use {names}", names=_names(facts, group)),
        why=[
            _last_day(facts, _ends(group)),
            *(sentence("not to be handed on: {why}", why=why) for why in whys),
            _why_not_freeze(facts, group[0].lot.code),
        ],
    )


def _proposal(
    kind: str,
    head: str,
    facts: Facts,
    food: str,
    group: Sequence[Risk],
    *,
    says: str,
    why: Sequence[str],
) -> Proposal:
    """What is proposed of a whole group, before the first of it ends."""
    return Proposal(
        kind=kind,
        key=_key(head, facts, food, group),
        says=says,
        before=_ends(group),
        picks=_picks(group),
        loss=_loss(facts, food, group),
        why=tuple(why),
    )


def _ends(group: Sequence[Risk]) -> datetime:
    return min(one.lot.last_moment for one in group if one.lot.last_moment)


def _names(facts: Facts, group: Sequence[Risk]) -> str:
    return facts.names(one.lot.code for one in group)


def _picks(group: Sequence[Risk]) -> tuple[Picked, ...]:
    return tuple(Picked(one.lot.code, one.lot.portions) for one in group)


def _loss(facts: Facts, food: str, group: Sequence[Risk]) -> Loss:
    lost = math.fsum(one.lost for one in group)
    return Loss(lost, facts.choices.worth_of(food) * lost)


def _last_day(facts: Facts, ends: datetime) -> str:
    return sentence("last day: {day}", day=facts.day(ends - timedelta(microseconds=1)))


def _key(head: str, facts: Facts, food: str, group: Sequence[Risk]) -> str:
    """Other containers make another proposal: a yes gives only what was shown."""
    codes = " ".join(sorted(one.lot.code for one in group))
    day = facts.last_day(_ends(group)).isoformat()
    return f"{head}/{food}/{day}/{blake2b(codes.encode(), digest_size=6).hexdigest()}"


def _why_not_freeze(facts: Facts, code: str) -> str:
    verdict = facts.unit.view(code).verdict
    badly = verdict.plan.freezes_badly
    if badly is not None:
        return sentence("not for the freezer: {why}", why=quoted(badly.says))
    if verdict.status == "last-day":
        return sentence("too late to freeze: no day would be left after thawing")
    return sentence("freezing is not open to it")
