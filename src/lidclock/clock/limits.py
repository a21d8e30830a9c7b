"""One function for each kind of limit: a rule and a history in, a limit out."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from lidclock.clock.days import DaySpans, nth_day
from lidclock.clock.verdict import TICK, Limit
from lidclock.clock.why import Step
from lidclock.domain.history import History, Stay
from lidclock.domain.moments import end_of_day, local_date
from lidclock.guidance.model import Counting, Rule

ZERO = timedelta(0)


def day_count(rule: Rule, anchor_at: datetime, days: DaySpans) -> Limit:
    """At most `rule.high` charged days, the anchor's day being day 1.

    A published range plans by its low end and limits by its high end.
    """
    first = local_date(anchor_at, days.zone)
    steps: tuple[Step, ...] = (
        ("first-day", "opened" if rule.anchor == "opened" else "made", first),
        ("days", rule.low, rule.high),
    )
    last, charged = nth_day(days, first, rule.high)
    if last is None:
        left = rule.high - charged
        return Limit(rule, (*steps, ("used", charged, rule.high)), days_left=left)
    plan = nth_day(days, first, rule.low)[0] if rule.low != rule.high else None
    return Limit(
        rule,
        (*steps, ("last-day", last, rule.high)),
        end_of_day(last, days.zone),
        plan_day=plan,
    )


def before_freezing(rule: Rule, anchor_at: datetime, days: DaySpans) -> Limit:
    """The day count of a set that starts fresh hours on thawing.

    `days` end at the first freezing. The count binds only if it had run out by then;
    else one fresh start is left, shown as one day.
    """
    limit = day_count(rule, anchor_at, replace(days, is_paused=True))
    return limit if limit.over_at is not None else limit._replace(days_left=1)


def fresh_hours(
    rule: Rule, counting: Counting, thawed_at: datetime, zone: ZoneInfo
) -> Limit:
    """The hours that a set grants after thawing: once, and running ever after."""
    hours = counting.fresh_hours or 0.0
    steps = (("since", hours, "first taken out of the freezer", thawed_at, zone),)
    over_at = thawed_at + timedelta(hours=hours) + TICK
    return Limit(rule, steps, over_at, includes_moment=True)


def elapsed(rule: Rule, anchor_at: datetime, history: History, zone: ZoneInfo) -> Limit:
    """At most `rule.hours` since the anchor, time in the freezer not counted."""
    counted = tuple(
        replace(stay, began=max(stay.began, anchor_at))
        for stay in history.stays
        if not stay.is_frozen and (stay.ended is None or stay.ended > anchor_at)
    )
    steps = (("since", rule.hours, rule.anchor, anchor_at, zone),)
    budget = timedelta(hours=rule.hours)
    reached, spent = _spend(counted, (), budget)
    if reached is not None:
        return Limit(rule, (*steps, ("reached", reached, zone)), reached + TICK, True)
    left = max((budget - spent) // timedelta(days=1), int(spent < budget))
    return Limit(
        rule,
        (*steps, ("spent", spent, "so far")),
        days_left=left if history.is_frozen else None,
    )


def exposure(rule: Rule, history: History, is_raw: bool, zone: ZoneInfo) -> Limit:
    """At most `rule.hours` above `rule.above_c`, added up since the last kill step.

    Counter time counts unless it is known to be colder; time anywhere counts where a
    temperature above the ceiling is known. Exactly the allowance is still within it,
    and an allowance that was passed is not given back by reheating. A reheating
    measured below `rule.kill_c` is no kill step, and none is for raw food: once cooked
    it is another food.
    """
    ceiling = rule.above_c if rule.above_c is not None else 0.0
    hot_c = rule.below_c
    warm = tuple(stay for stay in history.stays if _is_warm(stay, ceiling, hot_c))
    budget = timedelta(hours=rule.hours)
    resets = () if is_raw or rule.kill_c is None else history.kill_steps(rule.kill_c)
    reached, spent = _spend(warm, resets, budget)
    steps: tuple[Step, ...] = (("budget", rule.hours, ceiling),)
    if reached is None:
        return Limit(rule, (*steps, ("spent", spent, "so far")))
    return Limit(
        rule,
        (*steps, ("reached", reached, zone)),
        reached + TICK,
        includes_moment=True,
    )


# Above this, a counter whose temperature nobody recorded is not presumed to be.
_ROOM_C = 32.0


def _is_warm(stay: Stay, ceiling: float, hot_c: float | None) -> bool:
    """Whether a stay uses up the allowance; a hot hold that is hot enough does not."""
    if stay.temp_c is not None:
        is_hot_enough = (
            stay.state == "hot" and hot_c is not None and stay.temp_c >= hot_c
        )
        return stay.temp_c > ceiling and not is_hot_enough
    return stay.state == "counter" and ceiling < _ROOM_C


def _spend(
    stays: tuple[Stay, ...], resets: tuple[datetime, ...], budget: timedelta
) -> tuple[datetime | None, timedelta]:
    """When more than `budget` will have been spent, and what was spent so far.

    The sum starts again at each of `resets`. A stay that has not ended goes on, so
    the moment may lie ahead; it is None where nothing is being spent any more.
    """
    spent, waiting = ZERO, list(resets)
    for stay in stays:
        began = stay.began
        while waiting and (stay.ended is None or waiting[0] < stay.ended):
            reset = max(waiting.pop(0), began)
            if spent + (reset - began) > budget:
                return began + (budget - spent), budget
            began, spent = reset, ZERO
        if stay.ended is None:
            return began + (budget - spent), spent
        if spent + (stay.ended - began) > budget:
            return began + (budget - spent), budget
        spent += stay.ended - began
    return None, ZERO if waiting else spent


def process(
    rule: Rule, history: History, cold_c: float, zone: ZoneInfo
) -> Limit | None:
    """A step that had to be finished within `rule.hours` of making: met or missed.

    A reading that is still too warm at the deadline misses it, whatever came later;
    readings after the first that is cold enough change nothing. None where neither is
    known: nothing was recorded, or the step is an earlier one (`rule.below_c`) that
    nobody looked at in time.
    """
    if history.made_at is None:
        return None
    deadline = history.made_at + timedelta(hours=rule.hours)
    target_c = cold_c if rule.below_c is None else rule.below_c
    steps: tuple[Step, ...] = (("since", rule.hours, "made", history.made_at, zone),)
    for at, temp_c in sorted(history.coolings, key=lambda reading: reading[0]):
        is_cold = temp_c is None or temp_c <= target_c
        if is_cold and at <= deadline:
            return Limit(rule, (*steps, ("text", "cooled in time")))
        if is_cold and rule.below_c is not None:
            return None
        if is_cold or at >= deadline:
            late = ("reached", at, zone) if is_cold else ("warm", temp_c, at, zone)
            return Limit(rule, (*steps, late), deadline + TICK, includes_moment=True)
    return None
