"""Reads one scanned or typed line: a container code, an action, or neither."""

from __future__ import annotations

import re
from dataclasses import dataclass
from urllib.parse import unquote

from lidclock.domain.codes import LENGTH, is_code, normalise

# The words on an action sheet, and the action each stands for.
ACTIONS = ("FREEZE", "THAW", "OPEN", "USE", "DISCARD", "UNDO", "DONE")
PLACE_ACTION = "TO"
# An AIM symbology identifier that some scanners put in front: ISO/IEC 15424.
_AIM = re.compile(r"\][A-Za-z][0-9]")
_SPLITTERS = re.compile(r"[^0-9A-Za-z]+")


@dataclass(frozen=True, slots=True)
class CodeRead:
    """A well-formed container code."""

    code: str


@dataclass(frozen=True, slots=True)
class ActionRead:
    """An action word; `place` goes with `TO`."""

    action: str
    place: str = ""


@dataclass(frozen=True, slots=True)
class Unread:
    """Neither a code nor an action; `closest` is what was taken for a code."""

    text: str
    closest: str = ""


def read_payload(raw: str) -> CodeRead | ActionRead | Unread:
    """What `raw` means: a code wherever it stands in it, or an action word.

    Carriage returns, tabs, an AIM prefix and lower case are the scanner's doing and
    are undone. A wrong check symbol is never guessed at.
    """
    text = _AIM.sub("", raw.strip(), count=1).strip()
    action = _read_action(text)
    if action is not None:
        return action
    whole = normalise(text)
    if is_code(whole):
        return CodeRead(whole)
    pieces = [normalise(piece) for piece in _SPLITTERS.split(text) if piece]
    for piece in reversed(pieces):
        if is_code(piece):
            return CodeRead(piece)
    return Unread(text, _closest(whole, pieces))


def action_text(action: str, place: str = "") -> str:
    """What an action symbol holds: the bare word, or `TO=2` for the second place."""
    return f"{PLACE_ACTION}={place}" if place else action


def _read_action(text: str) -> ActionRead | None:
    start = text.upper().rfind("/A/")
    word = text[start + 3 :] if start >= 0 else text
    name, _, place = word.partition("=")
    if name.strip().upper() == PLACE_ACTION and place.strip():
        return ActionRead(PLACE_ACTION, unquote(place).strip())
    if word.strip().upper() in ACTIONS:
        return ActionRead(word.strip().upper())
    return None


def _closest(whole: str, pieces: list[str]) -> str:
    """The part that looks most like a mistyped code."""
    candidates = [whole, *pieces] if len(pieces) <= 1 else pieces
    fitting = [part for part in candidates if abs(len(part) - LENGTH) <= 1]
    return fitting[-1] if fitting else ""
