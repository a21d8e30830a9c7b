"""A language that nobody speaks, to see what real ones will do to a page.

Every text is in brackets, longer by two fifths and full of accents; the right-to-left
one also runs from right to left. What shows up plain on a page was not taken from a
catalogue; what is cut off will be cut off in German.
"""

from __future__ import annotations

import re

LONG, LEFTWARD = "x-pseudo", "x-pseudo-rtl"
NAMES = (LONG, LEFTWARD)
BEGIN, END = "⟦", "⟧"
_LONGER = 0.4
_PLAIN = "ACDEGHIJKLNORSTUWYZacdeghijklnorstuwyz"
_ACCENTED = "ÅÇĎÉĜĤÎĴĶĻÑÖŔŠŢÛŴÝŽåçďéĝĥîĵķļñöŕšţûŵýž"
_TABLE = str.maketrans(_PLAIN, _ACCENTED)
_FILLING = "ëïüöä"
# Places where a value goes in must stay as they are.
_PLACE = re.compile(r"(\{[^}]*\}|%\([a-z_]+\)[sd]|%[sd])")
# U+202E RIGHT-TO-LEFT OVERRIDE and U+202C POP DIRECTIONAL FORMATTING: Latin letters
# then run as Arabic ones do (Unicode Standard Annex 9, section 2.2; from memory).
_OVERRIDE, _POP = "\u202e", "\u202c"


def disguise(text: str, language: str = LONG) -> str:
    """The text as the pseudo-language says it: longer, accented, in brackets."""
    parts = _PLACE.split(text)
    said = "".join(
        part if number % 2 else _accented(part, language)
        for number, part in enumerate(parts)
    )
    return f"{BEGIN}{said}{_filling(text)}{END}"


def _accented(part: str, language: str) -> str:
    accented = part.translate(_TABLE)
    if language == LEFTWARD and accented:
        return f"{_OVERRIDE}{accented}{_POP}"
    return accented


def _filling(text: str) -> str:
    """Words of five letters, so that the longer text may still break between words."""
    count = round(len(text) * _LONGER)
    letters = (_FILLING * (count // len(_FILLING) + 1))[:count]
    words = (letters[at : at + 5] for at in range(0, count, 5))
    return " " + " ".join(words) if count else ""
