"""Paragraphs with bold words in them: wrapped line by line, whatever the direction."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import groupby

from lidclock.labels import bidi, breaks, fit, fonts

_ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Run:
    """Part of a paragraph: words in one weight."""

    text: str
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Segment:
    """Part of a line in one weight and one direction; `x` in mm at one point."""

    x: float
    text: str
    face: str


@dataclass(frozen=True, slots=True)
class Line:
    """One line set at a size of one point: widths in mm, reaches in ems."""

    segments: tuple[Segment, ...]
    width: float
    ascent: float
    descent: float
    overhang: float


@dataclass(frozen=True, slots=True)
class _Token:
    """What stays together: `start` to `end`, after a blank or close to the last."""

    start: int
    end: int
    spaced: bool


@dataclass(slots=True)
class Paragraph:
    """Words to be wrapped at any size; its weights are kept letter by letter.

    `way` is 0 where it runs from left to right, 1 from right to left.
    """

    runs: tuple[Run, ...]
    way: int | None = None
    text: str = ""
    _turns: bool = False
    _bold: list[bool] = field(default_factory=list)
    _tokens: list[_Token] = field(default_factory=list)
    _widths: dict[tuple[int, int], float] = field(default_factory=dict)
    _lines: dict[tuple[int, int], Line] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.text = "".join(run.text for run in self.runs)
        self._bold = [run.bold for run in self.runs for _ in run.text]
        if self.way is None:
            self.way = bidi.base(self.text)
        self._turns = bidi.has_right_to_left(self.text)
        self._tokens = list(self._tokenised())

    @property
    def is_right_to_left(self) -> bool:
        """Whether its lines begin at the right."""
        return self.way == 1

    def faces(self) -> Iterator[tuple[str, str]]:
        """Each run as (text, face): what it is set in."""
        for run in self.runs:
            yield run.text, _face(run.bold)

    def wrap(
        self, size_pt: float, width_mm: Callable[[int], float], full_mm: float
    ) -> list[Line] | None:
        """Lines, the n-th within `width_mm(n)`; None where one word is too wide.

        A word is parted only where the writing allows it; what is bold only where
        even `full_mm` is too narrow for it.
        """
        found: list[Line] = []
        start = end = -1
        used = 0.0
        for token in self._parted(size_pt, full_mm):
            wide = self._width(token.start, token.end) * size_pt
            before = token.start - 1 if token.spaced else token.start
            joined = self._width(before, token.end) * size_pt
            if start >= 0 and used + joined <= width_mm(len(found)) + _ROUNDING_MM:
                used, end = used + joined, token.end
                continue
            if start >= 0:
                found.append(self._line(start, end))
            if wide > width_mm(len(found)) + _ROUNDING_MM:
                return None
            start, end, used = token.start, token.end, wide
        if start >= 0:
            found.append(self._line(start, end))
        return found

    def _tokenised(self) -> Iterator[_Token]:
        at = 0
        for word in fit.words(self.text):
            first = True
            for part in self._held(at, breaks.units(word)):
                yield _Token(part[0], part[1], first and at > 0)
                first = False
            at += len(word) + 1

    def _held(self, at: int, units: list[str]) -> list[tuple[int, int]]:
        """Where a word may be parted: not inside what is bold."""
        found: list[tuple[int, int]] = []
        for unit in units:
            end = at + len(unit)
            if found and self._bold[at] and self._bold[at - 1]:
                found[-1] = (found[-1][0], end)
            else:
                found.append((at, end))
            at = end
        return found

    def _parted(self, size_pt: float, full_mm: float) -> Iterator[_Token]:
        """The tokens; one too wide for any line in as many parts as its writing has."""
        for token in self._tokens:
            if self._width(token.start, token.end) * size_pt <= full_mm:
                yield token
                continue
            at, spaced = token.start, token.spaced
            for unit in breaks.units(self.text[token.start : token.end]):
                yield _Token(at, at + len(unit), spaced)
                at, spaced = at + len(unit), False

    def _width(self, start: int, end: int) -> float:
        """Millimetres at one point; no shaping reaches across a blank."""
        known = self._widths.get((start, end))
        if known is None:
            known = sum(
                fonts.width_mm(self.text[a:b], _face(bold), 1.0)
                for a, b, bold in self._weights(start, end)
            )
            self._widths[(start, end)] = known
        return known

    def _weights(self, start: int, end: int) -> Iterator[tuple[int, int, bool]]:
        for bold, same in groupby(range(start, end), key=self._bold.__getitem__):
            places = list(same)
            yield places[0], places[-1] + 1, bold

    def _line(self, start: int, end: int) -> Line:
        known = self._lines.get((start, end))
        if known is None:
            known = self._lines[(start, end)] = self._set(start, end)
        return known

    def _set(self, start: int, end: int) -> Line:
        segments, x = [], 0.0
        for text, face in self._ordered(start, end):
            segments.append(Segment(x, text, face))
            x += fonts.width_mm(text, face, 1.0)
        return Line(
            tuple(segments),
            width=x,
            ascent=max(fonts.ascent(one.text) for one in segments),
            descent=max(fonts.descent(one.text) for one in segments),
            overhang=fonts.overhang(segments[0].text),
        )

    def _ordered(self, start: int, end: int) -> Iterator[tuple[str, str]]:
        """A line's parts from left to right, each with its face."""
        if not self._turns:
            for a, b, bold in self._weights(start, end):
                yield self.text[a:b], _face(bold)
            return
        mark = (bidi.LEFT_MARK, bidi.RIGHT_MARK)[self.way or 0]
        levels = bidi.levels(mark + self.text[start:end])[1:]
        parts = [
            (levels[places[0] - start], bold, places[0], places[-1] + 1)
            for (_, bold), same in groupby(
                range(start, end), key=lambda at: (levels[at - start], self._bold[at])
            )
            for places in [list(same)]
        ]
        for place in bidi.visual([level for level, *_ in parts]):
            level, bold, a, b = parts[place]
            yield _one_way(self.text[a:b], level % 2), _face(bold)


def _one_way(text: str, way: int) -> str:
    """The text, marked where alone it would run the other way."""
    if bidi.base(text) == way:
        return text
    return (bidi.LEFT_MARK, bidi.RIGHT_MARK)[way] + text


def _face(bold: bool) -> str:
    return fonts.BOLD if bold else fonts.REGULAR
