"""Rulers, frames and bars of whole dots on a page, in mm from its top-left corner."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidclock.labels import fonts
from lidclock.labels.grid import Grid

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

Offset = tuple[float, float]

_PT_PER_MM = 72 / 25.4
# A ruler reaches as far to either side of the edge that it lies across.
REACH_MM = 5
_PER_MM, _NUMBERED_MM, _LONG_MM = 2, 2, 5
# Ticks by the half, the whole and the fifth millimetre: how long, how thick.
_HALF, _WHOLE, _FIFTH = (1.0, 0.12), (1.8, 0.25), (2.8, 0.25)
_HAIR_MM, _NUMBER_PT, _NUMBER_GAP_MM = 0.12, 4.4, 0.4


@dataclass(frozen=True, slots=True)
class Area:
    """Room on a page."""

    x: float
    y: float
    width: float
    height: float


class Page:
    """Draws on one page that a printer moves; corners snap to its dots as labels do."""

    def __init__(
        self, canvas: Canvas, height_mm: float, dots: Grid, offset_mm: Offset
    ) -> None:
        self._canvas, self._height = canvas, height_mm
        self._dots, self._offset = dots, offset_mm

    def four_rulers(self, x: float, y: float, width: float, height: float) -> None:
        """Rulers across the middles of all four edges of a label.

        Those across a low label's left and right edge stand with their ticks upwards
        and downwards, so that they meet no other one.
        """
        for edge in (x, x + width):
            self._level_ruler(edge, y + height / 2)
        for edge in (y, y + height):
            self._upright_ruler(x + width / 2, edge)

    def _level_ruler(self, edge: float, y: float) -> None:
        """Ticks hang from `y`; 0 lies on the edge, numbers stand above."""
        x, y = self._corner(edge, y)
        self._line((x - REACH_MM, y), (x + REACH_MM, y), _HAIR_MM)
        for place, (length, thick) in _ticks():
            self._line((x + place, y), (x + place, y + length), thick)
            if place % _NUMBERED_MM == 0:
                wide = fonts.width_mm(_number(place), fonts.REGULAR, _NUMBER_PT)
                self._write(x + place - wide / 2, y - _NUMBER_GAP_MM, _number(place))

    def _upright_ruler(self, x: float, edge: float) -> None:
        """Ticks to the right of `x`; 0 lies on the edge, numbers stand at the left."""
        x, y = self._corner(x, edge)
        self._line((x, y - REACH_MM), (x, y + REACH_MM), _HAIR_MM)
        half = fonts.MM_PER_PT * _NUMBER_PT * 0.36
        for place, (length, thick) in _ticks():
            self._line((x, y + place), (x + length, y + place), thick)
            if place % _NUMBERED_MM == 0:
                wide = fonts.width_mm(_number(place), fonts.REGULAR, _NUMBER_PT)
                self._write(x - _NUMBER_GAP_MM - wide, y + place + half, _number(place))

    def bars(
        self, x: float, y: float, dots: int, length: float, count: int, *,
        lie: bool = False,
    ) -> None:  # fmt: skip
        """Bars so many dots thick with gaps as wide, upright or lying.

        One path in whole dots: a renderer widens rectangles in page units.
        """
        canvas, dot = self._canvas, self._dots.mm * _PT_PER_MM
        long = round(self._dots.up(length) / self._dots.mm)
        canvas.saveState()
        canvas.transform(dot, 0, 0, -dot, *self._at(*self._corner(x, y)))
        path = canvas.beginPath()
        for step in range(0, 2 * count * dots, 2 * dots):
            size = (0, step, long, dots) if lie else (step, 0, dots, long)
            path.rect(*size)
        canvas.drawPath(path, stroke=0, fill=1)
        canvas.restoreState()

    def outline(self, x: float, y: float, width: float, height: float) -> None:
        """A rectangle."""
        x, y = self._corner(x, y)
        self._canvas.setLineWidth(_HAIR_MM * _PT_PER_MM)
        size = (width * _PT_PER_MM, height * _PT_PER_MM)
        self._canvas.rect(*self._at(x, y + height), *size)

    def circle(self, x: float, y: float, width: float) -> None:
        """A circle within the square that begins at `x` and `y`."""
        x, y = self._corner(x, y)
        self._canvas.setLineWidth(_HAIR_MM * _PT_PER_MM)
        middle = self._at(x + width / 2, y + width / 2)
        self._canvas.circle(*middle, width / 2 * _PT_PER_MM)

    def text(self, x: float, baseline: float, text: str, size_pt: float) -> None:
        """One line of type."""
        self._write(*self._corner(x, baseline), text, size_pt)

    def _corner(self, x: float, y: float) -> tuple[float, float]:
        """Where a corner is printed: moved, and on the nearest dot."""
        right, down = self._offset
        return self._dots.nearest(x + right), self._dots.nearest(y + down)

    def _at(self, x: float, y: float) -> tuple[float, float]:
        return x * _PT_PER_MM, (self._height - y) * _PT_PER_MM

    def _write(
        self, x: float, baseline: float, text: str, size_pt: float = _NUMBER_PT
    ) -> None:
        self._canvas.setFont(fonts.REGULAR, size_pt)
        self._canvas.drawString(*self._at(x, baseline), text)

    def _line(
        self, start: tuple[float, float], end: tuple[float, float], thick: float
    ) -> None:
        self._canvas.setLineWidth(thick * _PT_PER_MM)
        self._canvas.line(*self._at(*start), *self._at(*end))


def _ticks() -> list[tuple[float, tuple[float, float]]]:
    """Every half millimetre from the edge, with its tick's length and thickness."""
    steps = range(-REACH_MM * _PER_MM, REACH_MM * _PER_MM + 1)
    ticks = []
    for step in steps:
        place = step / _PER_MM
        kind = _HALF if step % _PER_MM else _WHOLE
        ticks.append((place, _FIFTH if place % _LONG_MM == 0 else kind))
    return ticks


def _number(place: float) -> str:
    """`4`, `−4`: the sign is part of what is typed."""
    return f"{place:g}".replace("-", "−")
