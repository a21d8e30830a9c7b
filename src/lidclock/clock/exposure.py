"""Summed exposure: hours out of temperature control, added over a container's life."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from lidclock.clock.limit import TICK, Limit
from lidclock.clock.why import Step
from lidclock.domain.history import History, Stay
from lidclock.guidance.model import Rule

ZERO = timedelta(0)
_MOST_TOLD = 5


def exposures(
    rules: Iterable[Rule], history: History, is_raw: bool, zone: ZoneInfo
) -> list[Limit]:
    """Every exposure limit; a longer time as the only control stands in for its own.

    It does so only where all time out of control was measured. What was measured above
    its ceiling is over at once; what nobody measured falls back to the shorter time.
    """
    found = []
    longer = None
    for rule in rules:
        if rule.ceiling_c is not None:
            longer = rule
        else:
            found.append(exposure(rule, history, is_raw, zone))
    if longer is None:
        return found
    warm = tuple([stay for stay in history.stays if is_warm(stay, longer)])
    if _above_ceiling(longer, warm) is not None:
        return [*found, exposure(longer, history, is_raw, zone)]
    if any(stay.temp_c is None for stay in warm):
        return found
    kept = [limit for limit in found if limit.rule.id != longer.replaces]
    return [*kept, exposure(longer, history, is_raw, zone)]


def exposure(rule: Rule, history: History, is_raw: bool, zone: ZoneInfo) -> Limit:
    """At most `rule.hours` above `rule.above_c`, added up since the last kill step.

    Counter time counts unless it is known to be colder; time anywhere counts where a
    temperature above the ceiling is known. Exactly the allowance is still within it,
    and an allowance that was passed is not given back by reheating. A reheating
    measured below `rule.kill_c` is no kill step, and none is for raw food: once cooked
    it is another food. After `rule.rechill_hours` cold does not stop the sum any more.
    """
    ceiling = rule.above_c if rule.above_c is not None else 0.0
    warm = tuple([stay for stay in history.stays if is_warm(stay, rule)])
    budget = timedelta(hours=rule.hours)
    resets: tuple[datetime, ...] = ()
    if history.reheated_at and rule.kill_c is not None and not is_raw:
        resets = history.kill_steps(rule.kill_c)
    reached, spent = spend(warm, resets, budget)
    steps: tuple[Step, ...] = (
        ("budget", rule.hours, ceiling),
        *_measured(warm, ceiling, zone),
    )
    too_warm = None if rule.ceiling_c is None else _above_ceiling(rule, warm)
    if too_warm is not None and (reached is None or too_warm.began < reached):
        note = ("warm", too_warm.temp_c, too_warm.began, zone)
        return Limit(rule, (*steps, note), too_warm.began + TICK, includes_moment=True)
    if rule.rechill_hours is not None:
        allowed = timedelta(hours=rule.rechill_hours)
        used_up, _ = spend(warm, resets, allowed)
        if used_up is not None:
            reached = used_up + (budget - allowed)
            steps = (*steps, ("no-rechill", rule.rechill_hours, used_up, zone))
    if reached is None:
        return Limit(rule, (*steps, ("spent", spent)))
    return Limit(
        rule,
        (*steps, ("reached", reached, zone)),
        reached + TICK,
        includes_moment=True,
    )


def _measured(warm: tuple[Stay, ...], ceiling: float, zone: ZoneInfo) -> Iterator[Step]:
    """The measured times out of control, what touches taken together, the first few.

    Readings cut a stay where they cross a limit, so that one warm time may come in
    several pieces.
    """
    times: list[Stay] = []
    for stay in warm:
        if stay.temp_c is None:
            continue
        last = times[-1] if times else None
        if last is not None and last.ended == stay.began and last.place == stay.place:
            peak = max(last.temp_c or 0.0, stay.temp_c)
            times[-1] = replace(last, ended=stay.ended, temp_c=peak)
        else:
            times.append(stay)
    yield from (("measured", ceiling, one, zone) for one in times[:_MOST_TOLD])
    if len(times) > _MOST_TOLD:
        yield ("measured-more", len(times) - _MOST_TOLD)


# Above this, a counter whose temperature nobody recorded is not presumed to be.
_ROOM_C = 32.0


def is_warm(stay: Stay, rule: Rule) -> bool:
    """Whether a stay uses up the allowance; a hot hold that is hot enough does not."""
    if rule.states and stay.state not in rule.states:
        return False
    ceiling = rule.above_c if rule.above_c is not None else 0.0
    if stay.temp_c is not None:
        is_hot_enough = (
            stay.state == "hot"
            and rule.below_c is not None
            and stay.temp_c >= rule.below_c
        )
        return stay.temp_c > ceiling and not is_hot_enough
    return stay.state == "counter" and ceiling < _ROOM_C


def _above_ceiling(rule: Rule, warm: tuple[Stay, ...]) -> Stay | None:
    """The first stay measured above the ceiling of a longer time."""
    if rule.ceiling_c is None:
        return None
    above = (x for x in warm if x.temp_c is not None and x.temp_c > rule.ceiling_c)
    return next(above, None)


def warm_periods(rule: Rule, history: History) -> int:
    """How many separate times it was out of control, stays that touch counting once."""
    count, was_warm = 0, False
    for stay in history.stays:
        now_warm = is_warm(stay, rule)
        count += now_warm and not was_warm
        was_warm = now_warm
    return count


def spend(
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
