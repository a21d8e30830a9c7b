"""Steps of an explanation: data first, words last, the same for every reader."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from lidclock.domain.history import Stay
from lidclock.domain.moments import say_day, say_hours, say_moment
from lidclock.domain.phrases import STATES, short
from lidclock.domain.sentences import figure, sentence, sentences

# A step is its kind and its numbers: ("first-day", "made", date(2026, 10, 31)).
Step = tuple[Any, ...]

# What hours and days are counted from; what a stage began with brings its own words.
_ANCHORS: Mapping[str, str] = {
    "made": sentence("made"),
    "opened": sentence("opened"),
    "begun": sentence("begun"),
    "thawed": sentence("thawed"),
}


def render(step: Step) -> str:
    """One step in words."""
    return _WORDS[step[0]](*step[1:])


def _first_day(anchor: str, day: date) -> str:
    words = _ANCHORS.get(anchor, anchor)
    return sentence("day 1 is {day} ({anchor})", day=say_day(day), anchor=words)


def _days(low: int, high: int) -> str:
    if low == high:
        return sentences("{count} day allowed", "{count} days allowed", high)
    return sentences(
        "{low} to {count} day published: plan by day {low}, limit is day {count}",
        "{low} to {count} days published: plan by day {low}, limit is day {count}",
        high,
        low=figure(low),
    )


def _hours(low: float, high: float) -> str:
    return sentence(
        "{low} to {high} h published: plan by {low} h, limit is {high} h",
        low=short(low),
        high=short(high),
    )


def _no_rechill(hours: float, at: datetime, zone: ZoneInfo) -> str:
    return sentence(
        "{hours} h in all are up on {when}: from then on cold counts too",
        hours=short(hours),
        when=say_moment(at, zone),
    )


def _used(days: int, high: int) -> str:
    return sentence(
        "{days} of {all} days used before the freezer paused the count",
        days=figure(days),
        all=figure(high),
    )


def _last_day(day: date, high: int) -> str:
    return sentence(
        "day {number} is {day}; the limit is the end of that day",
        number=figure(high),
        day=say_day(day),
    )


def _budget(hours: float, above_c: float) -> str:
    return sentence(
        "{hours} h allowed in all above {limit} °C",
        hours=short(hours),
        limit=short(above_c),
    )


def _spent(spent: timedelta) -> str:
    return sentence("{span} used so far", span=say_hours(spent))


def _reached(at: datetime, zone: ZoneInfo) -> str:
    return sentence("reached on {when}", when=say_moment(at, zone))


def _warm(temp_c: float, at: datetime, zone: ZoneInfo) -> str:
    return sentence(
        "still {temp} °C on {when}", temp=short(temp_c), when=say_moment(at, zone)
    )


def _measured(above_c: float, stay: Stay, zone: ZoneInfo) -> str:
    assert stay.temp_c is not None
    known = {
        "limit": short(above_c),
        "place": stay.place or STATES[stay.state],
        "temp": short(stay.temp_c),
        "begin": say_moment(stay.began, zone),
    }
    if stay.ended is None:
        return sentence(
            "above {limit} °C in {place}, at most {temp} °C: {begin} on, and still "
            "(measured)",
            **known,
        )
    return sentence(
        "{span} above {limit} °C in {place}, at most {temp} °C: {begin} to {end} "
        "(measured)",
        **known,
        span=say_hours(stay.ended - stay.began),
        end=say_moment(stay.ended, zone),
    )


def _measured_more(count: int) -> str:
    return sentences(
        "and {count} more time (measured)", "and {count} more times (measured)", count
    )


def _since(hours: float, anchor: str, at: datetime, zone: ZoneInfo) -> str:
    return sentence(
        "{hours} h from {when} ({anchor})",
        hours=short(hours),
        when=say_moment(at, zone),
        anchor=_ANCHORS.get(anchor, anchor),
    )


def _text(words: str) -> str:
    return words


def _via(name: str) -> str:
    return sentence("because of {food}, which is in it", food=name)


def _maker(day: date) -> str:
    return sentence("the maker's date is {day}", day=say_day(day))


_WORDS: dict[str, Callable[..., str]] = {
    "first-day": _first_day,
    "days": _days,
    "used": _used,
    "hours": _hours,
    "no-rechill": _no_rechill,
    "last-day": _last_day,
    "budget": _budget,
    "spent": _spent,
    "reached": _reached,
    "warm": _warm,
    "measured": _measured,
    "measured-more": _measured_more,
    "since": _since,
    "text": _text,
    "via": _via,
    "maker": _maker,
}
