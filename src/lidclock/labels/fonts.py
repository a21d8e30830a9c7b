"""The two faces that labels are set in, and the characters they can show."""

from __future__ import annotations

import unicodedata
from functools import cache

from lidclock.errors import LabelError
from lidclock.labels import data

REGULAR = "LidclockRegular"
BOLD = "LidclockBold"
_FILES = {
    REGULAR: "DejaVuSansCondensed.ttf",
    BOLD: "DejaVuSansCondensed-Bold.ttf",
}
MM_PER_PT = 25.4 / 72
# Shares of the type size, measured on the outlines of both faces (glyf table):
# plain letters, accented Latin capitals, and the tallest stacked accents.
CAP_HEIGHT = 0.729
ASCENT = 0.77
ACCENT_ASCENT = 0.935
TALL_ASCENT = 1.13
DESCENT = 0.25
CAPS_DESCENT = 0.03
J_OVERHANG = 0.06
# Latin Extended-B, Latin Extended Additional and Greek Extended: accents may stack.
_STACKED = (("\u0180", "\u024f"), ("\u1e00", "\u1fff"))
_ON_THE_LINE = frozenset("ABCDEFGHIKLMNOPRSTUVWXYZ0123456789 ·.")
_RIGHT_TO_LEFT = {"R", "AL", "AN"}


@cache
def register() -> frozenset[int]:
    """Make both faces known to the PDF library once; the code points both have."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    covered: set[int] | None = None
    for name, file in _FILES.items():
        font = TTFont(name, str(data.folder() / "fonts" / file))
        pdfmetrics.registerFont(font)
        have = {code for code, glyph in font.face.charToGlyph.items() if glyph}
        covered = have if covered is None else covered & have
    return frozenset(covered or ())


def missing(text: str) -> tuple[str, ...]:
    """Characters of `text` that no shipped face can show, each once, in order."""
    covered = register()
    return tuple(dict.fromkeys(one for one in text if ord(one) not in covered))


def check(text: str) -> None:
    """Refuse text that would print wrongly: an empty box, reversed or unjoined."""
    for one in text:
        if unicodedata.bidirectional(one) in _RIGHT_TO_LEFT:
            raise LabelError(
                f"{text!r} is written from right to left, which labels cannot yet set "
                "without risking reversed digits; write it in another script"
            )
    lost = missing(text)
    if lost:
        named = ", ".join(f"{one!r} (U+{ord(one):04X})" for one in lost)
        raise LabelError(f"{text!r} holds {named}, which no label font can show")
    for one in text:
        if unicodedata.category(one).startswith("M"):
            raise LabelError(
                f"{text!r} holds the combining mark U+{ord(one):04X}, "
                "which labels cannot place; write it another way"
            )


def width_mm(text: str, face: str, size_pt: float) -> float:
    """How wide the text sets, in millimetres."""
    from reportlab.pdfbase import pdfmetrics

    register()
    return float(pdfmetrics.stringWidth(text, face, size_pt)) * MM_PER_PT


def ascent(text: str) -> float:
    """Room above the baseline as a share of the type size, by the accents in it."""
    letters = [one for one in text if one == "`" or not one.isascii()]
    if any(first <= one <= last for one in letters for first, last in _STACKED):
        return TALL_ASCENT
    marked = any(one == "`" or one.isalpha() for one in letters)
    return ACCENT_ASCENT if marked else ASCENT


def descent(text: str) -> float:
    """Room below the baseline as a share of the type size: capitals need little."""
    return CAPS_DESCENT if set(text) <= _ON_THE_LINE else DESCENT


def overhang(text: str) -> float:
    """Room a leading J takes left of where the text begins, as a share of its size."""
    return J_OVERHANG if text[:1] in {"J", "j"} else 0.0
