"""Everyday words of other languages than English: folded, and how well they fit.

What holds for all of the page's languages alike: endings are let go (`Suppen`,
`cocida`), and a word may be the beginning or the end of a longer one (`Hackfleisch`,
`Kartoffelsuppe`, `鸡汤`).
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from functools import lru_cache

# How well words fit: a phrase whole, all words, parts of words, what it is, each word.
WHOLE, ALL, PARTS, HEAD, SOME = 3.0, 2.0, 1.0, 0.6, 0.3
# A phrase but for its endings; what it is, said at the end.
_NEARLY, TAIL = 2.5, 0.5
# As they stand after folding. A word that is also a food is none of them.
_FILLERS = frozenset(
    "a al au aus aux avec con d das de del dem den der des die du e ein eine el en et "
    "l la las le les los mit o oder ou u un una und une y او في مع من".split()
)
_ARTICLE, _STRETCH = "ال", "ـ"
# Letters that are typed for each other; teh marbuta for heh, alef maksura for yeh.
_ALIKE = str.maketrans({"ة": "\u0647", "ى": "\u064a", "œ": "oe", "æ": "ae", "ø": "o"})
# From here on signs are words by themselves (Unicode's blocks of Chinese).
_SIGNS = "\u2e80"
_ENDING, _START, _END = 2, 3, 4


@lru_cache(maxsize=16_384)
def folded(text: str) -> tuple[str, ...]:
    """The words of a text in small letters, without accents, fillers and articles."""
    plain = unicodedata.normalize("NFKD", text.casefold().replace(_STRETCH, ""))
    bare = "".join(one for one in plain if not unicodedata.combining(one))
    split = "".join(one if one.isalnum() else " " for one in bare.translate(_ALIKE))
    return tuple(_bare(word) for word in split.split() if word not in _FILLERS)


def _bare(word: str) -> str:
    is_long = len(word) > len(_ARTICLE) + 2
    return word.removeprefix(_ARTICLE) if is_long else word


def fit(text: str, phrases: Iterable[str]) -> float:
    """How well a text fits phrases; nought where nothing of it does."""
    wanted, known = folded(text), [folded(phrase) for phrase in phrases]
    if not wanted:
        return 0.0
    if wanted in known:
        return WHOLE
    if any(_are_alike(wanted, phrase) for phrase in known):
        return _NEARLY
    words = {word for phrase in known for word in phrase}
    hits = sum(any(_is_alike(one, word) for word in words) for one in wanted)
    if hits == len(wanted):
        return ALL
    if all(any(_is_part(one, word) for word in words) for one in wanted):
        return PARTS
    names = [phrase[0] for phrase in known if len(phrase) == 1]
    return _what_it_is(wanted, names) + SOME * hits / len(wanted)


def _what_it_is(wanted: tuple[str, ...], names: list[str]) -> float:
    """More where a name stands first: it is the last word in few languages only."""
    if any(_is_alike(wanted[0], name) for name in names):
        return HEAD
    return TAIL if any(_ends(wanted[-1], name) for name in names) else 0.0


def _are_alike(one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    return len(one) == len(other) and all(map(_is_alike, one, other))


def _is_alike(one: str, other: str) -> bool:
    """Whether two words are the same but for an ending, or for its last letter."""
    if one == other:
        return True
    if one >= _SIGNS or one[:_START] != other[:_START]:
        return False
    letters = zip(one, other, strict=False)
    same = next((at for at, (x, y) in enumerate(letters) if x != y), None)
    if same is None:
        short, long = sorted((len(one), len(other)))
        return short >= _START and long - short <= _ENDING
    return same >= _END and len(one) == len(other) == same + 1


def _is_part(part: str, whole: str) -> bool:
    """Whether a word begins or ends with the other; a sign stands anywhere in it."""
    if part >= _SIGNS:
        return part in whole
    return _ends(whole, part) or (len(part) >= _START and whole.startswith(part))


def _ends(whole: str, part: str) -> bool:
    return whole.endswith(part) and (len(part) >= _END or part >= _SIGNS)
