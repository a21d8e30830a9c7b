"""What a device is told of an event that was recorded."""

from __future__ import annotations

from lidclock.app.moves import Done
from lidclock.app.scanning import done_line, look_line
from lidclock.app.session import View
from lidclock.domain.events import Event
from lidclock.domain.masses import say_mass
from lidclock.domain.snapshots import Snapshot

_EATEN = ("used", "taken", "opened", "given")


def says(event: Event, view: View, before: Snapshot | None) -> str:
    """`4F7 K2M0 stew, box 1 of 2: frozen; 5 days left after thawing`.

    `before` is how it stood before these events came: past its last moment is told.
    """
    if event.kind == "corrected":
        return f"undone; {look_line(view)}"
    if view.container.after_end and not is_contradicted(event, view):
        return look_line(view)
    late = "; it was past its last moment" if _is_late(event, before) else ""
    return f"{done_line(Done(_did(event), view))}{late}"


def is_contradicted(event: Event, view: View) -> bool:
    """Whether it came after the end of its container, or is the end that others ignore.

    Both are kept, and both are shown.
    """
    late = view.container.after_end
    if any(one.id == event.id for one in late):
        return True
    end = view.container.end
    if not late or end is None:
        return False
    is_that_end = event.kind == end.kind or (event.kind, end.kind) == ("taken", "used")
    return is_that_end and event.happened_at == end.at


def _did(event: Event) -> str:
    body = event.body
    match event.kind:
        case "placed":
            return "frozen" if body["state"] == "freezer" else f"in {body['place']}"
        case "discarded":
            return f"discarded ({body['reason']})"
        case "given":
            return "handed on"
        case "taken":
            return f"{say_mass(body['mass_g'])} taken"
        case "cooled" if "phase" in body:
            return f"{body['temp_c']:g} °C read"
    return event.kind


def _is_late(event: Event, before: Snapshot | None) -> bool:
    if before is None or before.last_moment is None:
        return False
    is_frozen = event.kind == "placed" and event.body["state"] == "freezer"
    is_eaten = event.kind in _EATEN
    return (is_frozen or is_eaten) and event.happened_at >= before.last_moment
