"""How tall letters of a size are, by the font's outlines, and the size for a height."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from lidclock.labels import faces, fonts, shipped
from lidclock.labels.retail_data import Least

_FIGURES = "0123456789"
_MEASURED = {"x": "x", "o": "o", "figure": _FIGURES}


@cache
def _share(face: faces.Face, letter: str) -> float | None:
    """How far the letter reaches above its line, in ems; None where the face lacks it.

    Of the figures the lowest one counts.
    """
    tops = []
    for one in _MEASURED[letter]:
        glyph = face.shaper.get_nominal_glyph(ord(one))
        box = face.ink(glyph) if glyph else None
        if box is None:
            return None
        tops.append(box[3])
    return min(tops)


def _faces_of(text: str, face: str) -> Iterator[faces.Face]:
    """The faces a text is set in, the shipped one where letters stand as they are."""
    own = faces.of_file(shipped.file_of(face))
    if fonts.is_plain(text):
        yield own
        return
    from lidclock.labels import shaping

    for piece in shaping.line(text, face).pieces:
        yield own if piece.style is None else piece.style.face


def share(text: str, face: str, letter: str) -> float:
    """The least height of that letter in ems, among the faces the text is set in.

    A script without such a letter is set at the size of the letters beside it.
    """
    found = [_share(one, letter) for one in set(_faces_of(text, face))]
    known = [one for one in found if one is not None]
    own = _share(faces.of_file(shipped.file_of(face)), letter)
    return min(known) if known else own or 1.0


def height_mm(text: str, face: str, size_pt: float, letter: str) -> float:
    """How tall that letter stands in this text at this size."""
    return share(text, face, letter) * size_pt * fonts.MM_PER_PT


def least_pt(text: str, face: str, least: Least) -> float:
    """The smallest size at which the text is tall enough."""
    tall = least.mm / (share(text, face, least.letter) * fonts.MM_PER_PT)
    return max(tall, least.pt)
