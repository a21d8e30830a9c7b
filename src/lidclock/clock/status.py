"""The one word that says how a container stands."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from lidclock.domain.moments import last_date, local_date

STATUSES = ("keep", "soon", "last-day", "over", "paused", "unknown", "ended")


def days_left_at(
    carried: int | None, over_at: datetime | None, now: datetime, zone: ZoneInfo
) -> int | None:
    """Days left if a frozen container is thawed at `now`, that day being the first.

    `over_at` is where a limit runs on in the freezer, such as a maker's date.
    """
    if carried is None or over_at is None:
        return carried
    until = (last_date(over_at, zone) - local_date(now, zone)).days + 1
    return max(0, min(carried, until))


def status_at(
    standing: str,
    over_at: datetime | None,
    now: datetime,
    zone: ZoneInfo,
    lead: timedelta,
    *,
    is_silent: bool = False,
) -> str:
    """The status at `now` of a container that is `dated`, `paused`, `unknown`, `ended`.

    `over_at` is the first instant past the last moment. `is_silent` if nobody reads its
    place any more, though its kitchen wants that; over is over all the same.
    """
    if standing == "ended":
        return standing
    if over_at is None:
        return "unknown" if is_silent else standing
    if now >= over_at:
        return "over"
    if is_silent:
        return "unknown"
    if standing != "dated":
        return standing
    if local_date(now, zone) >= last_date(over_at, zone):
        return "last-day"
    return "soon" if over_at - now <= lead else "keep"
