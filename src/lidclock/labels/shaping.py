"""Shaping: runs turned into glyphs in their places, left to right, in ems."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby, pairwise
from typing import Any

from lidclock.labels import bidi, found, runs, shipped
from lidclock.labels.faces import Face, Style
from lidclock.labels.runs import Run, UncoveredError

_VISIBLE = frozenset("LNPS")
# Outlines of a stroked face grow by half its stroke (see `embed`).
STROKE = 0.03


@dataclass(frozen=True, slots=True)
class Glyph:
    """One outline of a face: where it stands in its line, and the text it shows.

    The first glyph of a cluster shows all of it, the others nothing.
    """

    number: int
    text: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Piece:
    """Neighbouring glyphs of one face, or, without one, plain text of the shipped."""

    text: str
    x: float
    style: Style | None = None
    glyphs: tuple[Glyph, ...] = ()


@dataclass(frozen=True, slots=True)
class Line:
    """A text set on one line at a size of 1: its pieces and the room they take.

    `left` and `right` are how far ink reaches beyond the pen's start and end.
    """

    pieces: tuple[Piece, ...]
    width: float
    left: float
    ascent: float
    descent: float


@dataclass(slots=True)
class _Ink:
    """How far the outlines seen so far reach."""

    left: float = 0.0
    bottom: float = 0.0
    right: float = 0.0
    top: float = 0.0

    def take(self, style: Style, glyph: Glyph) -> bool:
        """Count a glyph's outline in; False where it is blank."""
        box = style.face.ink(glyph.number)
        if box is None:
            return False
        edge = STROKE / 2 if style.thicken else 0.0
        self.left = min(self.left, glyph.x + box[0] - edge)
        self.bottom = min(self.bottom, glyph.y + box[1] - edge)
        self.right = max(self.right, glyph.x + box[2] + edge)
        self.top = max(self.top, glyph.y + box[3] + edge)
        return True


@lru_cache(maxsize=4096)
def line(text: str, face: str) -> Line:
    """Set a text in a shipped face and whatever else it needs.

    Raises UncoveredError where a character has no glyph or its glyph is blank.
    """
    parts = runs.split(text, bold=face == shipped.BOLD)
    pieces: list[Piece] = []
    pen, ink = 0.0, _Ink()
    for place in bidi.visual([part.level for part in parts]):
        part = parts[place]
        if part.style is None:
            words = text[part.start : part.end]
            pieces.append(Piece(words, pen))
            pen += shipped.font(face).stringWidth(words, 1.0)
        else:
            words, start = text[part.start : part.end], pen
            glyphs, pen = _shaped(text, part, part.style.face, pen)
            _inked(text, part.style, glyphs, ink)
            pieces.append(Piece(words, start, part.style, glyphs))
    return Line(tuple(pieces), max(pen, ink.right), -ink.left, ink.top, -ink.bottom)


def _shaped(
    text: str, part: Run, face: Face, pen: float
) -> tuple[tuple[Glyph, ...], float]:
    """A run's glyphs from the pen on, and where the pen then is."""
    buffer = _buffer(text, part, face)
    shown = _shown(text, part, buffer.glyph_infos)
    glyphs: list[Glyph] = []
    moves = zip(shown, buffer.glyph_infos, buffer.glyph_positions, strict=True)
    for words, info, move in moves:
        if info.codepoint == 0:
            raise UncoveredError(text, dict.fromkeys(words, ""))
        x, y = pen + move.x_offset / face.upem, move.y_offset / face.upem
        glyphs.append(Glyph(info.codepoint, words, x, y))
        pen += move.x_advance / face.upem
    return tuple(glyphs), pen


def _shown(text: str, part: Run, infos: Any) -> list[str]:
    """What each glyph shows. Those of one cluster share its letters out in order.

    Written from the left, as readers of PDF expect it: brackets as they look there.
    """
    starts = sorted({info.cluster for info in infos})
    ends = dict(pairwise([*starts, part.end]))
    shown: list[str] = []
    for start, same in groupby(infos, key=lambda info: info.cluster):
        letters = list(text[start : ends[start]])
        if part.level % 2:
            letters = [bidi.mirrored(one) for one in reversed(letters)]
        last = len(list(same)) - 1
        letters += [""] * (last - len(letters))
        shown += [*letters[:last], "".join(letters[last:])]
    return shown


def _buffer(text: str, part: Run, face: Face) -> Any:
    """The shaper's answer for a run; it sees the letters around the run too."""
    import uharfbuzz

    buffer = uharfbuzz.Buffer()
    buffer.add_codepoints([ord(one) for one in text], part.start, part.end - part.start)
    buffer.direction = "rtl" if part.level % 2 else "ltr"
    if part.script != found.COMMON:
        buffer.script = part.script
    buffer.guess_segment_properties()
    buffer.cluster_level = uharfbuzz.BufferClusterLevel.MONOTONE_CHARACTERS
    buffer.flags |= uharfbuzz.BufferFlags.REMOVE_DEFAULT_IGNORABLES
    uharfbuzz.shape(face.shaper, buffer)
    return buffer


def _inked(text: str, style: Style, glyphs: tuple[Glyph, ...], ink: _Ink) -> None:
    """Count the outlines in; a visible character that leaves no ink is refused."""
    inked = True
    shown = ""
    for glyph in (*glyphs, Glyph(0, "", 0.0, 0.0)):
        if glyph.text or not glyph.number:
            if not inked and _is_visible(shown):
                raise UncoveredError(text, dict.fromkeys(shown, ""))
            shown, inked = glyph.text, False
        if glyph.number:
            inked |= ink.take(style, glyph)


def _is_visible(shown: str) -> bool:
    return any(unicodedata.category(one)[0] in _VISIBLE for one in shown)
