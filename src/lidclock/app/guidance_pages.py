"""Guidance to read: the set in force, and what sets say of one kind of food."""

from __future__ import annotations

from dataclasses import dataclass

from lidclock.app.compare import Asked, asked_of, compare
from lidclock.app.guidance import limits_of
from lidclock.app.listed_words import days_after_thawing
from lidclock.app.session import Session
from lidclock.app.verdict_words import NO_LAST_DAY, rule_source_words
from lidclock.clock.verdict import Verdict
from lidclock.domain.codes import spaced
from lidclock.domain.foods import Food
from lidclock.domain.history import History, Stay
from lidclock.domain.moments import say_day, say_moment
from lidclock.domain.phrases import with_commas
from lidclock.domain.sentences import Wording, joined, sentence
from lidclock.errors import UnknownThingError
from lidclock.guidance.model import Category, Rule
from lidclock.guidance.sets import GuidanceSet


@dataclass(frozen=True, slots=True)
class Said:
    """One limit in its authority's sense, and where it comes from."""

    says: str
    source: str
    url: str


@dataclass(frozen=True, slots=True)
class OfCategory:
    """What the set in force says of a kind of food; no limits where it has none."""

    category: Category
    dated: tuple[Said, ...]
    others: tuple[Said, ...]
    quality: tuple[Said, ...]
    offer: str
    cautions: tuple[str, ...]
    is_exempt: bool


@dataclass(frozen=True, slots=True)
class Line:
    """What one set comes to, beside the others."""

    set_id: str
    title: str
    until: str
    says: str
    source: str
    is_in_force: bool


def about(guidance: GuidanceSet) -> tuple[int, int]:
    """How many limits a set has, and how many of them nobody checked."""
    return limits_of(guidance)


def of_category(session: Session, category_id: str) -> OfCategory:
    """What the set in force says; UnknownThingError for a kind that there is not."""
    guidance = session.guidance
    category = _category(guidance, category_id)
    plan = guidance.plan_for(Food(category.name, category.id))
    offer = category.offer
    if plan.offer is not None:
        near = plan.offer
        offer = sentence(
            "nearest: {category} ({says})",
            category=near.category.name,
            says=Wording(near.rule.says),
        )
        if category.offer:
            offer = joined("{near} {own}", near=offer, own=category.offer)
    return OfCategory(
        category,
        _said(plan.dated or plan.exempt),
        _said((*plan.exposure, *plan.chill, *plan.process)),
        _said(plan.quality),
        "" if plan.dated else offer,
        tuple(guidance.cautions[key] for key in category.cautions),
        is_exempt=bool(plan.exempt),
    )


def sets_of_category(session: Session, category_id: str) -> list[Line]:
    """Every set on such food made now and put into a fridge at once."""
    category = _category(session.guidance, category_id)
    stay = Stay("fridge", session.now, None)
    history = History(made_at=session.now, stays=(stay,))
    asked = Asked(
        Food(category.name, category.id),
        history,
        session.kitchen.zone,
        session.now,
        session.guidance,
    )
    return _lines(asked)


def sets_of_container(session: Session, code: str) -> tuple[str, list[Line]]:
    """Every set on one container as it is now, and its name."""
    asked = asked_of(session, code)
    with session.read() as unit:
        known = unit.find(code)
    return f"{spaced(known.code)} {known.food}", _lines(asked)


def _lines(asked: Asked) -> list[Line]:
    return [_line(asked, one) for one in compare(asked)]


def _line(asked: Asked, verdict: Verdict) -> Line:
    limits = verdict.limits
    counted = [limit for limit in limits if limit.days_left is not None]
    first = limits[0] if limits and verdict.binding else None
    if verdict.status == "paused" and counted:
        first = min(counted, key=lambda limit: limit.days_left or 0)
    return Line(
        verdict.guidance.id,
        verdict.guidance.title,
        _until(verdict),
        first.rule.says if first else next(iter(verdict.unknown), ""),
        rule_source_words(first.rule) if first else "",
        verdict.guidance.id == asked.guidance.id,
    )


def _until(verdict: Verdict) -> str:
    if verdict.status == "paused":
        left = verdict.days_left or 0
        return with_commas([sentence("frozen"), days_after_thawing(left)])
    binding = verdict.binding
    if verdict.last_day is None or binding is None:
        return NO_LAST_DAY
    when = say_day(verdict.last_day)
    if binding.includes_moment and binding.last_moment:
        when = say_moment(binding.last_moment, verdict.zone)
    if verdict.status == "over":
        return sentence("until {when}, over", when=when)
    return sentence("until {when}", when=when)


def _said(rules: tuple[Rule, ...]) -> tuple[Said, ...]:
    found = (Said(x.says, rule_source_words(x), x.source.url) for x in rules)
    return tuple(dict.fromkeys(found))


def _category(guidance: GuidanceSet, category_id: str) -> Category:
    category = guidance.categories.get(category_id)
    if category is None:
        raise UnknownThingError(
            sentence(
                "no kind of food {category}: search for it", category=repr(category_id)
            )
        )
    return category
