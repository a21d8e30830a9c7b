"""The lid as SVG: one ink, a segment a day, words in the middle."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import lru_cache
from html import escape
from math import cos, pi, sin, sqrt
from unicodedata import category, combining, east_asian_width

from markupsafe import Markup

from lidclock.app.lid import Lid
from lidclock.web.sentences import spoken

# In the units of the drawing: a lid of 100 across.
_OUTER, _INNER, _RIM, _GAP = 46.0, 37.0, 49.0, 0.05
# Words keep off the ring by this much.
_ROOM = _INNER - 2.5
_WORD, _NOTE, _EASY, _LEAST = 16.0, 10.5, 7.5, 6.0
# Above and below its baseline a line of text takes so much of its size.
_UP, _DOWN = 0.76, 0.24
_BREAK = re.compile(r" +|[年日](?=.)")
# Baselines of a word and a note of two lines each.
_CROWDED = (36.5, 50.5), (61.5, 71.0)
# Arabic letters of three or four teeth.
_TOOTHED = frozenset("سشصضطظ")
_NARROW, _WIDE = frozenset("iljI1.,:;'|!()[] ft"), frozenset("mwMW@%—…")


@lru_cache(maxsize=4096)
def in_language(language: str, lid: Lid) -> Lid:
    """The lid with its words as the page says them."""
    word, note = (spoken(language, one) for one in (lid.word, lid.note))
    return replace(lid, word=word, note=note)


def draw(lid: Lid, size: int) -> str:
    """An inline drawing `size` pixels across; what it says is its label too.

    The classes `spent`, `left` and `hatched` are drawn by the style sheet; the pattern
    they need is in the page once.
    """
    return (
        f'<svg class="lid" role="img" aria-label="{escape(says(lid))}" '
        f'viewBox="0 0 100 100" width="{size}" height="{size}">{_inside(lid)}</svg>'
    )


class Sheet:
    """Many lids on one page: those that look alike are drawn once and used again."""

    def __init__(self, lids: Iterable[Lid], language: str) -> None:
        self._language = language
        self._names = {
            lid: f"lid{number}" for number, lid in enumerate(dict.fromkeys(lids))
        }
        self._used: dict[tuple[Lid, int], Markup] = {}

    def symbols(self) -> Markup:
        """Every drawing once, shown nowhere by itself."""
        drawn = "".join(
            f'<symbol class="lid" id="{name}" viewBox="0 0 100 100">'
            f"{_inside(in_language(self._language, lid))}</symbol>"
            for lid, name in self._names.items()
        )
        return Markup(f'<svg class="patterns" aria-hidden="true">{drawn}</svg>')

    def use(self, lid: Lid, size: int) -> Markup:
        """One of them, in place."""
        known = self._used.get((lid, size))
        if known is None:
            label = escape(says(in_language(self._language, lid)))
            known = self._used[lid, size] = Markup(
                f'<svg class="lid" role="img" '
                f'aria-label="{label}" width="{size}" height="{size}">'
                f'<use href="#{self._names[lid]}"/></svg>'
            )
        return known


def says(lid: Lid) -> str:
    """The words of a lid, for those who do not see it."""
    return f"{lid.word}, {lid.note}" if lid.note else lid.word


@lru_cache(maxsize=4096)
def _inside(lid: Lid) -> str:
    rim = "".join(_segments(lid)) if lid.segments else _dotted()
    return (
        f'<circle class="rim" cx="50" cy="50" r="{_RIM}"/>{rim}{"".join(_words(lid))}'
    )


def _words(lid: Lid) -> Iterator[str]:
    """The word on one line or two, whichever is larger, and the note beneath."""
    shift = 0.0 if lid.note else 5.0
    lines, size, baselines = _set(lid.word, _WORD, 50 + shift, (42 + shift, 58 + shift))
    below, two = (65.0, (62.5, 72.0)) if len(lines) == 1 else (71.0, None)
    if two is None and not _is_large(lid.note, below):
        # A long note takes two lines as well, and the word makes room for it.
        baselines, two = _CROWDED
        size = _fit(lines, baselines, size)
    for text, y in zip(lines, baselines, strict=True):
        yield _text("word", text, y, size)
    if lid.note:
        lines, size, baselines = _set(lid.note, _NOTE, below, two)
        for text, y in zip(lines, baselines, strict=True):
            yield _text("note", text, y, size)


def _is_large(text: str, y: float) -> bool:
    """Whether it fits on one line there in a size that is read at arm's length."""
    return width_em(text) * _EASY <= _chord(y, _EASY)


def _set(
    text: str, most: float, alone: float, two: tuple[float, float] | None
) -> tuple[tuple[str, ...], float, tuple[float, ...]]:
    """Lines, their size and baselines: on one line unless two are clearly larger."""
    best: tuple[tuple[str, ...], float, tuple[float, ...]]
    best = (text,), _fit((text,), (alone,), most), (alone,)
    if two is None:
        return best
    for pair in _halves(text):
        # Lines that are no higher than they are apart touch in no script.
        size = _fit(pair, two, min(most, two[1] - two[0]))
        if size > best[1] * 1.1:
            best = pair, size, two
    return best


def _text(kind: str, text: str, y: float, size: float) -> str:
    """One line; what is too long even for the smallest type ends in an ellipsis."""
    shown = text
    while width_em(shown) * size > _chord(y, size) and len(text) > 1:
        text = text[:-1]
        shown = f"{text.rstrip()}…"
    return (
        f'<text class="{kind}" x="50" y="{y:g}" font-size="{size:.1f}">'
        f"{escape(shown)}</text>"
    )


def _halves(text: str) -> Iterator[tuple[str, str]]:
    """Every way to break it: at a blank, or after a Chinese year or day.

    A comma says no more at the end of a line.
    """
    for found in _BREAK.finditer(text):
        end = found.end()
        yield text[:end].rstrip(" ,\u060c\uff0c"), text[end:]


def _fit(texts: tuple[str, ...], baselines: tuple[float, ...], size: float) -> float:
    """The largest size, up to `size`, at which every line stays inside the ring."""
    while size > _LEAST and not all(
        width_em(text) * size <= _chord(y, size)
        for text, y in zip(texts, baselines, strict=True)
    ):
        size -= 0.5
    return size


def _chord(y: float, size: float) -> float:
    """How wide the room is for a line of that size with its baseline at `y`."""
    far = max(abs(y - _UP * size - 50), abs(y + _DOWN * size - 50))
    return 2 * sqrt(max(0.0, _ROOM**2 - far**2))


def width_em(text: str) -> float:
    """About how wide bold sans text is, in parts of its size; rather too wide."""
    return sum(map(_advance, text))


def _advance(letter: str) -> float:
    if combining(letter) or category(letter) == "Cf":
        return 0.0
    if east_asian_width(letter) in "WF" or letter in _WIDE:
        return 1.0
    if letter in _NARROW:
        return 0.4
    if "\u0600" <= letter <= "\u06ff":
        return 0.85 if letter in _TOOTHED else 0.56
    return 0.75 if letter.isupper() else 0.64


def _segments(lid: Lid) -> Iterator[str]:
    count = len(lid.segments)
    for number, kind in enumerate(lid.segments):
        # The gap also keeps a single day from being an arc of no length.
        begin = 2 * pi * number / count + _GAP
        end = 2 * pi * (number + 1) / count - _GAP
        yield f'<path class="{kind}" d="{_arc(begin, end)}"/>'


def _arc(begin: float, end: float) -> str:
    large = int(end - begin > pi)
    (a, b), (c, d) = _point(_OUTER, begin), _point(_OUTER, end)
    (e, f), (g, h) = _point(_INNER, end), _point(_INNER, begin)
    return (
        f"M{a:.1f} {b:.1f}A{_OUTER:g} {_OUTER:g} 0 {large} 1 {c:.1f} {d:.1f}"
        f"L{e:.1f} {f:.1f}A{_INNER:g} {_INNER:g} 0 {large} 0 {g:.1f} {h:.1f}z"
    )


def _point(radius: float, angle: float) -> tuple[float, float]:
    """From the top, clockwise."""
    return 50 + radius * sin(angle), 50 - radius * cos(angle)


def _dotted() -> str:
    middle = (_OUTER + _INNER) / 2
    return f'<circle class="dotted" cx="50" cy="50" r="{middle}"/>'
