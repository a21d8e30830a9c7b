"""The two faces that come along: what they show as it stands, letter by letter."""

from __future__ import annotations

import sys
import unicodedata
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

from lidclock.labels import data

if TYPE_CHECKING:
    from pathlib import Path

REGULAR = "LidclockRegular"
BOLD = "LidclockBold"
_FILES = {
    REGULAR: "DejaVuSansCondensed.ttf",
    BOLD: "DejaVuSansCondensed-Bold.ttf",
}
_RIGHT_TO_LEFT = frozenset({"R", "AL", "AN"})
_BLANK_ON_PURPOSE = "Zs"
# OpenType: the OS/2 table tells the x-height from version 2 on, at byte 86; a glyph
# begins with the number of its outlines and then its left, bottom, right and top.
_TELLS_X_HEIGHT, _X_HEIGHT_AT, _TOP_AT = 2, 86, 8
_LAST_SHORT = 0xFFFF
# Scripts, and their letters, whose stacked marks run into each other in these faces.
UNFIT = frozenset({"Laoo"})
_UNFIT_LETTERS = ("\u0e80", "\u0eff")


def file_of(face: str) -> Path:
    """Where the shipped file of a face lies."""
    return data.folder() / "fonts" / _FILES[face]


@cache
def register() -> frozenset[int]:
    """Make both faces known to the PDF library once; the code points both show."""
    with _spared("uharfbuzz"):
        from reportlab.pdfbase import pdfmetrics
        from reportlab.pdfbase.ttfonts import TTFont

    covered: set[int] | None = None
    for name in _FILES:
        font = TTFont(name, str(file_of(name)))
        pdfmetrics.registerFont(font)
        have = {code for code, glyph in font.face.charToGlyph.items() if glyph}
        covered = have if covered is None else covered & have
    return frozenset(covered or ())


@contextmanager
def _spared(name: str) -> Iterator[None]:
    """Keep a library from importing a module meanwhile, unless it is there already.

    The PDF library imports the shaper wherever it is installed, never to use it here;
    that would take as long again as everything else a Latin label needs.
    """
    if name in sys.modules:
        yield
        return
    modules: dict[str, Any] = sys.modules
    modules[name] = None
    try:
        yield
    finally:
        del modules[name]


def font(face: str) -> Any:
    """A shipped face as the PDF library knows it."""
    from reportlab.pdfbase import pdfmetrics

    register()
    return pdfmetrics.getFont(face)


@cache
def measure(face: str) -> Callable[[str, float], float]:
    """What tells how wide a plain text sets in a shipped face at a size, in points."""
    measured: Callable[[str, float], float] = font(face).stringWidth
    return measured


@cache
def is_simple(letter: str) -> bool:
    """True if both faces show it, and show it right without looking at its neighbours.

    Marks, joining letters and whatever runs from right to left need shaping; beyond
    U+FFFF the PDF library writes text that cannot be copied out again.
    """
    if ord(letter) > _LAST_SHORT or ord(letter) not in register():
        return False
    if _UNFIT_LETTERS[0] <= letter <= _UNFIT_LETTERS[1]:
        return False
    kind = unicodedata.category(letter)
    if kind[0] in "MC" or unicodedata.bidirectional(letter) in _RIGHT_TO_LEFT:
        return False
    return kind == _BLANK_ON_PURPOSE or all(_has_ink(face, letter) for face in _FILES)


@lru_cache(maxsize=8192)
def is_plain(text: str) -> bool:
    """True if the text can be set letter by letter in the shipped faces."""
    return all(map(is_simple, text))


def _has_ink(face: str, letter: str) -> bool:
    table = font(face).face
    glyph = table.charToGlyph[ord(letter)]
    return bool(table.glyphPos[glyph + 1] > table.glyphPos[glyph])


def x_height(face: str) -> float:
    """Height of an x as a share of the type size: as the file says, else as drawn."""
    table = font(face).face
    told = 0
    if "OS/2" in table.table:
        metrics = table.get_table("OS/2")
        if _short(metrics, 0) >= _TELLS_X_HEIGHT:
            told = _short(metrics, _X_HEIGHT_AT)
    return (told or _top(table, "x")) / float(table.unitsPerEm)


def _top(table: Any, letter: str) -> int:
    """The highest point of a letter's outline, in the font's units."""
    start = table.glyphPos[table.charToGlyph[ord(letter)]]
    return _short(table.get_table("glyf"), start + _TOP_AT)


def _short(data: bytes, at: int) -> int:
    return int.from_bytes(data[at : at + 2], "big", signed=True)
