"""Finding allergens by words in the name of an ingredient: whole words, never parts."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from lidclock.guidance.allergens import canonical
from lidclock.guidance.words import stems
from lidclock.labels.retail_words import word_list

_PIECE = re.compile(r"[^,;:()\[\]{}/|·]+")
_WORD = re.compile(r"\w+")
_LONGEST_PHRASE = 5
# Scripts that put no blanks between words: Thai and its kin, and East Asian ones.
_UNSPACED = (("\u0e00", "\u0eff"), ("\u1000", "\u109f"), ("\u1780", "\u17ff")) + (
    ("\u2e80", "\U0003ffff"),
)


@dataclass(frozen=True, slots=True)
class Found:
    """A phrase in a name, from `start` to `end`, and the allergens that it stands for.

    `piece_end` is where its part of the name ends. With `hidden` it only may hold them.
    """

    start: int
    end: int
    piece_end: int
    phrase: str
    allergens: tuple[str, ...]
    hidden: bool = False


@cache
def _tables() -> tuple[
    Mapping[tuple[str, ...], tuple[str, ...]], Mapping[tuple[str, ...], tuple[str, ...]]
]:
    words = word_list()
    means = {stems(phrase): ids for phrase, ids in words.means.items()}
    return means, {stems(phrase): ids for phrase, ids in words.may_hold.items()}


def find(name: str) -> list[Found]:
    """The phrases in the name that anybody here knows, the longest first at each word.

    One that only looks like an allergen is passed over with all its words.
    """
    return [
        found
        for piece in _PIECE.finditer(name)
        for found in _in_piece(name, *_trimmed(piece))
        if found.allergens
    ]


def find_as_written(name: str, recorded: str) -> list[Found]:
    """Where a recorded word that nobody here knows stands in the name.

    In writing that joins its letters the whole word counts, in writing without blanks
    the very letters.
    """
    wanted = stems(recorded)
    found = [
        one
        for piece in _PIECE.finditer(name)
        for one in _windows(name, *_trimmed(piece))
        if wanted and stems(one.phrase) == wanted
    ]
    if found or recorded.isascii():
        return [_meaning(one, recorded) for one in found]
    return [_meaning(one, recorded) for one in _letters(name, recorded)]


def words_in(name: str, start: int, end: int) -> list[tuple[int, int]]:
    """Where each word of that stretch begins and ends."""
    return [one.span() for one in _WORD.finditer(name, start, end)]


def _trimmed(piece: re.Match[str]) -> tuple[int, int]:
    """Where a piece begins and ends, blanks behind it left out."""
    return piece.start(), piece.start() + len(piece.group().rstrip())


def _meaning(one: Found, allergen: str) -> Found:
    return Found(one.start, one.end, one.piece_end, one.phrase, (allergen,))


def _in_piece(name: str, start: int, end: int) -> Iterator[Found]:
    words = words_in(name, start, end)
    at = 0
    while at < len(words):
        size, found = _longest(name, words[at:], end)
        if found is not None:
            yield found
        at += size


def _longest(
    name: str, words: Sequence[tuple[int, int]], end: int
) -> tuple[int, Found | None]:
    """How many of the first words make the longest known phrase, and what it means."""
    means, may_hold = _tables()
    for size in range(min(_LONGEST_PHRASE, len(words)), 0, -1):
        first, last = words[0], words[size - 1]
        phrase = name[first[0] : last[1]]
        key = stems(phrase)
        if not (stems(name[slice(*first)]) and stems(name[slice(*last)])):
            continue
        hidden = key not in means and key in may_hold
        known = means[key] if key in means else may_hold.get(key) or canonical(phrase)
        if known or key in means:
            return size, Found(first[0], last[1], end, phrase, known, hidden)
    return 1, None


def _windows(name: str, start: int, end: int) -> Iterator[Found]:
    words = words_in(name, start, end)
    for at in range(len(words)):
        for size in range(1, min(_LONGEST_PHRASE, len(words) - at) + 1):
            first, last = words[at][0], words[at + size - 1][1]
            yield Found(first, last, end, name[first:last], ())


def _letters(name: str, recorded: str) -> Iterator[Found]:
    """The recorded letters wherever they stand, stretched to whole words."""
    for piece in _PIECE.finditer(name):
        text, wanted = piece.group().casefold(), recorded.casefold()
        # Where folding changes lengths, places would be wrong: look as written.
        if len(text) != len(piece.group()):
            text, wanted = piece.group(), recorded
        at = text.find(wanted)
        while at >= 0:
            start, end = piece.start() + at, piece.start() + at + len(wanted)
            while start > piece.start() and _joins(name[start - 1]):
                start -= 1
            while end < piece.end() and _joins(name[end]):
                end += 1
            yield Found(start, end, _trimmed(piece)[1], name[start:end], ())
            at = text.find(wanted, end - piece.start())


def _joins(letter: str) -> bool:
    """Whether it is part of a word that blanks set apart from others."""
    if unicodedata.category(letter)[0] not in "LM":
        return False
    return not any(first <= letter <= last for first, last in _UNSPACED)
