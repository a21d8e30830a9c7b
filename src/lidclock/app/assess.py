"""What-if without a kitchen: one JSON document in, one verdict out."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from lidclock.app.instants import local
from lidclock.app.question import Question, read_question
from lidclock.clock import Limit, Verdict, judge
from lidclock.domain.history import History
from lidclock.guidance.model import Offer
from lidclock.guidance.sets import GuidanceSet


def assess(text: str, now: datetime) -> dict[str, Any]:
    """The verdict on the document `text`, as JSON-ready data; `now` is the default.

    InputError names the place in the document and what is wrong there.
    """
    asked = read_question(text, now)
    guidance = asked.guidance_set
    verdict = judge(
        asked.subject.food,
        _measured(asked, guidance),
        guidance,
        zone=asked.zone,
        now=asked.as_of,
    )
    return verdict_json(verdict)


def _measured(asked: Question, guidance: GuidanceSet) -> History:
    """The history, its stays in pieces of the temperatures that were read."""
    history = asked.subject.history
    if not asked.readings:
        return history
    from lidclock.templog.charging import limits_of, measured, stay_by_stay
    from lidclock.templog.course import course_of
    from lidclock.templog.gaps import pace_of
    from lidclock.templog.series import joined, seconds

    series = joined(
        [seconds(at) for at, _ in asked.readings],
        [temp_c for _, temp_c in asked.readings],
    ).series
    course = course_of(series, pace_of(series))
    find = stay_by_stay(course, limits_of(guidance.rules, guidance.cold_c))
    return measured(history, find, guidance.cold_c)


def verdict_json(verdict: Verdict) -> dict[str, Any]:
    """A verdict as JSON-ready data; instants carry the kitchen's offset."""
    zone = verdict.zone
    binding = verdict.binding
    return {
        "status": verdict.status,
        "last_day": _iso(verdict.last_day),
        "last_moment": local(verdict.last_moment, zone),
        "plan_by": _iso(verdict.plan_by),
        "best_by": _iso(verdict.best_by),
        "days_left": verdict.days_left,
        "next_change": local(verdict.next_change, zone),
        "house_rule": verdict.is_house_rule,
        "high_risk": verdict.guidance.is_high_risk,
        "binding": binding.id if binding else None,
        "limits": [limit_json(limit, zone) for limit in verdict.limits],
        "next": list(verdict.next),
        "cautions": list(verdict.cautions),
        "unknown": list(verdict.unknown),
        "offer": offer_json(verdict.plan.offer),
    }


def offer_json(offer: Offer | None) -> dict[str, Any] | None:
    """The row of a near category that a kitchen may choose to go by."""
    if offer is None:
        return None
    rule = offer.rule
    return {
        "category": offer.category.id,
        "rule": rule.id,
        "says": rule.says,
        "days": rule.high or None,
        "hours": rule.hours or None,
        "verified": rule.source.verified,
    }


def limit_json(limit: Limit, zone: ZoneInfo) -> dict[str, Any]:
    """One limit with its source and its arithmetic."""
    source, approval = limit.rule.source, limit.rule.approval
    return {
        "id": limit.id,
        "kind": limit.rule.kind,
        "says": limit.rule.says,
        "last_moment": local(limit.last_moment, zone),
        "days_left": limit.days_left,
        "via": limit.via or None,
        "authority": source.authority,
        "document": source.document,
        "section": limit.rule.section,
        "year": source.year,
        "url": source.url,
        "verified": source.verified,
        "approved_by": approval.authority if approval else None,
        "approved_on": approval.on.isoformat() if approval else None,
        "why": limit.why,
    }


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None
