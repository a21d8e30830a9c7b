"""Instants for JSON: ISO 8601 on a kitchen's clock, with the offset."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo


def local(instant: datetime | None, zone: ZoneInfo) -> str | None:
    """The whole instant, as exact as it is kept."""
    return None if instant is None else instant.astimezone(zone).isoformat()


def to_second(instant: datetime | None, zone: ZoneInfo) -> str | None:
    """The same to the second, for what is read rather than sent back."""
    if instant is None:
        return None
    return instant.astimezone(zone).isoformat(timespec="seconds")
