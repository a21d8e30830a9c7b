"""Which containers need somebody now, the most urgent first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from lidclock.clock.status import status_at
from lidclock.domain.snapshots import Snapshot

# Most urgent first; the words are statuses, and `unmarked` for no place or no date.
# `check` is a frozen one whose date comes, or that has no day left.
# `cooling` is a stage of cooling that is due within minutes, or was not met.
URGENCY = ("cooling", "over", "last-day", "soon", "check", "unknown", "unmarked")


@dataclass(frozen=True, slots=True)
class Alert:
    """One container that needs somebody, and why; `note` is what to do about it.

    `matter` tells one cause from the next, where kind and container do not.
    """

    kind: str
    container: Snapshot
    note: str = ""
    matter: str = ""


# So long before its hour somebody looks at what thaws, and so long after it is told
# (our choices).
READY_LEAD, READY_FOR = timedelta(minutes=10), timedelta(hours=2)
# Time to fetch a probe, and to split a pan or set up an ice bath (our choice).
COOLING_LEAD = timedelta(minutes=30)


def is_cooling_urgent(due_at: datetime, now: datetime) -> bool:
    """Whether a stage of cooling is due so soon that somebody has to measure it."""
    return due_at - now <= COOLING_LEAD


def is_ready_due(ready_at: datetime, now: datetime) -> bool:
    """Whether it is time to look at what should be thawed at `ready_at`."""
    return ready_at - READY_LEAD <= now < ready_at + READY_FOR


def pick(
    containers: Iterable[Snapshot], now: datetime, zone: ZoneInfo, within: timedelta
) -> list[Alert]:
    """Alerts for live containers that are over, end within `within`, or lack a mark."""
    found = [
        Alert(kind, container)
        for container in containers
        if (kind := _kind(container, now, zone, within))
    ]
    return sorted(found, key=_order)


def _kind(container: Snapshot, now: datetime, zone: ZoneInfo, within: timedelta) -> str:
    status = status_at(container.standing, container.last_moment, now, zone, within)
    if status in ("over", "last-day", "soon", "unknown"):
        return status
    if status == "paused" and not container.is_unmarked:
        last = container.last_moment
        comes = last is not None and last - now <= within
        return "check" if comes or container.days_left == 0 else ""
    return "unmarked" if container.is_unmarked else ""


def _order(alert: Alert) -> tuple[int, float, str, int, int, str]:
    one, last = alert.container, alert.container.last_moment
    return (
        URGENCY.index(alert.kind),
        last.timestamp() if last else 0.0,
        one.food.casefold(),
        one.batch_number or 0,
        one.index or 0,
        one.code,
    )
