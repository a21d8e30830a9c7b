"""Texts that people type, and what no recorded text may hold."""

from __future__ import annotations

import unicodedata
from typing import Any

from lidclock.domain.joiners import JOINERS
from lidclock.domain.sentences import figure, sentence
from lidclock.errors import InputError

LONGEST_NAME, LONGEST_LINE, LONGEST_TEXT = 120, 200, 2000
_SHOWN = 40
# They turn what follows round, digits too: Unicode Standard Annex 9, 2.1 to 2.4.
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_BREAKS = frozenset("\n\r\t")


def one_line(text: str, what: str, longest: int = LONGEST_LINE) -> str:
    """What was typed on one line, without what cannot be seen; it may be empty.

    InputError where it is longer, or holds half a character.
    """
    if any(unicodedata.category(sign) == "Cs" for sign in text):
        raise InputError(f"{what} holds half a character: write it anew")
    bare = " ".join(text.split())
    seen = "".join(x for x in bare if x.isprintable() or x in JOINERS)
    if len(seen) > longest:
        raise InputError(f"{what} is a text of at most {longest} letters")
    return " ".join(seen.split())


def check_texts(value: Any) -> None:
    """InputError for a text in JSON-ready data that no page and no label could show.

    That is one without an end, with half a character, with control characters, or with
    signs that turn what stands beside them round.
    """
    if isinstance(value, str):
        _check(value)
    elif isinstance(value, dict):
        for key, one in value.items():
            check_texts(key)
            check_texts(one)
    elif isinstance(value, list | tuple):
        for one in value:
            check_texts(one)


def _check(text: str) -> None:
    if len(text) > LONGEST_TEXT:
        raise InputError(
            sentence(
                "{text}... is too long: write at most {most} letters",
                text=repr(text[:_SHOWN]),
                most=figure(LONGEST_TEXT),
            )
        )
    if text.isascii() and text.isprintable():
        return
    for sign in text:
        is_control = unicodedata.category(sign) in ("Cc", "Cs") and sign not in _BREAKS
        if is_control or sign in _TURNING:
            raise InputError(
                sentence(
                    "{text} holds a sign that cannot be seen ({sign}): write it anew",
                    text=repr(text[:_SHOWN]),
                    sign=f"U+{ord(sign):04X}",
                )
            )
