"""The date of a listed container, and what it lacks, in the words of every screen."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from lidclock.app.verdict_words import date_word, plural, say_when
from lidclock.domain.moments import local_date, say_near_day

if TYPE_CHECKING:
    from lidclock.app.lists import Listed
    from lidclock.domain.snapshots import Snapshot

_TICK = timedelta(microseconds=1)


def listed_words(listed: Listed) -> str:
    """The date of a listed container: `use by Thu 5 Nov`, `5 days left ...`."""
    one = listed.container
    if one.standing == "ended":
        when = f" since {say_when(one.ended_at, listed.zone)}" if one.ended_at else ""
        return ": ".join(part for part in (one.end_kind + when, one.end_reason) if part)
    if one.standing == "paused" and listed.status != "over":
        return _paused_words(listed)
    return moment_words(listed) or "no last day"


def _paused_words(listed: Listed) -> str:
    """How many days are left, and the date that the freezer does not move."""
    days = listed.days_left or 0
    left = f"{plural(days, 'day')} left after thawing"
    if days < 1:
        left = "no days left after thawing: discard"
    dated = moment_words(listed)
    if dated and days:
        return f"{left}, {dated}"
    return f"{left}{_notes(listed.container)}"


def moment_words(listed: Listed) -> str:
    """`use by Thu 5 Nov`, with the hour where an hour clock set it."""
    one = listed.container
    if one.last_moment is None:
        return ""
    end = one.last_moment - _TICK
    day = say_near_day(
        local_date(end, listed.zone), local_date(listed.now, listed.zone)
    )
    hour = f"{end.astimezone(listed.zone):%H:%M} " if one.has_hour else ""
    return f"{date_word(one.is_house_rule)} {hour}{day}{_notes(one)}"


def _notes(one: Snapshot) -> str:
    """What must stand beside the figure, in brackets."""
    notes = [
        word
        for word, holds in (
            ("house rule", one.is_house_rule),
            ("unverified", one.is_unverified),
            (one.approval, bool(one.approval)),
        )
        if holds
    ]
    return f" ({', '.join(notes)})" if notes else ""


def unmarked_reason(one: Snapshot) -> str:
    """What a container lacks: a place, a last day, or both."""
    lacks = [] if one.place else ["no place"]
    if one.standing == "unknown":
        lacks.append("no last day")
    return ", ".join(lacks)
