"""From a history and a guidance set to a verdict."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from lidclock.clock import cooling, kinds
from lidclock.clock.days import DaySpans, day_spans
from lidclock.clock.exposure import exposures
from lidclock.clock.limit import Limit
from lidclock.clock.parts import goes_on
from lidclock.clock.status import status_at
from lidclock.clock.unknowns import blockers, is_silent
from lidclock.clock.verdict import Verdict
from lidclock.domain.foods import Food
from lidclock.domain.history import Component, History
from lidclock.domain.moments import end_of_day
from lidclock.guidance.model import Plan, Rule
from lidclock.guidance.sets import GuidanceSet

LEAD = timedelta(days=2)
_NEVER = datetime.max.replace(tzinfo=ZoneInfo("UTC"))


def judge(
    food: Food,
    history: History,
    guidance: GuidanceSet,
    *,
    zone: ZoneInfo,
    now: datetime,
    lead: timedelta = LEAD,
    accepts_unmeasured: bool = True,
) -> Verdict:
    """The verdict on one container at `now`.

    The strictest limit binds. What is not recorded counts as the worst case; where
    that gives no last day, the status is `unknown`. `accepts_unmeasured` tells whether
    this kitchen takes a fridge without readings as cold.
    """
    plan = guidance.plan_for(food)
    found = all_limits(food, history, guidance, zone)
    found.sort(key=_strictness)
    why_not = blockers(food, history, plan, guidance, accepts_unmeasured)
    standing = _standing(history, found, bool(why_not))
    over_at = found[0].over_at if found else None
    return Verdict(
        food=food,
        history=history,
        guidance=guidance,
        plan=plan,
        zone=zone,
        now=now,
        lead=lead,
        accepts_unmeasured=accepts_unmeasured,
        standing=standing,
        status=status_at(
            *(standing, over_at, now, zone, lead),
            is_silent=not accepts_unmeasured and is_silent(history, now),
        ),
        limits=_named(found),
        blockers=tuple(why_not),
    )


def all_limits(
    food: Food, history: History, guidance: GuidanceSet, zone: ZoneInfo
) -> list[Limit]:
    """Every safety limit on `history`, those of its components included."""
    plan = guidance.plan_for(food)
    found = _own_limits(food, history, plan, guidance, zone)
    for component in history.components:
        limit = _inherited(component, history, plan, guidance, zone)
        if limit is not None:
            found.append(limit)
    return found


def _own_limits(
    food: Food, history: History, plan: Plan, guidance: GuidanceSet, zone: ZoneInfo
) -> list[Limit]:
    found: list[Limit] = []
    days = day_spans(history, guidance.counting, zone)
    for rule in plan.dated:
        anchor_at = anchor_of(rule, food, history)
        limit = _dated(rule, anchor_at, history, days, guidance)
        if limit is not None:
            found.append(limit)
    is_raw = plan.category is not None and plan.category.nature == "raw"
    found += exposures(plan.exposure, history, is_raw, zone)
    found += cooling.limits(plan, history, guidance.cold_c, zone)
    for rule in plan.chill:
        limit = kinds.chill(rule, history, guidance.cold_c, zone)
        if limit is not None:
            found.append(limit)
    if plan.maker_date is not None and history.maker_use_by is not None:
        found.append(_maker_date(plan.maker_date, history.maker_use_by, zone))
    return found


def anchor_of(rule: Rule, food: Food, history: History) -> datetime | None:
    """The moment from which `rule` counts: the earliest that its anchor can be.

    Only a maker's pack can start at its opening; opening a lid of the kitchen's own
    starts nothing. An opening that nobody recorded is taken as the making, which
    cannot be later.
    """
    if rule.anchor == "thawed":
        return history.thawed_at
    if rule.anchor == "begun":
        return history.made_at or history.opened_at
    if rule.anchor == "opened" and food.made_by == "maker":
        return history.opened_at or history.made_at
    return history.made_at


def _dated(
    rule: Rule,
    anchor_at: datetime | None,
    history: History,
    days: DaySpans,
    guidance: GuidanceSet,
) -> Limit | None:
    if anchor_at is None:
        return None
    if rule.kind == "elapsed":
        return kinds.elapsed(rule, anchor_at, history, days.zone)
    is_fresh = guidance.counting.fresh_hours is not None and rule.anchor != "thawed"
    if history.was_frozen and is_fresh:
        return _fresh(rule, anchor_at, history, guidance, days.zone)
    if rule.above_c is not None:
        return _deep_chilled(rule, anchor_at, history, guidance, days.zone)
    limit = kinds.day_count(rule, anchor_at, days)
    if not history.was_frozen:
        return limit
    return limit._replace(steps=(*limit.steps, ("text", guidance.counting.says)))


def _deep_chilled(
    rule: Rule,
    anchor_at: datetime,
    history: History,
    guidance: GuidanceSet,
    zone: ZoneInfo,
) -> Limit:
    """A day count that days known to be colder than `rule.above_c` do not use up."""
    paused = kinds.deep_chilled(rule, history)
    days = day_spans(paused, guidance.counting, zone)
    limit = kinds.day_count(rule, anchor_at, days)
    return limit if history.is_frozen else limit._replace(days_left=None)


def _fresh(
    rule: Rule,
    anchor_at: datetime,
    history: History,
    guidance: GuidanceSet,
    zone: ZoneInfo,
) -> Limit:
    """The limit of a set that starts fresh hours at the first thaw, and only there."""
    froze = next(i for i, x in enumerate(history.stays) if x.state == "freezer")
    before = replace(history, stays=history.stays[:froze])
    days = day_spans(before, guidance.counting, zone)
    limit = kinds.before_freezing(rule, anchor_at, days)
    thawed = [x for x in history.stays[froze:] if not x.is_frozen]
    if not thawed:
        return limit
    fresh = kinds.fresh_hours(rule, guidance.counting, thawed[0].began, zone)
    return min(limit, fresh, key=_strictness)


def _maker_date(rule: Rule, day: date, zone: ZoneInfo) -> Limit:
    return Limit(rule, (("maker", day),), end_of_day(day, zone))


def _inherited(
    component: Component,
    mixture: History,
    plan: Plan,
    guidance: GuidanceSet,
    zone: ZoneInfo,
) -> Limit | None:
    """What a part brings in: its strictest limit, worded as the reason.

    The number keeps its own source, so that an unverified one stays unverified.
    """
    is_heated = plan.category is not None and plan.category.is_heated
    if goes_on(component, mixture, plan, guidance):
        history = component.history.mixed_into(mixture, is_cooked=is_heated)
        limits = all_limits(component.food, history, guidance, zone)
    else:
        limits = _over_before_cooking(component, mixture, guidance, zone)
    rule = plan.inherit
    if not limits or rule is None:
        return None
    strictest = min(limits, key=_strictness)
    steps = (("via", component.name), *strictest.steps)
    own = strictest.rule
    kept = replace(
        rule,
        kind=own.kind if own.kind in ("house", "local") else rule.kind,
        source=own.source,
        section=own.section,
        approval=own.approval,
    )
    left = [limit.days_left for limit in limits if limit.days_left is not None]
    return strictest._replace(
        rule=kept,
        steps=steps,
        via=strictest.via or component.name,
        days_left=min(left, default=None),
    )


def _over_before_cooking(
    component: Component, mixture: History, guidance: GuidanceSet, zone: ZoneInfo
) -> list[Limit]:
    """Limits that a raw part had passed by the time it was cooked: it stays over."""
    cooked_at = mixture.made_at
    if cooked_at is None:
        return []
    limits = all_limits(component.food, component.history, guidance, zone)
    return [x for x in limits if x.over_at is not None and x.over_at <= cooked_at]


def _strictness(limit: Limit) -> tuple[datetime, float, bool, bool]:
    """Earliest first, or fewest days left while paused.

    At the same moment a part comes before the whole: it is the reason.
    """
    left = float("inf") if limit.days_left is None else limit.days_left
    moment = limit.over_at or _NEVER
    return (moment, left, not limit.via, limit.rule.is_house_rule)


def _named(limits: list[Limit]) -> tuple[Limit, ...]:
    """The limits, told apart by a serial number where one rule applies twice."""
    if len({limit.rule.id for limit in limits}) == len(limits):
        return tuple(limits)
    seen: dict[str, int] = {}
    named = []
    for limit in limits:
        count = seen[limit.rule.id] = seen.get(limit.rule.id, 0) + 1
        named.append(limit if count == 1 else limit._replace(serial=count))
    return tuple(named)


def _standing(history: History, limits: list[Limit], is_blocked: bool) -> str:
    """How it stands whatever the hour, so that lists can keep it.

    A limit that runs on in the freezer (a maker's date, an allowance that was passed)
    makes a paused container over when it comes.
    """
    if history.ended_at is not None:
        return "ended"
    if is_blocked or not limits:
        return "unknown"
    if history.is_frozen and any(limit.days_left is not None for limit in limits):
        return "paused"
    return "dated" if limits[0].over_at is not None else "unknown"
