"""Where a word may be parted in writing that puts no spaces between words."""

from __future__ import annotations

import re
import unicodedata

from lidclock.labels import fonts, runs

# Thai and Lao, Myanmar, Khmer; East Asian, full-width forms included.
_UNSPACED = re.compile(
    r"[\u0e00-\u0eff\u1000-\u109f\u1780-\u17ff"
    r"\u2e80-\ud7a3\uf900-\ufaff\uff00-\uffef\U00020000-\U0003ffff]"
)
# What does not begin a line: stops, small kana, signs of length and repetition, Thai
# and Lao vowels written after their consonant; what does not end one: those before it,
# and opening signs (Unicode Standard Annex 14, classes CJ, NS, EX, IS and OP).
_STOPS = ",.:;?!%\u3001\u3002\u30fb\u2025\u2026\u2103\u203d\u2044\u301c\u303c\u30a0"
_SMALL_KANA = "ぁぃぅぇぉっゃゅょゎゕゖァィゥェォッャュョヮヵヶ" + "".join(
    map(chr, range(0x31F0, 0x3200))
)
_REPEATS = "\u30fc\u3005\u303b\u309d\u309e\u30fd\u30fe"
# Voice marks that stand alone, and what half-width ones are made of.
_VOICED = "\u3099\u309a\u309b\u309c"
_OPENING = "\u00a1\u00bf"
_THAI_LAO_AFTER = "\u0e2f\u0e30\u0e32\u0e33\u0e45\u0e46\u0eb0\u0eb2\u0eb3\u0ebd"
_THAI_LAO_BEFORE = "\u0e40\u0e41\u0e42\u0e43\u0e44\u0ec0\u0ec1\u0ec2\u0ec3\u0ec4"
_NEVER_FIRST = frozenset(_STOPS + _SMALL_KANA + _REPEATS + _VOICED + _THAI_LAO_AFTER)
_NEVER_LAST = frozenset(_OPENING + _THAI_LAO_BEFORE)


def units(word: str) -> list[str]:
    """The parts of a word too wide for its line, letters and their marks kept whole.

    No dictionary is asked: Thai and its kin may part inside a word of speech.
    """
    if fonts.is_plain(word):
        return [word]
    found: list[str] = []
    for part in runs.clusters(word):
        if found and _holds_together(found[-1], part):
            found[-1] += part
        else:
            found.append(part)
    return found


def _holds_together(before: str, part: str) -> bool:
    first, last = part[0], before[-1]
    return (
        not any(map(_UNSPACED.match, first + before[-2:]))
        or first in _NEVER_FIRST
        or unicodedata.normalize("NFKC", first)[0] in _NEVER_FIRST
        or unicodedata.category(first) in {"Pe", "Pf"}
        or last in _NEVER_LAST
        or unicodedata.category(last) in {"Ps", "Pi"}
    )
