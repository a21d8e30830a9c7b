"""Proposals to take out, the time out of the cold charged to the clock before."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from lidclock.app.card_facts import Facts, called, when
from lidclock.app.takeout import takeouts
from lidclock.domain.advice import without_commands
from lidclock.domain.planning import Occurrence
from lidclock.plan.allot import Share
from lidclock.plan.lots import Lot
from lidclock.plan.proposal import CHECK, TAKE_OUT, Loss, Picked, Proposal, Step
from lidclock.plan.takeout import TEMPER, Option, Takeout

_DOUGH = "yeast-dough-raw"
_MOST_REASONS = 2


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
    for_meal = f"{called(group.meal.meal)} {when(facts, group.meal.at)}"
    yield Proposal(
        kind=TAKE_OUT,
        key=f"take-out/{group.meal.key}/{group.food}",
        says=f"take {facts.names(codes)} out to {where} for {for_meal}",
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
            f"{facts.names([lot.code])} stays cold until then: {one.why}"
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
    reasons = (*map(without_commands, found.asks), *_refused(found))
    lots = [share.lot for share in group.shares]
    portions = sum(share.portions for share in group.shares)
    yield Proposal(
        kind=CHECK,
        key=f"check/take-out/{group.meal.key}/{group.food}",
        says=f"{facts.names(lot.code for lot in lots)} cannot be ready for "
        f"{called(group.meal.meal)} {when(facts, group.meal.at)}",
        picks=tuple(Picked(lot.code) for lot in lots),
        meal=group.meal.key,
        loss=Loss(portions, facts.choices.worth_of(group.food) * portions),
        why=reasons[:_MOST_REASONS] or ("no way out of the freezer is left open",),
        hint="; ".join(ask.partition("? ")[2] for ask in found.asks),
    )


def _hours(option: Option) -> Iterator[str]:
    hours = option.way.hours
    if hours is None:
        yield option.way.source
    elif hours.low == hours.high:
        yield f"{hours.high:g} h, {hours.source}"
    else:
        yield (
            f"{hours.mid:.1f} h ({hours.low:.1f} to {hours.high:.1f}), {hours.source}"
        )


def _refused(found: Takeout) -> list[str]:
    """Ways that are not proposed since they would break a limit, and which."""
    return [
        f"not {one.way.name.replace('-', ' ')}: {one.why}"
        for one in found.refused
        if one.limit is not None
    ][:_MOST_REASONS]
