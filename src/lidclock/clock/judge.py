"""From a history and a guidance set to a verdict."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from lidclock.clock import limits as kinds
from lidclock.clock.days import DaySpans, day_spans
from lidclock.clock.parts import binding_parts
from lidclock.clock.status import status_at
from lidclock.clock.unknowns import blockers
from lidclock.clock.verdict import Limit, Verdict
from lidclock.domain.foods import Food
from lidclock.domain.history import Component, History
from lidclock.domain.moments import end_of_day
from lidclock.guidance.model import GuidanceSet, Plan, Rule

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
        status=status_at(standing, over_at, now, zone, lead),
        limits=_named(found),
        blockers=tuple(why_not),
    )


def all_limits(
    food: Food, history: History, guidance: GuidanceSet, zone: ZoneInfo
) -> list[Limit]:
    """Every safety limit on `history`, those of its components included."""
    plan = guidance.plan_for(food)
    found = _own_limits(history, plan, guidance, zone)
    for component in binding_parts(history, plan, guidance):
        limit = _inherited(component, history, plan, guidance, zone)
        if limit is not None:
            found.append(limit)
    return found


def _own_limits(
    history: History, plan: Plan, guidance: GuidanceSet, zone: ZoneInfo
) -> list[Limit]:
    found: list[Limit] = []
    days = day_spans(history, guidance.counting, zone)
    for rule in plan.dated:
        limit = _dated(rule, history, days, guidance, zone)
        if limit is not None:
            found.append(limit)
    found += [kinds.exposure(rule, history, zone) for rule in plan.exposure]
    for rule in plan.process:
        limit = kinds.process(rule, history, zone)
        if limit is not None:
            found.append(limit)
    if plan.maker_date is not None and history.maker_use_by is not None:
        found.append(_maker_date(plan.maker_date, history.maker_use_by, zone))
    return found


def anchor_of(rule: Rule, history: History) -> datetime | None:
    """The moment from which `rule` counts: the earliest that its anchor can be.

    An opening that nobody recorded is taken as the making, which cannot be later.
    """
    if rule.anchor == "opened":
        return history.opened_at or history.made_at
    return history.made_at


def _dated(
    rule: Rule,
    history: History,
    days: DaySpans,
    guidance: GuidanceSet,
    zone: ZoneInfo,
) -> Limit | None:
    anchor_at = anchor_of(rule, history)
    if anchor_at is None:
        return None
    if rule.kind == "elapsed":
        return kinds.elapsed(rule, anchor_at, history, zone)
    froze = any(stay.state == "freezer" for stay in history.stays)
    if guidance.counting.fresh_hours is None:
        limit = kinds.day_count(rule, anchor_at, days, zone)
        if not froze:
            return limit
        return limit._replace(steps=(*limit.steps, ("text", guidance.counting.says)))
    return (
        _fresh(rule, anchor_at, history, guidance, zone)
        if froze
        else (kinds.day_count(rule, anchor_at, days, zone))
    )


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
    limit = kinds.before_freezing(rule, anchor_at, days, zone)
    thawed = [x for x in history.stays[froze:] if x.state != "freezer"]
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
    history = component.history.mixed_into(mixture, is_cooked=is_heated)
    limits = all_limits(component.food, history, guidance, zone)
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
    )
    left = [limit.days_left for limit in limits if limit.days_left is not None]
    return strictest._replace(
        rule=kept,
        steps=steps,
        via=strictest.via or component.name,
        days_left=min(left, default=None),
    )


def _strictness(limit: Limit) -> tuple[datetime, bool, bool]:
    """Earliest first; at the same moment an authority before a house rule."""
    return (limit.over_at or _NEVER, limit.rule.is_house_rule, not limit.via)


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
    keeps it dated; else the freezer pauses it.
    """
    if history.ended_at is not None:
        return "ended"
    if is_blocked or not limits:
        return "unknown"
    if limits[0].over_at is not None:
        return "dated"
    is_paused = any(limit.days_left is not None for limit in limits)
    return "paused" if is_paused and history.state == "freezer" else "unknown"
