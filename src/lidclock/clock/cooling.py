"""The cooling of one history: when its hours begin, and how each stage stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from lidclock.clock import kinds
from lidclock.clock.limit import TICK, Limit
from lidclock.domain.history import History
from lidclock.domain.sentences import sentence
from lidclock.guidance.model import Plan, Rule

REHEATED = sentence("reheated")
_HELD_HOT = sentence("held hot")
_LEFT_HOT = sentence("out of the hot hold")


@dataclass(frozen=True, slots=True)
class Begin:
    """When the hours of cooling began and what began them.

    `history` holds only what counts for them. `at` is None while it is held hot, or
    where the making time is not known.
    """

    at: datetime | None
    since: str
    history: History


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of cooling: the temperature to reach, by when, and how it stands.

    `due_at` is the latest that it can turn out to be due, `sure_at` the earliest: they
    differ while a further stage waits for the one before. `decided_at` is the reading
    (or the placing) that met it. An `overdue` stage was not looked at in time, so that
    nobody knows; it is neither met nor missed.
    """

    rule: Rule
    target_c: float
    state: str
    due_at: datetime | None = None
    sure_at: datetime | None = None
    decided_at: datetime | None = None

    @property
    def is_pending(self) -> bool:
        """Whether a reading can still meet it."""
        return self.state == "open"


def begin_of(plan: Plan, history: History, cold_c: float) -> Begin:
    """When the hours of the published stages begin.

    They begin with making; after a hot hold, when it leaves it. A reheating starts them
    again, once, if it came before any stage was missed or was over: an allowance that
    was passed is not given back. The code gives no more; forms that do (reheat to 74 °C
    when 21 °C was not reached in 2 hours, cool again, once: University of Maine
    Extension, Cooling Record Sheet; a school's 2-stage cooling log) say once, too.
    """
    begin = Begin(history.made_at, "made", history)
    if history.made_at is None or not _was_hot_again(history):
        return begin
    for left_at in _left_hot_hold(plan, begin, cold_c):
        if left_at is None:
            return Begin(None, _HELD_HOT, history)
        begin = _begun_again(history, left_at, _LEFT_HOT)
    if not history.reheated_at:
        return begin
    hot_c = max((rule.kill_c or 0.0 for rule in plan.exposure), default=0.0)
    for heated_at in sorted(history.kill_steps(hot_c)):
        if begin.at is not None and heated_at <= begin.at:
            continue
        if _is_in_time(plan, begin, heated_at, cold_c):
            return _begun_again(history, heated_at, REHEATED)
    return begin


def _was_hot_again(history: History) -> bool:
    """Whether anything could put the beginning off; it seldom does."""
    if history.reheated_at:
        return True
    return "hot" in [stay.state for stay in history.stays]


def _left_hot_hold(
    plan: Plan, begin: Begin, cold_c: float
) -> Iterator[datetime | None]:
    """When it left each hot hold that came in time; None for one that lasts."""
    hot_c = max((rule.below_c or 0.0 for rule in plan.exposure), default=0.0)
    for stay in begin.history.stays:
        if stay.state != "hot" or (stay.temp_c is not None and stay.temp_c < hot_c):
            continue
        if not _is_in_time(plan, begin, stay.began, cold_c):
            return
        yield stay.ended
        if stay.ended is None:
            return
        begin = _begun_again(begin.history, stay.ended, "")


def _begun_again(history: History, at: datetime, since: str) -> Begin:
    """Cooling from `at` on; what was read up to then belongs to what went before."""
    later = tuple(reading for reading in history.coolings if reading[0] > at)
    return Begin(at, since, replace(history, made_at=at, coolings=later))


def _is_in_time(plan: Plan, begin: Begin, moment: datetime, cold_c: float) -> bool:
    """Whether at `moment` no stage was missed or over, and not all of them were met."""
    before = tuple(x for x in begin.history.coolings if x[0] < moment)
    history = replace(begin.history, coolings=before)
    is_done = True
    for rule in plan.process:
        limit = kinds.process(rule, history, cold_c, _ANY_ZONE)
        if limit is not None and limit.over_at is not None:
            return False
        if limit is None:
            is_done = False
            if moment > _latest_due(rule, history):
                return False
    return not is_done


_ANY_ZONE = ZoneInfo("UTC")


def _latest_due(rule: Rule, history: History) -> datetime:
    """The latest that a stage can be due, its stage before still being open."""
    begun_at, _ = kinds.stage_start(rule, history)
    is_reached = rule.start_c is None or any(
        c is not None and c <= rule.start_c for _, c in history.coolings
    )
    if begun_at is None or (not is_reached and rule.start_within is not None):
        assert history.made_at is not None
        begun_at = history.made_at + timedelta(hours=rule.start_within or 0.0)
    return begun_at + timedelta(hours=rule.hours)


def can_begin_again(
    plan: Plan, history: History, cold_c: float, moment: datetime
) -> bool:
    """Whether a reheating at `moment` would start the hours of cooling again.

    What was read at that very moment does not count yet. Where a set only asks for the
    cold within hours, it does unless those were over.
    """
    if not plan.process:
        due = [_chill_stage(x, history, cold_c, _ANY_ZONE, moment) for x in plan.chill]
        return all(one.state != "missed" for one in due)
    begin = begin_of(plan, history, cold_c)
    if begin.at is None or begin.since == REHEATED:
        return False
    return _is_in_time(plan, begin, moment, cold_c)


def limits(plan: Plan, history: History, cold_c: float, zone: ZoneInfo) -> list[Limit]:
    """The stages that were met or missed, as limits."""
    if not plan.process:
        return []
    begin = begin_of(plan, history, cold_c)
    if begin.at is None:
        return []
    found = (
        kinds.process(rule, begin.history, cold_c, zone, begin.since)
        for rule in plan.process
    )
    return [limit for limit in found if limit is not None]


def knows_earlier_stages(plan: Plan, history: History, cold_c: float) -> bool:
    """Whether every stage before the last is known to be met or missed.

    A reading in time that was still warm settles nothing: it may have been cold enough
    when it was due, or not.
    """
    asked = [rule for rule in plan.process if rule.below_c is not None]
    begin = begin_of(plan, history, cold_c)
    if begin.at is None:
        return not asked
    return all(
        kinds.process(rule, begin.history, cold_c, _ANY_ZONE) is not None
        for rule in asked
    )


def stages(
    plan: Plan, history: History, cold_c: float, zone: ZoneInfo, now: datetime
) -> tuple[Stage, ...]:
    """Every stage that the set asks for, the soonest due first.

    They stand as the verdict has them: the same functions decide. Empty where the set
    publishes none for this food.
    """
    begin = begin_of(plan, history, cold_c)
    found = [_process_stage(rule, begin, cold_c, zone, now) for rule in plan.process]
    found += [_chill_stage(rule, history, cold_c, zone, now) for rule in plan.chill]
    return tuple(
        sorted(found, key=lambda stage: (stage.due_at or _LAST, stage.rule.id))
    )


_LAST = datetime.max.replace(tzinfo=_ANY_ZONE)


def _process_stage(
    rule: Rule, begin: Begin, cold_c: float, zone: ZoneInfo, now: datetime
) -> Stage:
    target_c = cold_c if rule.below_c is None else rule.below_c
    if begin.at is None:
        return Stage(rule, target_c, "open")
    history = begin.history
    limit = kinds.process(rule, history, cold_c, zone, begin.since)
    due_at = _latest_due(rule, history)
    started_at, _ = kinds.stage_start(rule, history)
    sure_at = due_at
    if started_at is not None:
        sure_at = min(due_at, started_at + timedelta(hours=rule.hours))
    elif rule.start_c is not None:
        sure_at = min(due_at, begin.at + timedelta(hours=rule.hours))
    if limit is None:
        state = "overdue" if now > due_at else "open"
        return Stage(rule, target_c, state, due_at, sure_at)
    if limit.over_at is not None:
        missed_at = limit.over_at - TICK
        return Stage(rule, target_c, "missed", missed_at, missed_at)
    cold = [at for at, c in history.coolings if c is None or c <= target_c]
    return Stage(rule, target_c, "met", due_at, sure_at, min(cold))


def _chill_stage(
    rule: Rule, history: History, cold_c: float, zone: ZoneInfo, now: datetime
) -> Stage:
    """Into the cold within hours: met by a placing, or by a reading that is cold."""
    limit = kinds.chill(rule, history, cold_c, zone)
    if limit is None:
        return Stage(rule, cold_c, "open")
    if limit.over_at is not None:
        due_at = limit.over_at - TICK
        state = "missed" if now > due_at else "open"
        return Stage(rule, cold_c, state, due_at, due_at)
    cold = [x.began for x in history.stays if x.state in ("fridge", "freezer")]
    cold += [at for at, c in history.coolings if c is not None and c <= cold_c]
    return Stage(rule, cold_c, "met", decided_at=min(cold))
