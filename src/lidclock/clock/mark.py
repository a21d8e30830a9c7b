"""Whether a date mark allows more than the limit: that is a fault in itself."""

from __future__ import annotations

from datetime import date, datetime

from lidclock.clock.verdict import Verdict
from lidclock.domain.moments import last_date


def is_mark_late(
    verdict: Verdict, marked_on: date, marked_at: datetime | None = None
) -> bool:
    """Whether a mark on the lid is later than the last moment, whatever the hour now.

    A mark with a time is held against the moment, one with a day against the day. While
    it is frozen, or no last moment is known, no mark can be held against it.
    """
    if verdict.binding is None or verdict.standing not in ("dated", "ended"):
        return False
    over_at = verdict.binding.over_at
    if over_at is None:
        return False
    if marked_at is not None and verdict.binding.last_moment is not None:
        return marked_at > verdict.binding.last_moment
    return marked_on > last_date(over_at, verdict.zone)
