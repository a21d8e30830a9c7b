"""What happened to a container; facts that were taken back stay visible, marked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from lidclock.app.end_words import end_words, reason_words
from lidclock.app.verdict_words import say_when
from lidclock.domain.events import Event, in_order
from lidclock.domain.fold import voided_ids
from lidclock.domain.masses import say_mass
from lidclock.domain.phrases import boxed, short, with_commas
from lidclock.domain.sentences import figure, joined, sentence

if TYPE_CHECKING:
    from lidclock.app.session import View


# A fact recorded so much later than it happened is shown as a late entry.
_LATE = timedelta(hours=1)


def history_lines(view: View, zone: ZoneInfo) -> list[str]:
    """One line an event, in the order in which it happened."""
    voided, changed = corrections_in(view)
    lines = []
    for event in own_events(view):
        line = _line(event, zone)
        if event.recorded_at - event.happened_at > _LATE:
            when = say_when(event.recorded_at, zone)
            line = sentence("{line}  [recorded {when}]", line=line, when=when)
        if event.id in voided:
            line = sentence("{line}  [taken back]", line=line)
        for change in changed.get(event.id, []):
            words = _change_words(change, zone)
            line = sentence("{line}  [corrected: {change}]", line=line, change=words)
        lines.append(line)
    return lines


def _line(event: Event, zone: ZoneInfo) -> str:
    """`Sat 31 Oct 17:10  placed in Fridge by Ana`."""
    known = {"when": say_when(event.happened_at, zone), "event": event_words(event)}
    if not event.who:
        return joined("{when}  {event}", **known)
    return sentence("{when}  {event} by {who}", **known, who=event.who)


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
        sentence(
            "{event} on {when}, but {end} on {ended}",
            event=event_words(event),
            when=say_when(event.happened_at, zone),
            end=end_words(end.kind),
            ended=say_when(end.at, zone),
        )
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
            known = _FIELDS.get(key, key)
            parts.append(joined("{field} {value}", field=known, value=str(value)))
    return with_commas(parts)


_FIELDS: Mapping[str, str] = {
    "place": sentence("place"),
    "food": sentence("food"),
    "batch": sentence("batch"),
    "lot": sentence("lot"),
    "temp_c": sentence("temperature"),
}


def event_words(event: Event) -> str:
    """`placed in Fridge`, `discarded smells off`, `cooled at 5 °C`."""
    tell = _TOLD.get(event.kind)
    told = tell(event.body) if tell else kind_words(event.kind)
    temp_c = event.body.get("temp_c")
    if temp_c is None:
        return told
    return sentence("{event} at {temp} °C", event=told, temp=short(temp_c))


def kind_words(kind: str) -> str:
    """`opened`: what happened, without more."""
    return _DONE.get(kind, kind)


def _made(body: Mapping[str, Any]) -> str:
    return sentence("made batch {number}", number=figure(body["number"]))


def _filled(body: Mapping[str, Any]) -> str:
    if body.get("mass_g") is None:
        return sentence("filled")
    return sentence("filled {mass}", mass=say_mass(body["mass_g"]))


def _taken(body: Mapping[str, Any]) -> str:
    if body.get("mass_g") is None:
        return sentence("taken")
    return sentence("taken {mass}", mass=say_mass(body["mass_g"]))


def _placed(body: Mapping[str, Any]) -> str:
    return sentence("placed in {place}", place=body["place"])


def _discarded(body: Mapping[str, Any]) -> str:
    if not body.get("reason"):
        return sentence("discarded")
    return sentence("discarded {reason}", reason=reason_words(body["reason"]))


def _given(body: Mapping[str, Any]) -> str:
    return (
        sentence("given to {to}", to=body["to"]) if body.get("to") else _DONE["given"]
    )


def _split(body: Mapping[str, Any]) -> str:
    shares = body.get("into", {})
    if not shares:
        return _DONE["split"]
    parts = (
        sentence("{mass} into {code}", mass=say_mass(grams), code=code)
        for code, grams in shares.items()
    )
    return sentence("split {shares}", shares=with_commas(parts))


def _combined(body: Mapping[str, Any]) -> str:
    if "into" in body:
        return sentence("combined into {code}", code=body["into"])
    return sentence("combined from {codes}", codes=with_commas(body.get("from", ())))


def _cooled(body: Mapping[str, Any]) -> str:
    """What an entry of a cooling log says besides the temperature."""
    phase = body.get("phase")
    if phase is None:
        return _DONE["cooled"]
    words: list[str] = [sentence("log {phase}", phase=_PHASES.get(phase, phase))]
    if body.get("depth_mm") is not None:
        words.append(sentence("{depth} mm deep", depth=figure(round(body["depth_mm"]))))
    if body.get("covered") is not None:
        words.append(sentence("covered") if body["covered"] else sentence("uncovered"))
    if body.get("medium_c") is not None:
        words.append(sentence("around it {temp} °C", temp=short(body["medium_c"])))
    return boxed(_DONE["cooled"], with_commas(words))


_PHASES: Mapping[str, str] = {
    "start": sentence("start"),
    "read": sentence("read"),
    "finish": sentence("finish"),
}
_DONE: Mapping[str, str] = {
    "labelled": sentence("labelled"),
    "opened": sentence("opened"),
    "cooled": sentence("cooled"),
    "reheated": sentence("reheated"),
    "split": sentence("split"),
    "used": sentence("used"),
    "given": sentence("given"),
    "missing": sentence("missing"),
    "found": sentence("found"),
    "measured": sentence("measured"),
    "corrected": sentence("corrected"),
    "noted": sentence("noted"),
}
_TOLD: Mapping[str, Callable[[Mapping[str, Any]], str]] = {
    "cooled": _cooled,
    "placed": _placed,
    "taken": _taken,
    "filled": _filled,
    "discarded": _discarded,
    "given": _given,
    "made": _made,
    "split": _split,
    "combined": _combined,
}
