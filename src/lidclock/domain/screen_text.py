"""Text for a screen: what would command a terminal, or turn a line round, is shown.

A name, a reason or a lot is whatever somebody typed, scanned or sent; it may hold
characters that move the cursor, rename the window or reverse what follows.
"""

from __future__ import annotations

import re

# Controls of both sets but for tab and line feed, line and paragraph separators, and
# what Unicode Standard Annex 9 has for embedding, overriding and isolating.
_UNSEEN = re.compile(
    r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]"
)
# U+2400 and on picture the first 32 controls, U+2421 pictures DELETE.
_PICTURES, _DELETE, _DELETE_PICTURE = 0x2400, 0x7F, "\N{SYMBOL FOR DELETE}"
_FIRST_PRINTABLE = 0x20


def shown(text: str) -> str:
    """The text with a visible sign for each character that must not reach a screen."""
    return _UNSEEN.sub(_picture, text)


def json_shown(document: str) -> str:
    """A JSON document with those characters escaped: it says the same as before."""
    return _UNSEEN.sub(lambda found: f"\\u{ord(found[0]):04x}", document)


def _picture(found: re.Match[str]) -> str:
    code = ord(found[0])
    if code < _FIRST_PRINTABLE:
        return chr(_PICTURES + code)
    return _DELETE_PICTURE if code == _DELETE else "\N{REPLACEMENT CHARACTER}"
