"""One scanned or typed line, read as far as it can be without guessing."""

from __future__ import annotations

import re

from lidclock.domain.codes import LENGTH
from lidclock.errors import InputError
from lidclock.scan.gs1 import Pack, read_pack
from lidclock.scan.keyboard import UNLEARNED, KeyMap
from lidclock.scan.payload import ActionRead, CodeRead, Unread, read_lid
from lidclock.scan.wedge import GS, Line, clean

Reading = CodeRead | ActionRead | Pack | Unread
# An address whose colon and strokes came out as something else.
_SHIFTED = re.compile(r"https?(?!://)\S([^\w\s])\1\S*", re.IGNORECASE)


def read_line(raw: str, year: int, keymap: KeyMap | None = None) -> Reading:
    """What `raw` is: a lid's code, an action, a supplier's pack, or none of them.

    With the keyboard's map a line is read as it stands, for hands type too, and as the
    scanner meant it; where both have a meaning and not the same one, it is refused.
    InputError also tells what is wrong with a supplier's symbol.
    """
    plain = clean(raw)
    meant = plain if keymap is None else clean(keymap.undo(raw))
    if meant == plain or UNLEARNED in meant.text:
        return _told(_read(plain, year))
    by_hand, by_scanner = _read(plain, year), _read(meant, year)
    if _is_from_scanner(meant, by_scanner):
        return _told(by_scanner)
    if not _has_meaning(by_hand):
        return _told(by_scanner if _says_more(by_scanner) else by_hand)
    numbered = [read for read in (by_hand, by_scanner) if _is_numbered(read)]
    if _is_to(by_hand) and _is_to(by_scanner) and len(numbered) < 2:
        return _told(*numbered or [by_hand])
    if _has_meaning(by_scanner) and by_scanner != by_hand:
        raise InputError(
            f"{plain.text!r} may be {meant.text!r} from the scanner, or typed as it "
            "stands; read the code on the lid and look it up with `lidclock find`"
        )
    return _told(by_hand)


def is_of_other_layout(text: str) -> bool:
    """Whether `text` looks like a symbol of ours that another layout has changed."""
    bare = clean(text).text
    has_code_length = len(bare) == LENGTH and " " not in bare
    return _SHIFTED.fullmatch(bare) is not None or (
        has_code_length and not bare.isascii()
    )


def _read(line: Line, year: int) -> Reading | InputError:
    """The reading, or what is wrong with it, as a value."""
    lid = read_lid(line)
    if not isinstance(lid, Unread):
        return lid
    try:
        return read_pack(line, year) or lid
    except InputError as error:
        return error


def _told(reading: Reading | InputError) -> Reading:
    if isinstance(reading, InputError):
        raise reading
    return reading


def _has_meaning(reading: Reading | InputError) -> bool:
    return not isinstance(reading, Unread | InputError)


def _is_from_scanner(line: Line, reading: Reading | InputError) -> bool:
    """Hands type neither AIM identifiers nor separators nor bare element strings."""
    return _has_meaning(reading) and (
        bool(line.aim) or GS in line.text or isinstance(reading, Pack)
    )


def _is_to(reading: Reading | InputError) -> bool:
    return isinstance(reading, ActionRead) and reading.place != ""


def _is_numbered(reading: Reading | InputError) -> bool:
    """Printed symbols name a place by its number; hands may write its name."""
    return isinstance(reading, ActionRead) and reading.place.isdecimal()


def _says_more(reading: Reading | InputError) -> bool:
    """Whether there is something to tell of it, be it only what is wrong."""
    return not isinstance(reading, Unread) or reading.closest != ""
