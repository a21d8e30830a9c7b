"""What an alert is about, and how long an answer keeps it quiet."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from lidclock.alerts.voice import Alert
from lidclock.domain.alert_answers import AlertAnswer

if TYPE_CHECKING:
    from lidclock.alerts.temperature import TemperatureAlert

# Everything else is quiet until the next card hour. Minutes count while food cools, and
# hours add up while a place is beyond its limit (our choices).
QUIET: Mapping[str, timedelta] = {
    "cooling": timedelta(minutes=30),
    "excursion": timedelta(hours=1),
}
# An answer may bear the clock of another request that came at the same time.
_TICK = timedelta(minutes=1)


def matter_of(alert: Alert) -> str:
    """What the alert of a container is about; another matter is another alert."""
    one, end = alert.container, ""
    if alert.kind in ("over", "last-day", "soon", "check") and one.last_moment:
        end = one.last_moment.isoformat()
    elif alert.kind == "missing" and one.ended_at:
        end = one.ended_at.isoformat()
    elif alert.kind == "unmarked":
        end = f"{'placed' if one.place else 'loose'} {one.standing}"
    return "/".join((alert.kind, one.code, alert.matter or end))


def place_matter_of(alert: TemperatureAlert) -> str:
    """The same for a place; how it began is not in it, since that may be found anew."""
    return "/".join((alert.kind, alert.place.name.casefold(), *alert.sensors))


def quiet_until(kind: str, answer: AlertAnswer, next_card: datetime) -> datetime:
    """Until when an answer holds, if nothing changes; `next_card` follows it."""
    span = QUIET.get(kind)
    return next_card if span is None else answer.at + span


def is_quiet(
    answer: AlertAnswer, since: datetime | None, until: datetime, now: datetime
) -> bool:
    """Whether an answer holds: it was said of this very time, which began `since`."""
    is_of_this = since is None or since <= answer.at
    return is_of_this and answer.at <= now + _TICK and now < until
