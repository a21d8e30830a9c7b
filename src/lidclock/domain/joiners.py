"""Joiners: the two invisible characters that some scripts cannot be written without.

U+200C parts letters that would join (Persian), U+200D joins ones that would not
(Sinhala, Bengali). Anywhere else they are invisible and mean nothing, so that two names
that look alike would differ.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

NON_JOINER, JOINER = "\u200c", "\u200d"
JOINERS = frozenset({NON_JOINER, JOINER})
_VIRAMA = 9
# Scripts whose letters join: the first word of a letter's name in Unicode.
_JOINED = frozenset({"ARABIC", "SYRIAC", "NKO", "MANDAIC", "MONGOLIAN", "ADLAM"})


def misplaced_joiner(text: str) -> str:
    """The first joiner that stands where its script does not need it; empty if none.

    RFC 5892, Appendix A.1 and A.2: after a virama, or, for U+200C, between letters of a
    script that joins them. Simplified: which of those letters join on which side is not
    asked, since between two that do not it changes nothing that is printed. Besides, as
    the Unicode Standard has it for Bengali and Kannada, U+200D before a virama.
    """
    return next(
        (
            one
            for place, one in enumerate(text)
            if one in JOINERS and not _is_needed(text[:place], one, text[place + 1 :])
        ),
        "",
    )


def without_joiners(text: str) -> str:
    """The text with every joiner left out."""
    return "".join(one for one in text if one not in JOINERS)


def _is_needed(before: str, joiner: str, after: str) -> bool:
    if _is_virama(before[-1:]):
        return True
    if joiner == JOINER:
        return before[-1:].isalpha() and _is_virama(after[:1])
    script = _joined_script(reversed(before))
    return script != "" and script == _joined_script(iter(after))


def _is_virama(letter: str) -> bool:
    return letter != "" and unicodedata.combining(letter) == _VIRAMA


def _joined_script(letters: Iterator[str]) -> str:
    """The script of the next letter past any marks, if it is one that joins."""
    for one in letters:
        kind = unicodedata.category(one)
        if kind in {"Mn", "Me"}:
            continue
        script = unicodedata.name(one, "").partition(" ")[0]
        return script if kind[0] == "L" and script in _JOINED else ""
    return ""
