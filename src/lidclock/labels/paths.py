"""Paths: panels, symbols and day rules as PDF operators, from a label's own corner."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cache, lru_cache
from itertools import compress
from typing import TYPE_CHECKING

from lidclock.labels.figure import Panel, Symbol

if TYPE_CHECKING:
    from reportlab.pdfgen.pathobject import PDFPathObject

    from lidclock.labels.grid import Grid
    from lidclock.labels.ruler import Rule

PT_PER_MM = 72 / 25.4
_OUTLINE_MM = 0.35
_CORNER_MM = 0.5
_LIGHT = b"\0"
_FRACTION = re.compile(r"-?\d+\.\d+")
_FINDER = 7
# Renderers without grey paint every dot that ink so much as touches, and a rectangle
# that ends where a dot begins touches it: each ends a little before, and begins a
# little after, by a thousandth of a module.
_INSET = 0.001


@lru_cache(maxsize=8192)
def number(value: float, places: int = 3) -> str:
    """At most so many decimals, and no minus before nothing."""
    return f"{round(value, places) + 0.0:.{places}f}".rstrip("0").rstrip(".")


@lru_cache(maxsize=8192)
def points(length_mm: float) -> str:
    """A length in points, to a hundredth of a dot on any printer."""
    return number(length_mm * PT_PER_MM)


@lru_cache(maxsize=8192)
def exact(length_mm: float) -> str:
    """A length in points that must meet the printer's grid: some renderers paint a
    whole dot where ink reaches a hundred-thousandth into it.
    """
    return number(length_mm * PT_PER_MM, 6)


@lru_cache(maxsize=256)
def panel(panel: Panel) -> str:
    """The block behind the word, filled or outlined."""
    from reportlab.pdfgen.pathobject import PDFPathObject

    inset = 0.0 if panel.filled else _OUTLINE_MM / 2
    left, bottom = panel.x + inset, panel.y + panel.height - inset
    wide, tall = panel.width - 2 * inset, panel.height - 2 * inset
    corner = min(_CORNER_MM, panel.height / 2, panel.width / 2)
    sides = (one * PT_PER_MM for one in (left, -bottom, wide, tall, corner))
    path = PDFPathObject()
    path.roundRect(*sides)
    width = points(_OUTLINE_MM)
    return f"{_short(path)} f" if panel.filled else f"{width} w {_short(path)} S"


def symbol(symbol: Symbol, dots: Grid) -> str:
    """All dark modules in one path, in modules under one transform.

    Separate paths, or rectangles in page units, would each be widened by a renderer.
    """
    wide, tall = symbol.module_dots, symbol.row_dots
    if len(symbol.modules) == 1:
        # Bars are many dots high: their height counts in dots.
        rectangles = _filled(symbol.modules[0], _bars(_side(tall)))
        tall = 1
    else:
        rectangles = _matrix(symbol)
    x, y = (
        exact(at + _INSET * count * dots.mm)
        for at, count in ((symbol.x, wide), (symbol.y, tall))
    )
    across, down = (number(count * dots.mm * PT_PER_MM, 8) for count in (wide, tall))
    return f"q {across} 0 0 -{down} {x} -{y} cm {rectangles}f Q"


def _matrix(symbol: Symbol) -> str:
    """A matrix column by column, as its data run (ISO/IEC 18004, 7.7.3: two columns at
    a time), which compresses best.
    """
    rows, corners = symbol.modules, ""
    if symbol.kind == "qr":
        corners, rows = _finders(len(rows)), _without_finders(rows)
    wide, every = len(rows[0]), b"".join(rows)
    columns = _LIGHT.join([every[at::wide] for at in range(wide)])
    return corners + _filled(columns, _columns(len(rows)))


def _filled(modules: bytes, known: _Rectangles) -> str:
    """The runs of a row of modules: each edge is where a module and the next differ."""
    length = len(modules) + 1
    number = int.from_bytes(modules + _LIGHT, "big")
    edges = compress(range(length), (number ^ number >> 8).to_bytes(length, "big"))
    return "".join(map(known.__getitem__, zip(edges, edges, strict=True)))


def _without_finders(rows: tuple[bytes, ...]) -> tuple[bytes, ...]:
    """The rows of a QR symbol with its three large squares left out."""
    corner, size = bytes(_FINDER), len(rows)
    return (
        *(corner + row[_FINDER:-_FINDER] + corner for row in rows[:_FINDER]),
        *rows[_FINDER : size - _FINDER],
        *(corner + row[_FINDER:] for row in rows[-_FINDER:]),
    )


@cache
def _finders(size: int) -> str:
    """The three large squares, the same on every QR symbol (ISO/IEC 18004, 6.3.3)."""
    far = size - _FINDER
    sides = ((0, 0, 1, 7), (6, 0, 1, 7), (1, 0, 5, 1), (1, 6, 5, 1), (2, 2, 3, 3))
    return "".join(
        f"{x + left} {y + top} {_side(wide)} {_side(tall)} re\n"
        for x, y in ((0, 0), (far, 0), (0, far))
        for left, top, wide, tall in sides
    )


class _Rectangles(dict[tuple[int, int], str]):
    """The operator that fills a run of dark modules, by its two ends."""

    def __init__(self, write: Callable[[int, int], str]) -> None:
        super().__init__()
        self._write = write

    def __missing__(self, run: tuple[int, int]) -> str:
        written = self[run] = self._write(*run)
        return written


@lru_cache(maxsize=64)
def _bars(tall: str) -> _Rectangles:
    """Runs along a row."""
    return _Rectangles(lambda start, end: f"{start} 0 {_side(end - start)} {tall} re\n")


@cache
def _columns(rows: int) -> _Rectangles:
    """Runs down columns of so many rows, with a light module after each column."""

    def write(start: int, end: int) -> str:
        column, row = divmod(start, rows + 1)
        return f"{column} {row} {_side(1)} {_side(end - start)} re\n"

    return _Rectangles(write)


def _side(length: int) -> str:
    """The side of a rectangle so many modules, or dots, long."""
    return number(length - 2 * _INSET).removeprefix("0")


def notches(rule: Rule) -> Iterator[str]:
    """The rule's lines and its disc, from its own top-left corner."""
    from reportlab.pdfgen.pathobject import PDFPathObject

    level = rule.line_y
    ticks = [
        _from_to((tick, level - tall), (tick, level)) for tick, tall in rule.ticks[:-1]
    ]
    if ticks:
        yield f"{points(rule.tick_width)} w {' '.join(ticks)} S"
    yield _line(0.25, (rule.line[0], level), (rule.line[1], level))
    for middle in rule.breaks:
        yield from _break(middle, level)
    centre_x, centre_y, radius = (one * PT_PER_MM for one in rule.disc)
    path = PDFPathObject()
    path.circle(centre_x, -centre_y, radius)
    yield f"{_short(path)} f"


def _break(middle: float, level: float) -> Iterator[str]:
    """Two slanted strokes: days that do not count lie between the notches."""
    gap = _line(0.4, (middle - 0.3, level), (middle + 0.3, level))
    yield f"1 G {gap} 0 G"
    for shift in (-0.3, 0.3):
        start = (middle + shift - 0.2, level + 0.5)
        yield _line(0.2, start, (middle + shift + 0.2, level - 0.5))


def _line(width: float, start: tuple[float, float], end: tuple[float, float]) -> str:
    return f"{points(width)} w {_from_to(start, end)} S"


def _from_to(start: tuple[float, float], end: tuple[float, float]) -> str:
    (left, top), (right, foot) = start, end
    return f"{points(left)} {points(-top)} m {points(right)} {points(-foot)} l"


def _short(path: PDFPathObject) -> str:
    """The library's path with no more decimals than are seen."""
    return _FRACTION.sub(lambda found: number(float(found[0])), path.getCode())
