"""What happened to a container as data; its words are `app/history_words.py`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from lidclock.app.history_words import corrections_in, own_events
from lidclock.app.instants import to_second

if TYPE_CHECKING:
    from lidclock.app.session import View


def history_json(view: View, zone: ZoneInfo) -> list[dict[str, Any]]:
    """The same as data, with the event ids that `correct` takes."""
    voided, changed = corrections_in(view)
    return [
        {
            "id": event.id,
            "kind": event.kind,
            "subject": event.subject,
            "happened_at": to_second(event.happened_at, zone),
            "recorded_at": to_second(event.recorded_at, zone),
            "who": event.who or None,
            "body": dict(event.body),
            "voided": event.id in voided,
            "corrected": [dict(change) for change in changed.get(event.id, [])],
        }
        for event in own_events(view)
    ]
