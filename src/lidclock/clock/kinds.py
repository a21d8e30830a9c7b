"""One function for each kind of limit: a rule and a history in, a limit out."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from lidclock.clock.days import DaySpans, nth_day
from lidclock.clock.exposure import spend
from lidclock.clock.limit import TICK, Limit
from lidclock.clock.why import Step
from lidclock.domain.history import History, Stay
from lidclock.domain.moments import end_of_day, local_date
from lidclock.domain.phrases import short
from lidclock.domain.sentences import sentence
from lidclock.guidance.model import Counting, Rule

ZERO = timedelta(0)
_TAKEN_OUT = sentence("first taken out of the freezer")
_COOLED = sentence("cooled in time")
_CHILLED = sentence("in the cold in time")


def day_count(rule: Rule, anchor_at: datetime, days: DaySpans) -> Limit:
    """At most `rule.high` charged days, the anchor's day being day 1.

    A published range plans by its low end and limits by its high end.
    """
    first = local_date(anchor_at, days.zone)
    steps: tuple[Step, ...] = (
        ("first-day", rule.anchor, first),
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
    steps = (("since", hours, _TAKEN_OUT, thawed_at, zone),)
    over_at = thawed_at + timedelta(hours=hours) + TICK
    return Limit(rule, steps, over_at, includes_moment=True)


def elapsed(rule: Rule, anchor_at: datetime, history: History, zone: ZoneInfo) -> Limit:
    """At most `rule.hours` since the anchor, time in the freezer not counted.

    Of a published range the high end is the limit.
    """
    counted = tuple(
        replace(stay, began=max(stay.began, anchor_at))
        for stay in history.stays
        if not stay.is_frozen and (stay.ended is None or stay.ended > anchor_at)
    )
    steps: tuple[Step, ...] = (("since", rule.hours, rule.anchor, anchor_at, zone),)
    if rule.low_hours:
        steps = (*steps, ("hours", rule.low_hours, rule.hours))
    budget = timedelta(hours=rule.hours)
    reached, spent = spend(counted, (), budget)
    if reached is not None:
        return Limit(rule, (*steps, ("reached", reached, zone)), reached + TICK, True)
    left = max((budget - spent) // timedelta(days=1), int(spent < budget))
    return Limit(
        rule,
        (*steps, ("spent", spent)),
        days_left=left if history.is_frozen else None,
    )


def process(
    rule: Rule, history: History, cold_c: float, zone: ZoneInfo, since: str = "made"
) -> Limit | None:
    """A step that had to be finished within `rule.hours` of making: met or missed.

    A reading that is still too warm at the deadline misses it, whatever came later;
    readings after the first that is cold enough change nothing. None where neither is
    known: nothing was recorded, or the step is an earlier one (`rule.below_c`) that
    nobody looked at in time. A rule with `start_c` grants its hours from the first
    reading at that temperature or below: a further stage, whatever the one before took.
    `since` says what `history.made_at` stands for, where cooling began later.
    """
    begun_at, since = stage_start(rule, history, since)
    if begun_at is None:
        return None
    deadline = begun_at + timedelta(hours=rule.hours)
    target_c = cold_c if rule.below_c is None else rule.below_c
    steps: tuple[Step, ...] = (("since", rule.hours, since, begun_at, zone),)
    for at, temp_c in _in_order(history):
        is_cold = temp_c is None or temp_c <= target_c
        if is_cold and at <= deadline:
            return Limit(rule, (*steps, ("text", _COOLED)))
        if is_cold and rule.below_c is not None:
            return None
        if is_cold or at >= deadline:
            late = ("reached", at, zone) if is_cold else ("warm", temp_c, at, zone)
            return Limit(rule, (*steps, late), deadline + TICK, includes_moment=True)
    return None


def stage_start(
    rule: Rule, history: History, since: str = "made"
) -> tuple[datetime | None, str]:
    """When a stage of cooling begins, and what began then.

    A further stage begins no later than the last reading that was warmer, nor than the
    first one that was not, nor than the stage before had to be finished.
    """
    if rule.start_c is None or history.made_at is None:
        return history.made_at, since
    readings = [(at, c) for at, c in _in_order(history) if c is not None]
    if not readings:
        return None, ""
    cold = [at for at, c in readings if c <= rule.start_c]
    first = min(cold, default=None)
    warm = [at for at, c in readings if c > rule.start_c and (not first or at < first)]
    temp = short(rule.start_c)
    begun_at, what = first, sentence("first read at {temp} °C or below", temp=temp)
    if warm:
        begun_at, what = max(warm), sentence("last read above {temp} °C", temp=temp)
    latest = history.made_at + timedelta(hours=rule.start_within or 0.0)
    if rule.start_within is not None and (begun_at is None or latest < begun_at):
        return latest, sentence("{temp} °C was due", temp=temp)
    return begun_at, what


def _in_order(history: History) -> list[tuple[datetime, float | None]]:
    return sorted(history.coolings, key=lambda reading: reading[0])


def chill(rule: Rule, history: History, cold_c: float, zone: ZoneInfo) -> Limit | None:
    """Into a fridge or freezer, or measured cold, within `rule.hours` of making.

    Time in a hot hold right after making, and a reheating in time, put that off. None
    where the making time is not known; over for good where it came too late.
    """
    begun_at = _left_hot_at(rule, history)
    if begun_at is None:
        return None
    deadline = begun_at + timedelta(hours=rule.hours)
    cold = [x.began for x in history.stays if x.state in ("fridge", "freezer")]
    cold += [at for at, c in history.coolings if c is not None and c <= cold_c]
    steps: tuple[Step, ...] = (("since", rule.hours, "made", begun_at, zone),)
    if cold and min(cold) <= deadline:
        return Limit(rule, (*steps, ("text", _CHILLED)))
    if cold:
        steps = (*steps, ("reached", min(cold), zone))
    return Limit(rule, steps, deadline + TICK, includes_moment=True)


def _left_hot_at(rule: Rule, history: History) -> datetime | None:
    """When it began to cool: made, out of the hot hold, or heated again in time.

    None where it was never made, or is still held hot.
    """
    begun_at = history.made_at
    if begun_at is None:
        return None
    allowed = timedelta(hours=rule.hours)
    hot = [stay for stay in history.stays if stay.state == "hot"]
    for stay in hot:
        if stay.began > begun_at + allowed:
            break
        if stay.ended is None:
            return None
        begun_at = max(begun_at, stay.ended)
    for at, _ in sorted(history.reheatings(), key=lambda heated: heated[0]):
        if begun_at < at <= begun_at + allowed:
            begun_at = at
    return begun_at


def deep_chilled(rule: Rule, history: History) -> History:
    """The history with stays known to be at `rule.above_c` or colder as pauses.

    They count from the first on, if it came within `rule.chilled_within` hours, and as
    long as they follow each other; once it is mixed into something they do not.
    """
    stays: list[Stay] = []
    holds = True
    for stay in history.stays:
        is_late = _is_late(stay, rule, history)
        if holds and not is_late and _is_deep(stay, rule):
            stays.append(replace(stay, state="freezer", temp_c=None))
            continue
        if any(one.state == "freezer" for one in stays) or is_late:
            holds = False
        stays.append(stay)
    return replace(history, stays=tuple(stays))


def _is_late(stay: Stay, rule: Rule, history: History) -> bool:
    """Whether a stay began when a deep chill could no longer pause anything."""
    if history.packed_until is not None and stay.began >= history.packed_until:
        return True
    if rule.chilled_within is None or history.made_at is None:
        return False
    before = [x for x in history.stays if x.began < stay.began and _is_deep(x, rule)]
    within = timedelta(hours=rule.chilled_within)
    return not before and stay.began > history.made_at + within


def _is_deep(stay: Stay, rule: Rule) -> bool:
    if rule.above_c is None or stay.temp_c is None or stay.state == "counter":
        return False
    return stay.temp_c <= rule.above_c
