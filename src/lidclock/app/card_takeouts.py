"""Proposals to take out, the time out of the cold charged to the clock before."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from lidclock.app.card_facts import Facts, called, when
from lidclock.app.takeout import takeouts
from lidclock.app.takeout_hours import question_of
from lidclock.domain.phrases import told_of
from lidclock.domain.planning import Occurrence
from lidclock.domain.sentences import Figure, quoted, sentence
from lidclock.plan.allot import Share
from lidclock.plan.lots import Lot
from lidclock.plan.proposal import CHECK, TAKE_OUT, Loss, Picked, Proposal, Step
from lidclock.plan.takeout import (
    COUNTER,
    FRIDGE,
    FROZEN,
    STRAIGHT,
    TEMPER,
    WATER,
    Option,
    Takeout,
)

_DOUGH = "yeast-dough-raw"
_MOST_REASONS = 2
_NOT = {
    FRIDGE: sentence("not fridge"),
    COUNTER: sentence("not counter"),
    WATER: sentence("not cold water"),
    TEMPER: sentence("not temper"),
    FROZEN: sentence("not from frozen"),
    STRAIGHT: sentence("not straight"),
}


@dataclass(frozen=True, slots=True)
class _Group:
    """Containers of one food that are wanted frozen for one meal."""

    meal: Occurrence
    food: str
    shares: Sequence[Share]


def take_outs(facts: Facts, before: datetime) -> Iterator[Proposal]:
    """What has to leave the freezer before that moment, for all meals in view."""
    meals = {one.key: one for one in facts.occurrences}
    for serving in facts.allotment.servings:
        frozen = [x for x in serving.shares if facts.is_frozen(x.lot)]
        if frozen:
            need = serving.need
            yield from _of_food(
                facts, _Group(meals[need.key], need.food, frozen), before
            )


def _of_food(facts: Facts, group: _Group, before: datetime) -> Iterator[Proposal]:
    found = [(share, _asked(facts, share.lot, group.meal.at)) for share in group.shares]
    options = [(share, _option(one)) for share, one in found]
    known = [(share, one) for share, one in options if one is not None]
    if not known:
        yield from _ask(facts, group, found[0][1])
        return
    at = min(option.take_out_at for _, option in known)
    if at >= before:
        return
    first, takeout = known[0][1], found[0][1]
    codes = [share.lot.code for share, _ in known]
    where = first.way.recorded_in or first.way.to_place
    portions = sum(share.portions for share, _ in known)
    yield Proposal(
        kind=TAKE_OUT,
        key=f"take-out/{group.meal.key}/{group.food}",
        says=sentence(
            "take {names} out to {place} for {meal} {when}",
            names=facts.names(codes),
            place=where,
            **_for_meal(facts, group),
        ),
        at=at,
        picks=tuple(Picked(code) for code in codes),
        steps=tuple(
            Step(option.take_out_at, share.lot.code, where, option.ready_high_at)
            for share, option in known
        ),
        to=where,
        meal=group.meal.key,
        loss=Loss(portions, facts.choices.worth_of(group.food) * portions),
        why=(*_hours(first), *_refused(takeout), *takeout.cautions[:1]),
    )


def _for_meal(facts: Facts, group: _Group) -> dict[str, str]:
    """What the meal is called, and its hour."""
    return {"meal": called(group.meal.meal), "when": when(facts, group.meal.at)}


def temper_steps(
    facts: Facts, meal_at: datetime, lots: Sequence[Lot]
) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """When each container leaves the fridge to lose its chill, and why if it may not.

    Only for what the kitchen tempers, and dough. A container that would pass a limit
    on the counter stays in the fridge.
    """
    steps, reasons = [], []
    for lot in lots:
        if not _is_tempered(facts, lot.food):
            continue
        found = _asked(facts, lot, meal_at)
        option = found.chosen
        if option is not None and option.way.name == TEMPER:
            steps.append(Step(option.take_out_at, lot.code, option.way.to_place))
        reasons += [
            sentence(
                "{names} stays cold until then: {why}",
                names=facts.names([lot.code]),
                why=quoted(one.why),
            )
            for one in found.refused
            if one.way.name == TEMPER and one.limit is not None
        ]
    return tuple(steps), tuple(dict.fromkeys(reasons))


def _is_tempered(facts: Facts, food: str) -> bool:
    known = facts.foods.get(food)
    is_dough = known is not None and known.category == _DOUGH
    return is_dough or facts.choices.food(food).temper_h is not None


def _asked(facts: Facts, lot: Lot, meal_at: datetime) -> Takeout:
    known = facts.live[lot.code]
    return takeouts(facts.unit, known, meal_at, choices=facts.choices)


def _option(found: Takeout) -> Option | None:
    """What to do: the way chosen, or what cooks do where nobody can tell the hours."""
    if found.chosen is not None:
        return found.chosen
    return next((one for one in found.alternatives if one.way.source), None)


def _ask(facts: Facts, group: _Group, found: Takeout) -> Iterator[Proposal]:
    """Nothing can be proposed: say why, while something else can be eaten."""
    reasons = (*map(question_of, found.asks), *_refused(found))
    lots = [share.lot for share in group.shares]
    portions = sum(share.portions for share in group.shares)
    yield Proposal(
        kind=CHECK,
        key=f"check/take-out/{group.meal.key}/{group.food}",
        says=sentence(
            "{names} cannot be ready for {meal} {when}",
            names=facts.names(lot.code for lot in lots),
            **_for_meal(facts, group),
        ),
        picks=tuple(Picked(lot.code) for lot in lots),
        meal=group.meal.key,
        loss=Loss(portions, facts.choices.worth_of(group.food) * portions),
        why=reasons[:_MOST_REASONS]
        or (sentence("no way out of the freezer is left open"),),
        hint="; ".join(ask.partition("? ")[2] for ask in found.asks),
    )


def _hours(option: Option) -> Iterator[str]:
    hours = option.way.hours
    if hours is None:
        yield option.way.source
    elif hours.low == hours.high:
        known = Figure(f"{hours.high:g}")
        yield sentence("{hours} h, {source}", hours=known, source=quoted(hours.source))
    else:
        low, mid, high = (
            Figure(f"{one:.1f}") for one in (hours.low, hours.mid, hours.high)
        )
        yield sentence(
            "{hours} h ({low} to {high}), {source}",
            hours=mid,
            low=low,
            high=high,
            source=quoted(hours.source),
        )


def _refused(found: Takeout) -> tuple[str, ...]:
    """Ways that are not proposed since they would break a limit, and which."""
    broken = [one for one in found.refused if one.limit is not None][:_MOST_REASONS]
    return tuple(told_of(_NOT[one.way.name], quoted(one.why)) for one in broken)
