"""Proposals for what will hardly be eaten in time: freeze, one meal, hand on."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, time, timedelta

from lidclock.app.card_demand import Expected
from lidclock.app.card_facts import Facts, whole
from lidclock.app.card_last_day import give_or_use, why_not_give
from lidclock.app.card_takeouts import temper_steps
from lidclock.app.freeze_words import freeze_words, odds_words, worth_words
from lidclock.app.meals import USING_UP, named
from lidclock.clock.verdict import Verdict
from lidclock.domain.phrases import told_of
from lidclock.domain.sentences import sentence
from lidclock.plan.lots import Lot
from lidclock.plan.proposal import FREEZE, USE_UP, Loss, Picked, Proposal
from lidclock.plan.surplus import Risk, risks
from lidclock.plan.use_up import Dish, UseUp, use_up

_HANDFUL = 4
# What ends later can wait: a week, our choice.
AT_RISK = timedelta(days=7)


@dataclass
class _Shelf:
    """What is at risk, by food: what can be frozen, and what has to be eaten."""

    risks: dict[str, tuple[Risk, ...]] = field(default_factory=dict)
    freezable: dict[str, list[Risk]] = field(default_factory=dict)
    stuck: dict[str, list[Risk]] = field(default_factory=dict)


def surplus_proposals(facts: Facts, expected: Expected) -> Iterator[Proposal]:
    """Freeze what can be frozen, eat what cannot, hand on what nobody will eat."""
    shelf = _shelf(facts, expected)
    meal_at = _use_up_at(facts)
    meal = _meal(facts, shelf, meal_at) if meal_at is not None else None
    eaten = {one.lot.code for one in meal.taken} if meal else set()
    beside = _beside(facts, shelf, eaten) if meal else []
    if meal is not None and meal_at is not None:
        yield _use_up(facts, meal, meal_at, beside)
    eaten |= {one.lot.code for one in beside}
    for food, group in shelf.freezable.items():
        left = [one for one in group if one.lot.code not in eaten]
        if left:
            yield _freeze(facts, food, left, shelf.risks[food], expected)
    for food, group in shelf.stuck.items():
        left = [one for one in group if one.lot.code not in eaten]
        if left and _is_pressing(facts, left):
            yield from give_or_use(facts, food, left)


def _shelf(facts: Facts, expected: Expected) -> _Shelf:
    shelf = _Shelf()
    kinds = _Kinds(facts)
    for food, every in facts.cold.items():
        lots = [lot for lot in every if _is_near(facts, lot)]
        found = risks(
            lots,
            lambda until, food=food: expected.demand(food, until),  # type: ignore[misc]
            facts.choices.worth_of(food),
            facts.choices.freezing_of(food),
        )
        shelf.risks[food] = found
        surplus = [one for one in found if one.is_surplus]
        if not expected.is_known(food):
            # Nobody knows how much is eaten: speak only while it can still be helped.
            surplus = [one for one in surplus if _is_last_chance(facts, one.lot)]
        for one in surplus:
            kind = shelf.freezable if kinds.may_freeze(one.lot) else shelf.stuck
            kind.setdefault(food, []).append(one)
    return shelf


def _is_near(facts: Facts, lot: Lot) -> bool:
    """Whether it ends so soon that something has to be done about it."""
    return lot.last_moment is not None and lot.last_moment <= facts.now + AT_RISK


class _Kinds:
    """What may be done with a container; twins that stand alike are asked once."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.has_freezer = any(x.state == "freezer" for x in facts.session.places)
        self._known: dict[tuple[object, ...], bool] = {}

    def may_freeze(self, lot: Lot) -> bool:
        """Whether guidance leaves freezing it open, and there is a freezer."""
        one = self.facts.live[lot.code]
        key = (one.batch_id or one.code, one.place, one.last_moment, one.opened_at)
        if key not in self._known:
            self._known[key] = self.has_freezer and "freeze" in self._verdict(lot).next
        return self._known[key]

    def _verdict(self, lot: Lot) -> Verdict:
        return self.facts.unit.view(lot.code).verdict


def _is_last_chance(facts: Facts, lot: Lot) -> bool:
    """Whether its last day begins before the next card: then it is too late to freeze.

    On its last day it is the last chance to eat it.
    """
    return lot.last_moment is not None and _begins(facts, lot) <= facts.hours[1]


def _begins(facts: Facts, lot: Lot) -> datetime:
    """The local midnight at which its last day begins."""
    assert lot.last_moment is not None
    day = facts.last_day(lot.last_moment)
    return datetime.combine(day, time(), tzinfo=facts.zone).astimezone(UTC)


def _freeze(
    facts: Facts,
    food: str,
    group: Sequence[Risk],
    every: Sequence[Risk],
    expected: Expected,
) -> Proposal:
    lots = [one.lot for one in group]
    codes = [lot.code for lot in lots]
    first = min(lots, key=lambda lot: _begins(facts, lot))
    frozen = sum(lot.portions for lot in lots)
    stay = sum(one.lot.portions for one in every if one.lot.code not in codes)
    lost = math.fsum(one.lost for one in group)
    return Proposal(
        kind=FREEZE,
        key=f"freeze/{food}/{_begins(facts, first).date().isoformat()}",
        says=freeze_words(facts, stay, frozen, facts.names(codes)),
        before=_begins(facts, first),
        picks=tuple(Picked(lot.code, lot.portions) for lot in lots),
        to=facts.session.place_in_state("freezer").name,
        loss=Loss(lost, facts.choices.worth_of(food) * lost),
        why=tuple(_freeze_reasons(facts, food, group, every, expected)),
    )


def _freeze_reasons(
    facts: Facts,
    food: str,
    group: Sequence[Risk],
    every: Sequence[Risk],
    expected: Expected,
) -> Iterator[str]:
    until = max(one.lot.last_moment for one in group if one.lot.last_moment)
    yield expected.says(food, until)
    at_hand = sum(one.lot.portions for one in every)
    if expected.is_known(food):
        rank = next(
            number
            for number, one in enumerate(_portions(every), start=1)
            if one.lot.code == group[0].lot.code
        )
        yield odds_words(rank, at_hand, group[0].odds[0])
    worth, freezing = facts.choices.worth_of(food), facts.choices.freezing_of(food)
    yield worth_words(worth, freezing)


def _portions(every: Sequence[Risk]) -> Iterator[Risk]:
    for one in every:
        yield from [one] * one.lot.portions


def _use_up_at(facts: Facts) -> datetime | None:
    """Today's hour of the use-up meal, where the kitchen has one and it is to come."""
    if facts.today.weekday() not in facts.choices.use_up_days:
        return None
    hour = facts.choices.use_up_at
    local = datetime.combine(facts.today, hour, tzinfo=facts.zone)
    at = local.astimezone(UTC)
    return at if at > facts.now else None


def _meal(facts: Facts, shelf: _Shelf, at: datetime) -> UseUp | None:
    """The meal that saves most of what cannot wait for the next one."""
    pressing = {
        one.lot.code
        for group in (*shelf.stuck.values(), *shelf.freezable.values())
        for one in group
        if _must_be_eaten(facts, one.lot)
    }
    usable = {
        food: [
            Risk(one.lot, one.odds, one.lot.code in pressing)
            for one in group
            if one.lot.last_moment is not None and at < one.lot.last_moment
        ]
        for food, group in shelf.risks.items()
    }
    return use_up(_dishes(facts), usable, facts.choices.worth_of)


def _must_be_eaten(facts: Facts, lot: Lot) -> bool:
    """Whether it ends before tomorrow's meal."""
    assert lot.last_moment is not None
    return facts.last_day(lot.last_moment) <= facts.today


def _beside(facts: Facts, shelf: _Shelf, eaten: set[str]) -> list[Risk]:
    """What else ends today: little of it is a word at that meal, not a card of its own.

    More than a handful has to find somebody else, and is proposed for itself.
    """
    ending = [
        one
        for group in shelf.stuck.values()
        for one in group
        if one.lot.code not in eaten and _must_be_eaten(facts, one.lot)
    ]
    return ending if len(ending) <= _HANDFUL else []


def _dishes(facts: Facts) -> Iterator[Dish]:
    """What this kitchen eats together, by its own meals."""
    for meal in facts.meals:
        wants = tuple(
            (item.food.casefold(), meal.portions_of(item)) for item in meal.items
        )
        yield Dish(meal.name, wants)


def _use_up(
    facts: Facts, meal: UseUp, at: datetime, beside: Sequence[Risk]
) -> Proposal:
    codes = [one.lot.code for one in meal.taken]
    name = meal.dish.name if meal.dish and meal.dish.name else USING_UP
    ending = [one.lot.code for one in meal.taken if _must_be_eaten(facts, one.lot)]
    wants: Mapping[str, int] = _summed(meal)
    steps, reasons = temper_steps(facts, at, [one.lot for one in meal.taken])
    return Proposal(
        kind=USE_UP,
        key=f"use-up/{facts.today.isoformat()}",
        says=told_of(named(name), facts.names(codes)),
        at=at,
        picks=tuple(whole(one.lot, one.portions) for one in meal.taken),
        steps=steps,
        meal=name,
        wants=tuple((food, portions) for food, portions in wants.items()),
        loss=Loss(meal.saved, meal.money),
        why=(*_ending(facts, ending), *_ending_too(facts, beside), *reasons),
    )


def _ending(facts: Facts, codes: Sequence[str]) -> Iterator[str]:
    if codes:
        yield sentence("{names}: last day today", names=facts.names(codes))


def _ending_too(facts: Facts, beside: Sequence[Risk]) -> Iterator[str]:
    refused = {one.lot.code: why_not_give(facts, one.lot.code) for one in beside}
    given = [code for code, why in refused.items() if not why]
    if given:
        yield sentence(
            "ends today as well, to eat with it or hand on: {names}",
            names=facts.names(given),
        )
    eaten = [code for code, why in refused.items() if why]
    if eaten:
        yield sentence(
            "ends today as well, to eat with it: {names}", names=facts.names(eaten)
        )


def _summed(meal: UseUp) -> Mapping[str, int]:
    wants: dict[str, int] = defaultdict(int)
    for one in meal.taken:
        wants[one.lot.food] += one.portions
    return wants


def _is_pressing(facts: Facts, group: Sequence[Risk]) -> bool:
    """Whether one ends within the kitchen's lead: there is time to ask around."""
    ends = [one.lot.last_moment for one in group if one.lot.last_moment is not None]
    return min(ends) <= facts.now + facts.session.kitchen.lead
