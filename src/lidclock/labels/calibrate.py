"""A page of rulers: where the print falls, against where the labels are."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from lidclock.labels import fonts
from lidclock.labels.grid import grid
from lidclock.labels.stock import Stock

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

_PT_PER_MM = 72 / 25.4
_REACH_MM = 5
_STEPS = 2
_TICK_MM = {"whole": 3.0, "half": 1.6, "five": 4.2}
_LINE_MM, _THIN_MM = 0.25, 0.12
_NUMBER_PT, _TEXT_PT = 6.5, 9.0
_MODULES = (2, 3, 4)
_HOW = (
    "Lay this page on a sheet of labels and hold both against the light.",
    "Which line lies on the left edge of a label? That is --right.",
    "Which line lies on the upper edge of a label? That is --down.",
    "Values left of 0 or above 0 are negative. All three corners should agree.",
)


def draw_calibration(
    stock: Stock, *, dpi: int = 203, offset_mm: tuple[float, float] = (0.0, 0.0)
) -> bytes:
    """Outlines of the first, the middle and the last label, with rulers at their edges.

    The line that lies on a label's edge tells how far the print has to be moved.
    """
    from reportlab.pdfgen.canvas import Canvas

    fonts.register()
    size = (stock.page_width_mm * _PT_PER_MM, stock.page_height_mm * _PT_PER_MM)
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=size, pageCompression=1, invariant=1)
    canvas.setTitle("Calibration page")
    page = _Page(canvas, stock, offset_mm)
    cells = stock.cells()
    middle = stock.across * (stock.down // 2) + stock.across // 2
    for number in sorted({0, middle, len(cells) - 1}):
        page.corner(*cells[number], number + 1)
    page.modules(*cells[0], grid(dpi).mm)
    if stock.across > 1 and stock.down > 1:
        page.explain()
    canvas.showPage()
    canvas.save()
    return out.getvalue()


class _Page:
    """Draws on one page; lengths in mm from its top-left corner."""

    def __init__(
        self, canvas: Canvas, stock: Stock, offset_mm: tuple[float, float]
    ) -> None:
        self._canvas, self._stock, self._offset = canvas, stock, offset_mm

    def corner(self, x: float, y: float, cell: int) -> None:
        """A label's outline, a ruler across its left edge and one across its upper."""
        stock = self._stock
        wide, tall = stock.label_width_mm, stock.label_height_mm
        self._outline(x, y, wide, tall)
        for half in range(-_REACH_MM * _STEPS, _REACH_MM * _STEPS + 1):
            place = half / _STEPS
            kind = "half" if half % _STEPS else "whole" if place % 5 else "five"
            length = min(_TICK_MM[kind], tall / 4, wide / 4)
            width = _LINE_MM if kind != "half" else _THIN_MM
            level, column = y + tall / 2, x + wide / 2
            self._line((x + place, level), (x + place, level + length), width)
            self._line((column, y + place), (column + length, y + place), width)
            if kind == "five":
                number = f"{place:+g}" if place else "0"
                self._number(x + place, level - 0.6, number)
                self._number(column - 1.8, y + place + 0.8, number)
        self._text(x + 1.2, y + tall - 1.2, f"label {cell}", _NUMBER_PT)

    def explain(self) -> None:
        """What to read and what to type, at the lower left, beside the last label."""
        stock = self._stock
        right, down = self._offset
        lines = [
            f"Calibration of {stock.name}: {stock.title}",
            *_HOW,
            "lidclock label calibrate --printer NAME --right MM --down MM",
            f"Printed with an offset of {right:+g} mm to the right, {down:+g} mm down.",
        ]
        left = max(stock.left_mm + 2, 10.0)
        room = stock.cells()[-1][0] - _REACH_MM - 2 - left
        widest = max(fonts.width_mm(one, fonts.REGULAR, 1) for one in lines)
        size = min(_TEXT_PT, room / widest)
        leading = size * fonts.MM_PER_PT * 1.5
        foot = stock.cells()[-1][1] + stock.label_height_mm - 2
        for number, line in enumerate(reversed(lines)):
            self._text(left, foot - number * leading, line, size)

    def modules(self, x: float, y: float, dot_mm: float) -> None:
        """Bars of 2, 3 and 4 dots: which of them come out crisp."""
        top, tall = y + 1.2, min(4.0, self._stock.label_height_mm / 5)
        left = x + 1.2
        for dots in _MODULES:
            for bar in range(4):
                self._line(
                    (left + (2 * bar + 0.5) * dots * dot_mm, top),
                    (left + (2 * bar + 0.5) * dots * dot_mm, top + tall),
                    dots * dot_mm,
                )
            left += 8 * dots * dot_mm + 1.0

    def _at(self, x: float, y: float) -> tuple[float, float]:
        right, down = self._offset
        return (
            (x + right) * _PT_PER_MM,
            (self._stock.page_height_mm - y - down) * _PT_PER_MM,
        )

    def _line(
        self, start: tuple[float, float], end: tuple[float, float], width: float
    ) -> None:
        self._canvas.setLineWidth(width * _PT_PER_MM)
        self._canvas.line(*self._at(*start), *self._at(*end))

    def _outline(self, x: float, y: float, wide: float, tall: float) -> None:
        left, bottom = self._at(x, y + tall)
        self._canvas.setLineWidth(_THIN_MM * _PT_PER_MM)
        if self._stock.shape == "round":
            radius = wide * _PT_PER_MM / 2
            self._canvas.circle(left + radius, bottom + radius, radius)
            return
        self._canvas.rect(left, bottom, wide * _PT_PER_MM, tall * _PT_PER_MM)

    def _number(self, x: float, y: float, text: str) -> None:
        wide = fonts.width_mm(text, fonts.REGULAR, _NUMBER_PT)
        self._text(x - wide / 2, y, text, _NUMBER_PT)

    def _text(self, x: float, y: float, text: str, size_pt: float) -> None:
        self._canvas.setFont(fonts.REGULAR, size_pt)
        self._canvas.drawString(*self._at(x, y), text)
