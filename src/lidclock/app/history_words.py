"""What happened to a container; facts that were taken back stay visible, marked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from lidclock.app.verdict_words import say_when
from lidclock.domain.events import Event, in_order
from lidclock.domain.fold import voided_ids
from lidclock.domain.masses import say_mass

if TYPE_CHECKING:
    from lidclock.app.session import View


# A fact recorded so much later than it happened is shown as a late entry.
_LATE = timedelta(hours=1)


def history_lines(view: View, zone: ZoneInfo) -> list[str]:
    """One line an event, in the order in which it happened."""
    voided, changed = corrections_in(view)
    lines = []
    for event in own_events(view):
        who = f" by {event.who}" if event.who else ""
        line = f"{say_when(event.happened_at, zone)}  {event_words(event)}{who}"
        if event.recorded_at - event.happened_at > _LATE:
            line += f"  [recorded {say_when(event.recorded_at, zone)}]"
        if event.id in voided:
            line += "  [taken back]"
        for change in changed.get(event.id, []):
            line += f"  [corrected: {_change_words(change, zone)}]"
        lines.append(line)
    return lines


def own_events(view: View) -> list[Event]:
    """Events of the container, and of the batch and the container it came from."""
    container = view.container
    subjects = {view.code, container.batch, container.parent}
    return in_order(
        event
        for event in view.events
        if event.subject in subjects and event.kind != "corrected"
    )


def contradiction_lines(view: View, zone: ZoneInfo) -> list[str]:
    """Facts recorded of a time when the container had ended already."""
    end = view.container.end
    if end is None:
        return []
    return [
        f"{event_words(event)} on {say_when(event.happened_at, zone)}, "
        f"but {end.kind} on {say_when(end.at, zone)}"
        for event in view.container.after_end
    ]


def corrections_in(view: View) -> tuple[set[str], dict[str, list[Mapping[str, Any]]]]:
    """Which events were taken back, and what corrections say of the others."""
    voided = voided_ids(view.events)
    changed: dict[str, list[Mapping[str, Any]]] = {}
    corrections = [event for event in view.events if event.kind == "corrected"]
    for event in sorted(corrections, key=lambda event: (event.recorded_at, event.id)):
        if event.id not in voided and "set" in event.body:
            changed.setdefault(event.body["event"], []).append(event.body["set"])
    return voided, changed


def _change_words(change: Mapping[str, Any], zone: ZoneInfo) -> str:
    parts = []
    for key, value in change.items():
        if key == "facts":
            continue
        if key == "happened_at":
            parts.append(say_when(datetime.fromisoformat(value), zone))
        elif key == "mass_g":
            parts.append(say_mass(value))
        else:
            parts.append(f"{key} {value}")
    return ", ".join(parts)


def event_words(event: Event) -> str:
    """`placed in Fridge`, `discarded: smells off`."""
    body = event.body
    tell = _TOLD.get(event.kind)
    told = tell(body) if tell else ""
    temp = f"at {body['temp_c']:g} °C" if body.get("temp_c") is not None else ""
    return " ".join(part for part in (event.kind, told, temp) if part)


def _mass(body: Mapping[str, Any]) -> str:
    return say_mass(body["mass_g"]) if body.get("mass_g") is not None else ""


def _into(body: Mapping[str, Any]) -> str:
    shares = body.get("into", {})
    return ", ".join(f"{say_mass(grams)} into {code}" for code, grams in shares.items())


def _mixed(body: Mapping[str, Any]) -> str:
    if "into" in body:
        return f"into {body['into']}"
    return f"from {', '.join(body.get('from', ()))}"


def _cooling(body: Mapping[str, Any]) -> str:
    """What an entry of a cooling log says besides the temperature."""
    phase = body.get("phase")
    if phase is None:
        return ""
    words = [f"log {phase}"]
    if body.get("depth_mm") is not None:
        words.append(f"{round(body['depth_mm'])} mm deep")
    if body.get("covered") is not None:
        words.append("covered" if body["covered"] else "uncovered")
    if body.get("medium_c") is not None:
        words.append(f"around it {body['medium_c']:g} °C")
    return f"({', '.join(words)})"


_TOLD: dict[str, Callable[[Mapping[str, Any]], str]] = {
    "cooled": _cooling,
    "placed": lambda body: f"in {body['place']}",
    "taken": _mass,
    "filled": _mass,
    "discarded": lambda body: str(body.get("reason", "")),
    "given": lambda body: f"to {body['to']}" if body.get("to") else "",
    "made": lambda body: f"batch {body['number']}",
    "split": _into,
    "combined": _mixed,
}
