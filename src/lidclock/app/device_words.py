"""What a device is told of an event that was recorded."""

from __future__ import annotations

from lidclock.app.end_words import reason_words
from lidclock.app.history_words import kind_words
from lidclock.app.moves import Done
from lidclock.app.scanning import done_line, look_words
from lidclock.app.session import View
from lidclock.domain.events import Event
from lidclock.domain.masses import say_mass
from lidclock.domain.phrases import with_semicolons
from lidclock.domain.readings import say_temp
from lidclock.domain.sentences import sentence
from lidclock.domain.snapshots import Snapshot

_EATEN = ("used", "taken", "opened", "given")


def says(event: Event, view: View, before: Snapshot | None) -> str:
    """`4F7 K2M0 stew, box 1 of 2: frozen; 5 days left after thawing`.

    `before` is how it stood before these events came: past its last moment is told.
    """
    if event.kind == "corrected":
        return with_semicolons([sentence("undone"), look_words(view)])
    if view.container.after_end and not is_contradicted(event, view):
        return look_words(view)
    late = sentence("it was past its last moment") if _is_late(event, before) else ""
    return with_semicolons([done_line(Done(_did(event), view)), late])


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
            if body["state"] == "freezer":
                return sentence("frozen")
            return sentence("in {place}", place=body["place"])
        case "discarded":
            return sentence("discarded ({reason})", reason=reason_words(body["reason"]))
        case "given":
            return sentence("handed on")
        case "taken":
            return sentence("{mass} taken", mass=say_mass(body["mass_g"]))
        case "cooled" if "phase" in body:
            return sentence("{temp} read", temp=say_temp(body["temp_c"]))
    return kind_words(event.kind)


def _is_late(event: Event, before: Snapshot | None) -> bool:
    if before is None or before.last_moment is None:
        return False
    is_frozen = event.kind == "placed" and event.body["state"] == "freezer"
    is_eaten = event.kind in _EATEN
    return (is_frozen or is_eaten) and event.happened_at >= before.last_moment
