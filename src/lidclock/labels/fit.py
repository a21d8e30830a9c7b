"""Fitting text into a width: shrink, then wrap, then abbreviate, or say it fails."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from lidclock.labels import fonts

# Type sizes are tried in steps of this many points.
_STEP_PT = 0.2
# A name is set smaller on one line only this far; then it takes two lines.
_ONE_LINE_SHARE = 0.8
# A word cut shorter than this tells nothing.
_LEAST_LETTERS = 3
# Lines of capitals need air between them too.
_LEAST_LEADING = 0.95
_REMEMBERED = 16384
_SEPARATOR = " · "
_BETWEEN_SENTENCES = re.compile(r"(?<=[.!?]) ")
# Not before a degree sign, nor between a figure and a unit of one or two letters.
_BETWEEN_WORDS = re.compile(r" (?!°)(?!(?<=\d )[A-Za-z]{1,2}\b)")


class Measures(NamedTuple):
    """The room that lines of type take, in mm, and whether they run to the left."""

    ascent: float
    leading: float
    height: float
    widths: tuple[float, ...]
    overhang: float
    runs_left: bool


def _measured(lines: tuple[str, ...], face: str, size_pt: float) -> Measures:
    ascent = fonts.ascent(lines[0]) * size_pt * fonts.MM_PER_PT
    tallest = max(map(fonts.ascent, lines))
    deepest = max(map(fonts.descent, lines))
    leading = max(tallest + deepest, _LEAST_LEADING) * size_pt * fonts.MM_PER_PT
    below = fonts.descent(lines[-1]) * size_pt * fonts.MM_PER_PT
    return Measures(
        ascent=ascent,
        leading=leading,
        height=ascent + (len(lines) - 1) * leading + below,
        widths=tuple(fonts.width_mm(one, face, size_pt) for one in lines),
        overhang=max(map(fonts.overhang, lines)) * size_pt * fonts.MM_PER_PT,
        runs_left=_runs_left(lines[0]),
    )


def _runs_left(text: str) -> bool:
    if fonts.is_plain(text):
        return False
    from lidclock.labels import bidi

    return bool(bidi.base(text))


@dataclass(frozen=True, slots=True)
class Fitted:
    """Text that fits: its lines, their face and size, and whether any of it is lost."""

    lines: tuple[str, ...]
    face: str
    size_pt: float
    shortened: bool = False
    measures: Measures = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        measures = _measured(self.lines, self.face, self.size_pt)
        object.__setattr__(self, "measures", measures)

    @property
    def ascent_mm(self) -> float:
        """Room above the first baseline."""
        return self.measures.ascent

    @property
    def leading_mm(self) -> float:
        """From one baseline to the next: no line touches the one above."""
        return self.measures.leading

    @property
    def height_mm(self) -> float:
        """From the top of the first line to the bottom of the last."""
        return self.measures.height

    @property
    def overhang_mm(self) -> float:
        """How far ink reaches left of where the lines begin."""
        return self.measures.overhang

    def width_mm(self) -> float:
        """The widest line."""
        return max(self.measures.widths)

    def starts_mm(self, left: float, right: float) -> list[float]:
        """Where each line starts in a column: at its left edge, or, where the text runs
        from right to left, so that all end at its right edge if they have room to.
        """
        if not self.measures.runs_left:
            return [left] * len(self.lines)
        end = max(right, left + self.width_mm())
        return [end - wide for wide in self.measures.widths]


@lru_cache(maxsize=1024)
def sizes(preferred_pt: float, smallest_pt: float) -> tuple[float, ...]:
    """Type sizes from the preferred one down, the smallest one included."""
    found: list[float] = []
    size = preferred_pt
    while size > smallest_pt + 1e-9:
        found.append(size)
        size = round(size - _STEP_PT, 3)
    return (*found, smallest_pt)


@lru_cache(maxsize=_REMEMBERED)
def shrink(
    text: str, face: str, width_mm: float, preferred_pt: float, smallest_pt: float
) -> Fitted | None:
    """One line at the largest size that fits, or None."""
    at_one_pt = fonts.width_mm(text, face, 1.0)
    for size in sizes(preferred_pt, smallest_pt):
        if at_one_pt * size <= width_mm:
            return Fitted((text,), face, size)
    return None


def words(text: str) -> list[str]:
    """Words, a number with its unit counting as one: "5 °C" is never parted."""
    return _BETWEEN_WORDS.split(text)


def _pieces(
    text: str, face: str, width_mm: float, size_pt: float, full_mm: float
) -> Iterator[str]:
    """What stays together, each with what joins it to the piece before it.

    Parts set apart by a middle dot, then sentences, then words; a word is parted only
    where even the full width is too narrow for it.
    """
    for n, part in enumerate(text.split(_SEPARATOR)):
        joint = _SEPARATOR if n else ""
        for sentence in _BETWEEN_SENTENCES.split(part):
            wide = fonts.width_mm(sentence, face, size_pt) > width_mm
            for word in words(sentence) if wide else [sentence]:
                whole = fonts.width_mm(word, face, size_pt) <= full_mm
                first, *others = [word] if whole else _units(word)
                yield joint + first
                yield from others
                joint = " "


def _units(word: str) -> list[str]:
    """Where a word too wide for its line may be parted; Latin ones never are."""
    if fonts.is_plain(word):
        return [word]
    from lidclock.labels import breaks

    return breaks.units(word)


def wrap(
    text: str, face: str, width_mm: float, size_pt: float, full_mm: float | None = None
) -> list[str] | None:
    """Lines of whole pieces, or None where one piece alone is too wide.

    `full_mm` is the room there is, where `width_mm` is a narrower one on trial.
    """
    lines: list[str] = []
    for piece in _pieces(text, face, width_mm, size_pt, full_mm or width_mm):
        alone = piece.removeprefix(_SEPARATOR).removeprefix(" ")
        if lines and fonts.width_mm(lines[-1] + piece, face, size_pt) <= width_mm:
            lines[-1] += piece
        elif fonts.width_mm(alone, face, size_pt) <= width_mm:
            lines.append(alone)
        else:
            return None
    return _one_way(text, lines)


def _one_way(text: str, lines: list[str]) -> list[str]:
    """The lines, marked where one alone would run the other way than the text."""
    if fonts.is_plain(text):
        return lines
    from lidclock.labels import bidi

    way = bidi.base(text)
    mark = (bidi.LEFT_MARK, bidi.RIGHT_MARK)[way]
    return [line if bidi.base(line) == way else mark + line for line in lines]


def balanced(text: str, face: str, width_mm: float, size_pt: float) -> list[str] | None:
    """Wrapped lines of like width: no single word left over on the last line."""
    best = wrap(text, face, width_mm, size_pt)
    if best is None or len(best) == 1:
        return best
    narrow, wide = width_mm / len(best), width_mm
    for _ in range(8):
        middle = (narrow + wide) / 2
        lines = wrap(text, face, middle, size_pt, width_mm)
        if lines is not None and len(lines) == len(best):
            best, wide = lines, middle
        else:
            narrow = middle
    return best


@lru_cache(maxsize=_REMEMBERED)
def whole(
    text: str, face: str, width_mm: float, size_pt: float, *, most_lines: int
) -> Fitted | None:
    """All of the text at one size in at most so many lines, or None."""
    if fonts.width_mm(text, face, size_pt) <= width_mm:
        return Fitted((text,), face, size_pt)
    lines = balanced(text, face, width_mm, size_pt)
    if lines is None or len(lines) > most_lines:
        return None
    return Fitted(tuple(lines), face, size_pt)


@lru_cache(maxsize=_REMEMBERED)
def name(
    text: str,
    face: str,
    width_mm: float,
    preferred_pt: float,
    smallest_pt: float,
    *,
    may_cut: bool,
) -> Fitted | None:
    """A name: one line, a little smaller, two lines, smaller still; or cut to one."""
    least = max(smallest_pt, preferred_pt * _ONE_LINE_SHARE)
    one = shrink(text, face, width_mm, preferred_pt, least)
    if one is not None:
        return one
    if may_cut:
        return cut(text, face, width_mm, smallest_pt)
    for size in sizes(least, smallest_pt):
        two = whole(text, face, width_mm, size, most_lines=2)
        if two is not None:
            return two
    return None


def cut(text: str, face: str, width_mm: float, size_pt: float) -> Fitted | None:
    """One line up to the last word that fits, then an ellipsis."""
    words = text.split(" ")
    for count in range(len(words) - 1, 0, -1):
        start = " ".join(words[:count]).rstrip(",;:·- ") + " …"
        fitted = shrink(start, face, width_mm, size_pt, size_pt)
        if fitted is not None:
            return Fitted(fitted.lines, face, size_pt, shortened=True)
    return _cut_word(words[0], face, width_mm, size_pt)


def _cut_word(word: str, face: str, width_mm: float, size_pt: float) -> Fitted | None:
    """The start of one overlong word, then an ellipsis; letters keep their marks."""
    from lidclock.labels import runs

    letters = runs.clusters(word)
    for count in range(len(letters) - 1, _LEAST_LETTERS - 1, -1):
        start = "".join(letters[:count]) + "…"
        fitted = shrink(start, face, width_mm, size_pt, size_pt)
        if fitted is not None:
            return Fitted(fitted.lines, face, size_pt, shortened=True)
    return None


def sentences(text: str) -> list[str]:
    """The text's sentences, in order."""
    return _BETWEEN_SENTENCES.split(text) if text else []


def forget() -> None:
    """Fit everything anew, after fonts came or went."""
    for fitted in (shrink, whole, name):
        fitted.cache_clear()
