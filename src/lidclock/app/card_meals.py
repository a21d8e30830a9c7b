"""Proposals for meals: which container, what to take out, what is short."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from lidclock.app.card_facts import MOST_NAMED, Facts, called, when, whole
from lidclock.app.card_takeouts import take_outs, temper_steps
from lidclock.domain.planning import Meal, Occurrence
from lidclock.domain.sentences import figure, sentence
from lidclock.plan.allot import Serving, Share
from lidclock.plan.proposal import MAKE, USE, Loss, Proposal


def meal_proposals(facts: Facts) -> Iterator[Proposal]:
    """What each meal needs before the next card, and what is short for all of them."""
    before = facts.hours[1]
    servings = _servings(facts)
    yield from take_outs(facts, before)
    for one in facts.occurrences:
        if one.at < before:
            shares = [share for x in servings.get(one.key, ()) for share in x.shares]
            cold = [share for share in shares if not facts.is_frozen(share.lot)]
            yield from _use(facts, one, cold)
    yield from _short(facts)


def _servings(facts: Facts) -> dict[str, list[Serving]]:
    """What each meal gets, by its key."""
    found: dict[str, list[Serving]] = defaultdict(list)
    for serving in facts.allotment.servings:
        found[serving.need.key].append(serving)
    return found


def _use(facts: Facts, one: Occurrence, shares: Sequence[Share]) -> Iterator[Proposal]:
    if not shares:
        return
    steps, reasons = temper_steps(facts, one.at, [share.lot for share in shares])
    ends = min(share.lot.last_moment or facts.hours[1] for share in shares)
    portions = sum(share.portions for share in shares)
    yield Proposal(
        kind=USE,
        key=f"use/{one.key}",
        says=_says(facts, one.meal, shares),
        at=one.at,
        before=ends,
        picks=tuple(whole(share.lot, share.portions) for share in shares),
        steps=steps,
        meal=one.key,
        loss=Loss(portions, _at_stake(facts, shares)),
        why=(*_reasons(facts, shares), *reasons),
    )


def _says(facts: Facts, meal: Meal, shares: Sequence[Share]) -> str:
    """What to use, and for which meal, unless that is only what is used."""
    names = facts.names(share.lot.code for share in shares)
    used = {share.lot.food for share in shares}
    if not meal.name and {item.food.casefold() for item in meal.items} <= used:
        return sentence("use {names}", names=names)
    return sentence("use {names} for {meal}", names=names, meal=called(meal))


def _at_stake(facts: Facts, shares: Sequence[Share]) -> float:
    """The worth of what may end unused, shared over the cards still to come.

    What this card is the last to save counts whole, what two can save half.
    """
    total = 0.0
    for share in shares:
        ends = share.lot.last_moment or facts.hours[1]
        cards = max(1, (ends - facts.now) / (facts.hours[1] - facts.hours[0]))
        total += facts.choices.worth_of(share.lot.food) * share.portions / cards
    return total


def _reasons(facts: Facts, shares: Sequence[Share]) -> Iterator[str]:
    """Why these: what ends first, and what is open."""
    for share in shares:
        one = facts.live[share.lot.code]
        names = facts.names([one.code])
        rivals = [x for x in facts.cold[share.lot.food] if x.code != share.lot.code]
        if one.last_moment is not None and one.last_day is not None:
            ends = facts.last_day(one.last_moment)
            if ends == facts.today:
                yield sentence("{names} is on its last day", names=names)
            elif any(x.last_moment != one.last_moment for x in rivals):
                yield sentence("{names} is the one that ends first", names=names)
        if one.opened_at is not None and rivals:
            yield sentence("{names} is open already", names=names)


def _short(facts: Facts) -> Iterator[Proposal]:
    """One for each food: how many to make, and for which meals."""
    meals = {one.key: one.meal for one in facts.occurrences}
    groups: dict[str, list[Serving]] = defaultdict(list)
    for serving in facts.allotment.servings:
        if serving.short:
            groups[serving.need.food].append(serving)
    for food, group in groups.items():
        first = min(group, key=lambda serving: serving.need.at).need
        lacks = sum(serving.short for serving in group)
        cost = facts.choices.short_of(food)
        worth = facts.choices.worth_of(food) if cost is None else cost
        yield Proposal(
            kind=MAKE,
            key=f"make/{food}/{first.key}",
            says=sentence(
                "make {count} x {food}", count=figure(lacks), food=facts.name(food)
            ),
            before=first.at,
            wants=((food, lacks),),
            loss=Loss(lacks, worth * lacks),
            why=tuple(
                _lack(facts, meals[one.need.key], one) for one in group[:MOST_NAMED]
            ),
        )


def _lack(facts: Facts, meal: Meal, one: Serving) -> str:
    return sentence(
        "{meal} {when} is short of {missing} of {wanted}",
        meal=called(meal),
        when=when(facts, one.need.at),
        missing=figure(one.short),
        wanted=figure(one.need.portions),
    )
