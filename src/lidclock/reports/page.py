"""A figure with words above and below it: wrapped to its width, none cut off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from lidclock.reports.drawing import INK, new_figure

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    Key = Line2D | Patch

TITLE_PT, WORDS_PT = 10.0, 8.0
_FAMILY = "DejaVu Sans"
_PT_PER_IN = 72.0
# A line is so many times as high as its type, and words keep so far from the edge.
_LEADING, _EDGE_IN = 1.4, 0.12
_KEYS_IN_ROW = 3
# Stands for a letter that the font has not, so that no empty box is drawn.
_UNKNOWN = "?"


@dataclass(frozen=True, slots=True)
class Words:
    """What stands above a figure (the first line is its title), and below it."""

    head: Sequence[str]
    foot: Sequence[str] = ()


def new_page(
    width_in: float, body_in: float, words: Words, keys: Sequence[Key]
) -> Figure:
    """An empty figure of `body_in` for its pictures, with words and a key around it.

    Call it within `style()`.
    """
    room_in = width_in - 2 * _EDGE_IN
    head = [
        (line, TITLE_PT if number == 0 else WORDS_PT)
        for number, text in enumerate(words.head)
        for line in wrapped(text, room_in, number == 0)
    ]
    foot = [line for text in words.foot for line in wrapped(text, room_in)]
    rows = -(-len(keys) // _KEYS_IN_ROW)
    head_in = _EDGE_IN + sum(_line_in(size) for _, size in head)
    foot_in = _EDGE_IN + _line_in(WORDS_PT) * (len(foot) + 1.25 * rows)
    high_in = head_in + body_in + foot_in
    figure = new_figure(width_in, high_in)
    top, left = 1 - _EDGE_IN / 2 / high_in, _EDGE_IN / width_in
    for line, size in head:
        weight = "bold" if size == TITLE_PT else "normal"
        figure.text(left, top, line, va="top", fontsize=size, weight=weight)
        top -= _line_in(size) / high_in
    bottom = _EDGE_IN / 2 / high_in
    for line in reversed(foot):
        figure.text(left, bottom, line, va="bottom", fontsize=WORDS_PT, color=INK)
        bottom += _line_in(WORDS_PT) / high_in
    if keys:
        figure.legend(
            handles=keys,
            loc="lower left",
            bbox_to_anchor=(left, bottom),
            ncols=_KEYS_IN_ROW,
            borderaxespad=0,
            borderpad=0.2,
        )
    room = (0, foot_in / high_in, 1, body_in / high_in)
    figure.set_layout_engine("constrained", rect=room)
    return figure


def _line_in(size_pt: float) -> float:
    return size_pt * _LEADING / _PT_PER_IN


def wrapped(text: str, room_in: float, is_title: bool = False) -> list[str]:
    """The text in lines that fit the room; a word too long for one is divided."""
    size, lines = (TITLE_PT if is_title else WORDS_PT), [""]
    for word in _pieces(drawable(text), room_in, size):
        longer = f"{lines[-1]} {word}".strip()
        if width_in(longer, size, is_title) <= room_in:
            lines[-1] = longer
        else:
            lines.append(word)
    return [line for line in lines if line]


def _pieces(text: str, room_in: float, size: float) -> list[str]:
    """Words, and the parts of those that are wider than a line."""
    found = []
    for word in text.split():
        rest = word
        while width_in(rest, size, True) > room_in:
            cut = len(rest) - 1
            while cut > 1 and width_in(rest[:cut], size, True) > room_in:
                cut -= 1
            found.append(rest[:cut])
            rest = rest[cut:]
        found.append(rest)
    return found


def shortened(text: str, room_in: float, size: float) -> str:
    """The text cut to the room, with dots in place of what is left out."""
    text = drawable(text)
    if width_in(text, size) <= room_in:
        return text
    while text and width_in(f"{text}…", size) > room_in:
        text = text[:-1]
    return f"{text.rstrip()}…"


def width_in(text: str, size: float, is_bold: bool = False) -> float:
    """How wide a text of that size is."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    weight = "bold" if is_bold else "normal"
    font = FontProperties(family=_FAMILY, weight=weight, size=size)
    width, *_ = text_to_path.get_text_width_height_descent(text, font, False)
    return float(width) / _PT_PER_IN


def drawable(text: str) -> str:
    """The text with a question mark for each letter that the font has not."""
    return "".join(one if has(one) else _UNKNOWN for one in text)


def has(letter: str) -> bool:
    """Whether the font of figures has that letter, in its bold cut too."""
    return letter == " " or (letter.isprintable() and ord(letter) in _letters())


@lru_cache(maxsize=1)
def _letters() -> frozenset[int]:
    from matplotlib.font_manager import FontProperties, findfont, get_font

    cuts = [
        get_font(findfont(FontProperties(family=_FAMILY, weight=weight))).get_charmap()
        for weight in ("normal", "bold")
    ]
    return frozenset(cuts[0]) & frozenset(cuts[1])
