"""Moments and steps of time, in words."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, tzinfo

from lidclock.domain.moments import say_day

SECOND_US = 1_000_000
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_UNITS = ((86_400, "day"), (3600, "hour"), (60, "minute"), (1, "second"))


def say_local(local_us: int) -> str:
    """`Sun 1 Nov 2026 01:30`, as the clock showed it."""
    return _said(_EPOCH + timedelta(microseconds=local_us))


def say_moment(at_us: int, zone: tzinfo) -> str:
    """The same of an instant, on the clocks of a zone."""
    return _said((_EPOCH + timedelta(microseconds=at_us)).astimezone(zone))


def _said(moment: datetime) -> str:
    clock = f"{moment:%H:%M:%S}" if moment.second else f"{moment:%H:%M}"
    return f"{say_day(moment.date())} {clock}"


def say_step(step_us: int) -> str:
    """`every minute`, `every 5 minutes`, `every 90 seconds`: the usual step."""
    seconds = abs(step_us) / SECOND_US
    for size, word in _UNITS:
        count = seconds / size
        if count >= 1 and count == round(count):
            return f"every {word}" if count == 1 else f"every {count:.0f} {word}s"
    return f"every {seconds:g} seconds"
