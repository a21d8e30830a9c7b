"""Reads one scanned or typed line: a container code, an action, or neither."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from difflib import get_close_matches
from urllib.parse import unquote

from lidclock.domain.codes import LENGTH, is_code, normalise
from lidclock.scan.wedge import Line, clean

# The words on an action sheet, and the action each stands for.
ACTIONS = ("FREEZE", "THAW", "OPEN", "USE", "DISCARD", "LABEL", "UNDO", "DONE")
PLACE_ACTION = "TO"
_SPLITTERS = re.compile(r"[^0-9A-Za-z]+")
_NUMBER = re.compile(r"[2-9]|[1-9][0-9]{1,3}")
_TO_CONTAINER = re.compile(r"/C/", re.IGNORECASE)
_TO_ACTION = re.compile(r"/A/", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class CodeRead:
    """A well-formed container code.

    `number` is that of the label it was read from, 0 where the symbol does not tell.
    """

    code: str
    number: int = field(default=0, compare=False)


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
    """What `raw` means: a code at its end, or an action word.

    Carriage returns, tabs, an AIM prefix and the case of letters are the scanner's
    doing and are undone. A wrong check symbol is never guessed at, one of two codes is
    never picked, and in a supplier's symbol no code is looked for.
    """
    return read_lid(clean(raw))


def read_lid(line: Line) -> CodeRead | ActionRead | Unread:
    """The same of a line that was cleaned already."""
    text = line.text
    if line.is_suppliers:
        return Unread(text)
    action = _read_action(text)
    if action is not None:
        return action
    whole = normalise(text)
    # Some letters have two letters as their capital: no code is to come out of that.
    if text.isascii() and is_code(whole):
        return CodeRead(whole)
    pieces = [normalise(piece) for piece in _SPLITTERS.split(text) if piece]
    pieces, number = _label_number(pieces)
    if pieces and is_code(pieces[-1]) and _is_only_code(text, pieces, number):
        return CodeRead(pieces[-1], number)
    return Unread(text, _closest(whole, pieces))


def _label_number(pieces: list[str]) -> tuple[list[str], int]:
    """The pieces of an address without the label's number, and that number.

    The first label's address ends with the code; further ones have a number after it.
    """
    match pieces:
        case [*_, "C", code, last] if is_code(code) and _NUMBER.fullmatch(last):
            return pieces[:-1], int(last)
        case [_, *_, "C", code] if is_code(code):
            return pieces, 1
    return pieces, 0


def _is_only_code(text: str, pieces: list[str], number: int) -> bool:
    """Whether the last piece is the one meant: all that follows `/C/`, or alone."""
    _, *tails = _TO_CONTAINER.split(text)
    if tails:
        after = _SPLITTERS.split(tails[0].strip("/ "))
        return len(tails) == 1 and len(after) == (2 if number > 1 else 1)
    return len({piece for piece in pieces if is_code(piece)}) == 1


def action_text(action: str, place: str = "") -> str:
    """What an action symbol holds: the bare word, or `TO=2` for place 2."""
    return f"{PLACE_ACTION}={place}" if place else action


def _read_action(text: str) -> ActionRead | None:
    word = _TO_ACTION.split(text)[-1]
    name, _, place = word.partition("=")
    if name.strip().upper() == PLACE_ACTION and place.strip():
        return ActionRead(PLACE_ACTION, unquote(place).strip())
    if word.strip().upper() in ACTIONS:
        return ActionRead(word.strip().upper())
    return None


def _closest(whole: str, pieces: list[str]) -> str:
    """What looks most like a mistyped code; a mistyped action does not."""
    candidates = [whole, *pieces[-1:]]
    fitting = [part for part in candidates if abs(len(part) - LENGTH) <= 1]
    if not fitting or get_close_matches(fitting[0], ACTIONS, n=1):
        return ""
    return fitting[0]
