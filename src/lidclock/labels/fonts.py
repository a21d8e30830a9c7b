"""What labels are set in: which texts it can show, and the room that they take."""

from __future__ import annotations

from functools import lru_cache

from lidclock.labels import shipped

REGULAR, BOLD = shipped.REGULAR, shipped.BOLD
MM_PER_PT = 25.4 / 72
# Shares of the type size, measured on the outlines of both shipped faces (glyf table):
# plain letters, accented Latin capitals, and the tallest stacked accents.
CAP_HEIGHT = 0.729
ASCENT = 0.77
ACCENT_ASCENT = 0.935
TALL_ASCENT = 1.13
DESCENT = 0.25
CAPS_DESCENT = 0.03
J_OVERHANG = 0.06
# Shaped outlines are measured one by one; a little air keeps lines apart.
_AIR = 0.04
# Latin Extended-B, Latin Extended Additional and Greek Extended: accents may stack.
_STACKED = (("\u0180", "\u024f"), ("\u1e00", "\u1fff"))
_ON_THE_LINE = frozenset("ABCDEFGHIKLMNOPRSTUVWXYZ0123456789 ·.")
# Regulation (EU) 1169/2011, Article 13(2) and (3): least x-height of mandatory
# particulars, and where the largest face is smaller than this area.
_LEAST_X_MM, _LEAST_SMALL_X_MM, _SMALL_FACE_CM2 = 1.2, 0.9, 80.0

register, is_plain = shipped.register, shipped.is_plain


def missing(text: str) -> tuple[str, ...]:
    """Characters of `text` that no face here can show, each once, in order."""
    if shipped.is_plain(text):
        return ()
    from lidclock.labels import runs, shaping

    for face in (REGULAR, BOLD):
        try:
            shaping.line(text, face)
        except runs.UncoveredError as error:
            return error.letters
    return ()


def check(text: str) -> None:
    """Refuse text that would print wrongly: with an empty box, a gap, out of order."""
    if shipped.is_plain(text):
        return
    from lidclock.labels import shaping

    for face in (REGULAR, BOLD):
        shaping.line(text, face)


def width_mm(text: str, face: str, size_pt: float) -> float:
    """How wide the text sets, in millimetres."""
    return _width(text, face) * size_pt


@lru_cache(maxsize=16384)
def _width(text: str, face: str) -> float:
    """Millimetres at a size of one point."""
    if shipped.is_plain(text):
        return float(shipped.measure(face)(text, 1.0)) * MM_PER_PT
    from lidclock.labels import shaping

    return shaping.line(text, face).width * MM_PER_PT


def ascent(text: str) -> float:
    """Room above the baseline as a share of the type size, by the accents in it."""
    return _reach(text)[0]


def descent(text: str) -> float:
    """Room below the baseline as a share of the type size: capitals need little."""
    return _reach(text)[1]


def overhang(text: str) -> float:
    """Room that ink takes left of where the text begins, as a share of its size."""
    return _plain_overhang(text) if shipped.is_plain(text) else _reach(text)[2]


@lru_cache(maxsize=16384)
def _reach(text: str) -> tuple[float, float, float]:
    """Ascent, descent and overhang; of shaped text the larger of both faces."""
    if shipped.is_plain(text):
        return _plain_ascent(text), _plain_descent(text), _plain_overhang(text)
    from lidclock.labels import shaping

    lines = [shaping.line(text, face) for face in (REGULAR, BOLD)]
    plain = [piece.text for piece in lines[0].pieces if piece.style is None]
    first = plain[:1] if lines[0].pieces[:1] and not lines[0].pieces[0].style else []
    # Low letters keep the distance of Latin ones from the line above.
    return (
        max(ASCENT, *(one.ascent + _AIR for one in lines), *map(_plain_ascent, plain)),
        max(*(one.descent + _AIR for one in lines), *map(_plain_descent, plain)),
        max(*(one.left for one in lines), *map(_plain_overhang, first)),
    )


def _plain_ascent(text: str) -> float:
    letters = [one for one in text if one == "`" or not one.isascii()]
    if any(first <= one <= last for one in letters for first, last in _STACKED):
        return TALL_ASCENT
    marked = any(one == "`" or one.isalpha() for one in letters)
    return ACCENT_ASCENT if marked else ASCENT


def _plain_descent(text: str) -> float:
    return CAPS_DESCENT if set(text) <= _ON_THE_LINE else DESCENT


def _plain_overhang(text: str) -> float:
    return J_OVERHANG if text[:1] in {"J", "j"} else 0.0


def x_height_mm(face: str, size_pt: float) -> float:
    """How tall an x of that size is, by the face's own file."""
    return shipped.x_height(face) * size_pt * MM_PER_PT


def least_pt(face: str, x_height_mm: float) -> float:
    """The size at which an x is so tall."""
    return x_height_mm / (shipped.x_height(face) * MM_PER_PT)


def least_x_height_mm(largest_face_cm2: float) -> float:
    """How tall the EU wants an x on a pack whose largest face is so large."""
    small = largest_face_cm2 < _SMALL_FACE_CM2
    return _LEAST_SMALL_X_MM if small else _LEAST_X_MM


def forget() -> None:
    """Look for fonts anew, after some came or went."""
    from lidclock.labels import arrange, faces, fit, found, headline, ruler, shaping

    fit.forget()
    for known in (_width, _reach, shaping.line, faces.opened, found.files):
        known.cache_clear()
    for arranged in (ruler.rule, headline.compose, arrange.room):
        arranged.cache_clear()
