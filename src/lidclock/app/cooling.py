"""Cooling logs: started, read and finished for a batch or for one container."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from lidclock.app.cooling_refusals import refuse_warmer, why_open
from lidclock.app.cooling_target import Target, target_of
from lidclock.app.cooling_watch import kill_c, temp_words
from lidclock.app.oddities import (
    refuse_before_making,
    refuse_ended,
    refuse_odd_freezing,
)
from lidclock.app.outlook import Standing, alike, standing_of
from lidclock.app.session import Fact, Unit, View
from lidclock.clock.cooling import can_begin_again
from lidclock.domain.codes import spaced
from lidclock.domain.kitchens import Place
from lidclock.domain.moments import say_moment
from lidclock.domain.phrases import short
from lidclock.domain.sentences import figure, sentence
from lidclock.errors import InputError, RefusedError

__all__ = ["Logged", "Setting", "Target", "finish", "read", "start", "target_of"]

SHALLOWEST_MM, DEEPEST_MM = 3.0, 600.0


@dataclass(frozen=True, slots=True)
class Setting:
    """How it is set to cool; None where nobody said."""

    depth_mm: float | None = None
    is_covered: bool | None = None
    place: Place | None = None
    medium_c: float | None = None


@dataclass(frozen=True, slots=True)
class Logged:
    """How things stand after an entry; `refusal` says why the log did not close."""

    target: Target
    standings: tuple[Standing, ...]
    remarks: tuple[str, ...] = ()
    refusal: str = ""


def start(
    unit: Unit,
    target: Target,
    setting: Setting,
    *,
    temp_c: float | None = None,
    at: datetime | None = None,
    anyway: bool = False,
) -> Logged:
    """Cooling began: a log is open from now on, until `finish` closes it."""
    when = _checked(unit, target, at, anyway)
    body: dict[str, Any] = {"phase": "start"}
    if setting.depth_mm is not None:
        body["depth_mm"] = _depth(setting.depth_mm)
    if setting.is_covered is not None:
        body["covered"] = setting.is_covered
    _add_temps(body, temp_c, setting.medium_c)
    facts = [Fact("cooled", target.subject, body, when)]
    if setting.place is not None:
        facts += _placings(unit, target, setting.place, when, anyway)
    views = [unit.view(one.code) for one in target.containers]
    known = [at for view in views if (at := view.container.cooling_since)]
    unit.record(facts)
    remarks = _remarks(unit, target)
    if known:
        since = say_moment(min(known), unit.session.kitchen.zone)
        remarks = (f"its log is open since {since}: this is added to it", *remarks)
    return Logged(target, standings_of(unit, target), remarks)


def _placings(
    unit: Unit, target: Target, place: Place, when: datetime, anyway: bool
) -> list[Fact]:
    """Where the containers cool, for those that are not there already."""
    body = {"place": place.name, "state": place.state}
    moved = [one for one in target.containers if one.place != place.name]
    for one in moved:
        if not anyway:
            refuse_odd_freezing(unit, one, place, when)
    return [Fact("placed", one.code, body, when) for one in moved]


def read(
    unit: Unit,
    target: Target,
    temp_c: float,
    *,
    at: datetime | None = None,
    medium_c: float | None = None,
    anyway: bool = False,
) -> Logged:
    """The middle of the food was measured; a reading counts whenever it is told."""
    when = _checked(unit, target, at, anyway)
    views = _cooling_views(unit, target)
    if not anyway:
        refuse_warmer(views, temp_c, when)
    before = _without_log(target, views)
    body: dict[str, Any] = {"phase": "read"}
    _add_temps(body, temp_c, medium_c)
    unit.record([Fact("cooled", target.subject, body, when)])
    remarks = (*before, *_remarks(unit, target))
    return Logged(target, standings_of(unit, target), remarks)


def finish(
    unit: Unit,
    target: Target,
    temp_c: float | None = None,
    *,
    at: datetime | None = None,
    medium_c: float | None = None,
    reheat_c: float | None = None,
    discard: str | None = None,
    anyway: bool = False,
) -> Logged:
    """Close the log, where it is cold and no stage was missed; else say what is left.

    The reading is recorded whatever becomes of the log: a fact is never refused.
    """
    if reheat_c is not None and discard is not None:
        raise InputError("reheat it or discard it: give one of the two")
    if temp_c is None and reheat_c is None and discard is None:
        raise InputError(sentence("say what the thermometer shows, for example 4.5C"))
    when = _checked(unit, target, at, anyway)
    act, before = "", tuple[str, ...]()
    views = _cooling_views(unit, target)
    if temp_c is not None:
        if not anyway:
            refuse_warmer(views, temp_c, when)
        before = _without_log(target, views)
        body: dict[str, Any] = {"phase": "read"}
        _add_temps(body, temp_c, medium_c)
        act = unit.record([Fact("cooled", target.subject, body, when)])[0].act
    if discard is not None:
        return _discarded(unit, target, discard, when, act)
    if reheat_c is not None:
        return _reheated(unit, target, reheat_c, when, act)
    standings = standings_of(unit, target)
    refusal = why_open(unit.session, target, standings, temp_c)
    if not refusal:
        unit.record([Fact("cooled", target.subject, {"phase": "finish"}, when)], act)
        standings = standings_of(unit, target)
    remarks = (*before, *_remarks(unit, target))
    return Logged(target, standings, remarks, refusal)


def standings_of(unit: Unit, target: Target) -> tuple[Standing, ...]:
    """How what cools of a target stands, those alike as one; none without a log."""
    views = _cooling_views(unit, target)
    found = [
        standing_of(view, unit.session)
        for view in views
        if view.container.cooling is not None
    ]
    return tuple(alike(found))


def _checked(unit: Unit, target: Target, at: datetime | None, anyway: bool) -> datetime:
    """The moment of an entry: not in the future, nor before anything was made."""
    when = unit.session.checked_past(at, "time")
    for one in target.containers:
        if not anyway:
            refuse_ended(one, "cooled")
        if at is not None:
            refuse_before_making(unit, one, when)
    return when


def _depth(depth_mm: float) -> float:
    if not SHALLOWEST_MM <= depth_mm <= DEEPEST_MM:
        raise InputError(
            sentence(
                "a depth of {depth} mm cannot be right; it must lie within {low} and "
                "{high} mm",
                depth=short(depth_mm),
                low=short(SHALLOWEST_MM),
                high=short(DEEPEST_MM),
            )
        )
    return round(depth_mm, 1)


def _add_temps(
    body: dict[str, Any], temp_c: float | None, medium_c: float | None
) -> None:
    if temp_c is not None:
        body["temp_c"] = temp_c
    if medium_c is not None:
        body["medium_c"] = medium_c


def _cooling_views(unit: Unit, target: Target) -> list[View]:
    """The containers that an entry for this target is about."""
    views = [unit.view(one.code) for one in target.containers]
    if target.batch_number is None:
        return views
    together = [view for view in views if not view.container.cools_alone]
    if not together:
        raise RefusedError(
            sentence(
                "every box of {name} is measured on its own: give its code instead of "
                "{number}",
                name=target.name,
                number=figure(target.batch_number),
            )
        )
    return together


def _without_log(target: Target, views: list[View]) -> tuple[str, ...]:
    """What to say where nobody had started a log, or it was closed."""
    if any(view.container.cooling_since for view in views) or not views:
        return ()
    if all(view.container.cooling is None for view in views):
        return ("no log was open: this reading opens one, its depth not known",)
    return (
        f"the log of {target.name} was closed: the reading is recorded all the same",
    )


def _remarks(unit: Unit, target: Target) -> tuple[str, ...]:
    """Boxes of a batch that a reading of the batch is no longer about."""
    if target.batch_number is None:
        return ()
    alone = [
        spaced(one.code)
        for one in target.containers
        if unit.view(one.code).container.cools_alone
        and unit.view(one.code).container.cooling_since
    ]
    if not alone:
        return ()
    return (f"measured on its own, so not with the batch: {', '.join(alone)}",)


def _discarded(
    unit: Unit, target: Target, reason: str, when: datetime, act: str
) -> Logged:
    body = {"reason": reason.strip() or "cooled too slowly"}
    codes = [view.code for view in _cooling_views(unit, target)]
    unit.record([Fact("discarded", code, body, when) for code in codes], act)
    did = f"discarded ({body['reason']}): {', '.join(spaced(code) for code in codes)}"
    return Logged(target, (), (did,))


def _reheated(
    unit: Unit, target: Target, reheat_c: float, when: datetime, act: str
) -> Logged:
    """Reheated: in time and hot enough, the hours of cooling start again."""
    session = unit.session
    views = _cooling_views(unit, target)
    helps = all(
        reheat_c >= kill_c(view)
        and can_begin_again(
            view.verdict.plan,
            view.inventory.history_of(view.container),
            session.guidance.cold_c,
            when,
        )
        for view in views
    )
    facts = [Fact("reheated", x.code, {"temp_c": reheat_c}, when) for x in views]
    unit.record(facts, act)
    standings = standings_of(unit, target)
    hot_c = max(kill_c(view) for view in views)
    if helps:
        return Logged(target, standings, ("reheated: cooling starts again",))
    why = f"{session.guidance.id} gives no hours back for it"
    if reheat_c < hot_c:
        why = f"{temp_words(reheat_c, session)} is not the "
        why += f"{temp_words(hot_c, session)} at which it counts"
    if not any(one.missed for one in standings):
        return Logged(target, standings, (f"reheated, but {why}: the hours go on",))
    refusal = (
        f"{target.name}: the reheating is recorded, but {why}; a stage was missed, so "
        "its log does not close: discard it with --discard REASON"
    )
    return Logged(target, standings, (), refusal)
