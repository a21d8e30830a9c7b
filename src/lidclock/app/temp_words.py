"""What to say of a reading that was just typed, and of how a place stands."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from lidclock.domain.moments import say_moment, say_span
from lidclock.domain.readings import say_about, say_temp
from lidclock.domain.sentences import sentence

if TYPE_CHECKING:
    from lidclock.app.session import Session
    from lidclock.app.temp_page import PlaceNow
    from lidclock.app.temps import Typed

_A_MOMENT = timedelta(seconds=1)


def typed_line(typed: Typed, session: Session) -> str:
    """`Fridge: 9 °C; above its limit of 4.4 °C`."""
    units, limit = session.kitchen.units, typed.limit
    place, temp = typed.place.name, say_temp(typed.reading.temp_c, units)
    if limit is None or not typed.is_beyond:
        return sentence("{place}: {temp}", place=place, temp=temp)
    by = say_about(limit.limit_c, units)
    if limit.is_floor:
        return sentence(
            "{place}: {temp}, below its limit of {limit}: heat the food again or "
            "discard it",
            place=place,
            temp=temp,
            limit=by,
        )
    return sentence(
        "{place}: {temp}, above its limit of {limit}: door? power? move the food?",
        place=place,
        temp=temp,
        limit=by,
    )


def standing_line(one: PlaceNow, session: Session) -> str:
    """How a place stands: beyond its limit since when, silent, never read, within."""
    units, zone = session.kitchen.units, session.kitchen.zone
    limit = say_about(one.limit.limit_c, units) if one.limit is not None else ""
    if one.kind == "unread":
        return sentence("nobody ever measured it: how warm it is, is not known")
    if one.kind == "silent" and one.since is not None:
        span = say_span(session.now - one.since)
        return sentence("silent for {span}: nobody knows how warm it is now", span=span)
    if one.kind == "disagree":
        return sentence("its thermometers disagree: check both in ice")
    if one.kind in ("excursion", "spike") and one.since is not None:
        since = say_moment(one.since, zone)
        if session.now - one.since < _A_MOMENT:
            return _beyond_just_now(one, limit, since)
        return _beyond_line(one, limit, say_span(session.now - one.since), since)
    if one.limit is None:
        return sentence("a counter is held to no limit: its time counts in full")
    if one.limit.is_floor:
        return sentence("at or above its limit of {limit}", limit=limit)
    return sentence("within its limit of {limit}", limit=limit)


def _beyond_just_now(one: PlaceNow, limit: str, since: str) -> str:
    """Of the first reading beyond it there is no length to tell yet."""
    assert one.limit is not None
    if one.limit.is_floor:
        return sentence("below its limit of {limit}, {when}", limit=limit, when=since)
    return sentence("above its limit of {limit}, {when}", limit=limit, when=since)


def _beyond_line(one: PlaceNow, limit: str, span: str, since: str) -> str:
    assert one.limit is not None
    if one.kind == "spike":
        return sentence(
            "above its limit of {limit} for {span}, since {since}: so short that food "
            "lags behind; its time counts all the same",
            limit=limit,
            span=span,
            since=since,
        )
    if one.limit.is_floor:
        return sentence(
            "below its limit of {limit} for {span}, since {since}",
            limit=limit,
            span=span,
            since=since,
        )
    return sentence(
        "above its limit of {limit} for {span}, since {since}",
        limit=limit,
        span=span,
        since=since,
    )
