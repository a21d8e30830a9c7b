"""The date of a listed container, and what it lacks, in the words of every screen."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from lidclock.app.end_words import end_words, reason_words
from lidclock.app.verdict_words import NO_LAST_DAY, by_date, not_after, say_when
from lidclock.domain.moments import local_date, say_near_day
from lidclock.domain.phrases import boxed, told_of, with_commas
from lidclock.domain.sentences import Wording, joined, sentence, sentences

if TYPE_CHECKING:
    from lidclock.app.lists import Listed
    from lidclock.domain.snapshots import Snapshot

_TICK = timedelta(microseconds=1)
FROZEN_OUT = sentence("no days left after thawing: discard")


def listed_words(listed: Listed) -> str:
    """The date of a listed container: `use by Thu 5 Nov`, `5 days left ...`."""
    one = listed.container
    if one.standing == "ended":
        return _ended_words(listed)
    if one.standing == "paused" and listed.status != "over":
        return _paused_words(listed)
    dated = moment_words(listed)
    if dated and is_unknown(listed):
        return with_commas([NO_LAST_DAY, dated])
    return dated or NO_LAST_DAY


def is_unknown(listed: Listed) -> bool:
    """Whether it has no last day, though an hour may be known at which it is over."""
    return "unknown" in (listed.status, listed.container.standing)


def _ended_words(listed: Listed) -> str:
    """`discarded since Sun 1 Nov 08:00: smell`."""
    one = listed.container
    end = end_words(one.end_kind)
    if one.ended_at:
        when = say_when(one.ended_at, listed.zone)
        end = sentence("{end} since {when}", end=end, when=when)
    return told_of(end, reason_words(one.end_reason)) if one.end_reason else end


def days_after_thawing(days: int) -> str:
    """`5 days left after thawing`."""
    return sentences(
        "{count} day left after thawing", "{count} days left after thawing", days
    )


def _paused_words(listed: Listed) -> str:
    """How many days are left, and the date that the freezer does not move."""
    days = listed.days_left or 0
    left = days_after_thawing(days) if days >= 1 else FROZEN_OUT
    dated = moment_words(listed)
    if dated and days:
        return with_commas([left, dated])
    return _noted(left, listed.container)


def moment_words(listed: Listed) -> str:
    """`use by Thu 5 Nov`, with the hour where an hour clock set it.

    Of what has no last day only that it is over then in any case.
    """
    one = listed.container
    if one.last_moment is None:
        return ""
    end = one.last_moment - _TICK
    when = say_near_day(
        local_date(end, listed.zone), local_date(listed.now, listed.zone)
    )
    if one.has_hour:
        hour = f"{end.astimezone(listed.zone):%H:%M}"
        when = joined("{hour} {day}", hour=hour, day=when)
    if is_unknown(listed):
        return _noted(not_after(when), one)
    return _noted(by_date(when, one.is_house_rule), one)


def _noted(words: str, one: Snapshot) -> str:
    """The words with what must stand beside the figure, in brackets."""
    notes = [
        word
        for word, holds in (
            (sentence("house rule"), one.is_house_rule),
            (sentence("unverified"), one.is_unverified),
            (Wording(one.approval), bool(one.approval)),
        )
        if holds
    ]
    return boxed(words, with_commas(notes)) if notes else words


def unmarked_reason(one: Snapshot) -> str:
    """What a container lacks: a place, a last day, or both."""
    lacks = [] if one.place else [sentence("no place")]
    if one.standing == "unknown":
        lacks.append(NO_LAST_DAY)
    return with_commas(lacks)
