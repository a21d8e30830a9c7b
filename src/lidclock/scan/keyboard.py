"""Keyboard layouts: what a scanner meant, recovered from what the host made of it.

A USB scanner sends the positions of keys on a US keyboard; the host turns them into the
characters of its own layout. One symbol with known text tells which became which.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from string import ascii_uppercase, digits

from lidclock.errors import InputError
from lidclock.scan.wedge import CONTROLS

# Letters that come again below: a line that lost or gained a character in front, and
# so would shift every symbol by one, contradicts itself.
_GREETING = "LIDCLOCK"
# The marks of an address, of an action and of an AIM identifier. The last is a dead key
# on German hosts, which some of them swallow at the end of a line.
_MARKS = "-./:%$*&?_]="
SET_UP_TEXT = _GREETING + digits + ascii_uppercase + _MARKS
_PREFIX_LENGTH = 3  # an AIM identifier: ], a letter, a digit
_PREFIX = re.compile(r"\][A-Za-z][0-9]")
# What stands for a key press that the set-up symbol did not show.
UNLEARNED = "\N{REPLACEMENT CHARACTER}"
_AGAIN = "scan the set-up symbol once, and nothing else"


@dataclass(frozen=True, slots=True)
class KeyMap:
    """How one host changes what a scanner types; `typed` is its set-up line."""

    typed: str
    table: Mapping[str, str]

    @property
    def is_plain(self) -> bool:
        """Whether everything arrives as printed."""
        return all(seen == meant for seen, meant in self.table.items())

    @property
    def moved(self) -> int:
        """How many symbols arrive as other ones."""
        return sum(seen != meant for seen, meant in self.table.items())

    @property
    def lost(self) -> str:
        """The marks that do not arrive at all."""
        return "".join(x for x in _MARKS if x not in self.table.values())

    @property
    def layout(self) -> str:
        """Which layout it looks like, in words."""
        return _layout({meant: seen for seen, meant in self.table.items()})

    def undo(self, text: str) -> str:
        """What the scanner meant; U+FFFD for what no learned key press explains.

        Blanks and control characters stay. A letter in the other case (Caps Lock, or
        small print) is undone where its key holds a letter on both layouts.
        """
        if self.is_plain:
            return text
        return "".join(map(self._meant, unicodedata.normalize("NFC", text)))

    def _meant(self, seen: str) -> str:
        if seen in CONTROLS or seen == " ":
            return seen
        if seen in self.table:
            return self.table[seen]
        other = self.table.get(seen.swapcase(), "")
        return other.swapcase() if other.isalpha() else UNLEARNED


def learn(typed: str) -> KeyMap:
    """The map that the set-up line `typed` shows.

    Raises InputError where it cannot be undone: characters missing or too many, one
    symbol that arrived in two ways, two symbols that arrived alike.
    """
    line = unicodedata.normalize("NFC", typed).strip(CONTROLS + " ")
    if not line:
        raise InputError(f"nothing arrived; {_AGAIN}")
    if line == line.lower() != line.upper():
        raise InputError(f"every letter arrived small: Caps Lock is on; {_AGAIN}")
    prefix, body = _parted(line)
    keymap = KeyMap(body, _table(body))
    if prefix and not _PREFIX.fullmatch(keymap.undo(prefix)):
        raise InputError(f"{prefix!r} came before the set-up symbol; {_AGAIN}")
    return keymap


def is_set_up(text: str) -> bool:
    """Whether `text` is what the set-up symbol gives on some host."""
    if abs(len(text.strip()) - len(SET_UP_TEXT)) > _PREFIX_LENGTH:
        return False
    try:
        learn(text)
    except InputError:
        return False
    return True


def _parted(line: str) -> tuple[str, str]:
    """The AIM identifier, if one came, and the symbol; its last mark may be lost."""
    whole = len(SET_UP_TEXT)
    for lead in (0, _PREFIX_LENGTH):
        if len(line) - lead in (whole, whole - 1):
            return line[:lead], line[lead:]
    problem = "incomplete" if len(line) < whole else "too long"
    raise InputError(
        f"the set-up line is {problem}: {len(line)} characters instead of {whole}; "
        f"{_AGAIN}"
    )


def _table(body: str) -> dict[str, str]:
    """From what was seen to what was meant; both ways it must be one to one."""
    seen_as: dict[str, str] = {}
    table: dict[str, str] = {}
    for meant, seen in zip(SET_UP_TEXT, body, strict=False):
        if seen_as.setdefault(meant, seen) != seen:
            raise InputError(
                f"the set-up line contradicts itself: {meant} arrived as "
                f"{seen_as[meant]!r} and as {seen!r}; {_AGAIN}"
            )
        if table.setdefault(seen, meant) != meant:
            raise InputError(
                f"{table[seen]} and {meant} both arrived as {seen!r}, so this layout "
                "cannot be undone; choose a US keyboard for the scanner or this host"
            )
    return table


def _layout(arrives_as: Mapping[str, str]) -> str:
    def swaps(pairs: tuple[str, ...]) -> bool:
        return all(
            (arrives_as[a], arrives_as[b]) == (b, a) for a, b in map(tuple, pairs)
        )

    moved = {x for x in ascii_uppercase if arrives_as[x] != x}
    if swaps(("AQ", "WZ")):
        return "AZERTY, as in France and Belgium"
    if moved == {"Y", "Z"} and swaps(("YZ",)):
        return "QWERTZ, as in Germany and its neighbours"
    if moved:
        return "a layout of its own"
    is_plain = all(seen == meant for meant, seen in arrives_as.items())
    return "a US keyboard" if is_plain else "QWERTY with other marks"
