"""A page of stock as a drawing: outline, labels, the nine numbers as dimensions."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from lidclock.labels import fonts, shipped
from lidclock.labels.stock import Stock

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

_PT_PER_MM = 72 / 25.4
_EDGE_MM = 22.0
_TITLE_PT, _TEXT_PT, _ARROW_MM = 9.0, 7.0, 1.2
_HAIR_MM, _LINE_MM = 0.1, 0.3
# A shorter length has its words beside it.
_WORDY_MM = 11.0
# A page is drawn smaller where it would not fit on this.
_MOST_MM = 260.0


def draw_plan(stock: Stock) -> bytes:
    """The page to scale, its labels numbered, lengths as arrows with millimetres."""
    from reportlab.pdfgen.canvas import Canvas

    fonts.register()
    scale = min(1.0, _MOST_MM / max(stock.page_width_mm, stock.page_height_mm))
    size = (
        (stock.page_width_mm * scale + 2 * _EDGE_MM) * _PT_PER_MM,
        (stock.page_height_mm * scale + 2 * _EDGE_MM) * _PT_PER_MM,
    )
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=size, pageCompression=1, invariant=1)
    canvas.setTitle(f"Label stock {stock.name}")
    plan = _Plan(canvas, stock, scale, size[1])
    plan.draw()
    canvas.showPage()
    canvas.save()
    return out.getvalue()


class _Plan:
    """Draws one page; lengths in mm of the stock, from the page's top-left corner."""

    def __init__(
        self, canvas: Canvas, stock: Stock, scale: float, height_pt: float
    ) -> None:
        self._canvas, self._stock = canvas, stock
        self._scale, self._height = scale, height_pt

    def draw(self) -> None:
        stock = self._stock
        self._box(0, 0, stock.page_width_mm, stock.page_height_mm, _LINE_MM)
        for number, (x, y) in enumerate(stock.cells(), start=1):
            self._label(x, y, number)
        self._lengths()
        left = _EDGE_MM * _PT_PER_MM
        title = stock.title if shipped.is_plain(stock.title) else ""
        words = f"{stock.name}: {title}" if title else stock.name
        room = stock.page_width_mm * self._scale + _EDGE_MM - 2
        size = min(_TITLE_PT, room / fonts.width_mm(words, fonts.BOLD, 1.0))
        self._canvas.setFont(fonts.BOLD, size)
        self._canvas.drawString(left, 10 * _PT_PER_MM, words)
        self._canvas.setFont(fonts.REGULAR, _TEXT_PT)
        scale = "" if self._scale == 1 else f", drawn at {self._scale:.0%}"
        note = f"all lengths in millimetres{scale}"
        self._canvas.drawString(left, 6 * _PT_PER_MM, note)

    def _lengths(self) -> None:
        """The nine numbers, those of the page outside it."""
        stock = self._stock
        wide, tall = stock.label_width_mm, stock.label_height_mm
        left, top = stock.left_mm, stock.top_mm
        if stock.kind == "sheet":
            across = f"page {stock.page_width_mm:g}, {stock.across} across"
            down = f"page {stock.page_height_mm:g}, {stock.down} down"
            self._across(0, stock.page_width_mm, -16, across)
            self._down(0, stock.page_height_mm, -16, down)
        self._across(left, left + wide, -4, f"label {wide:g}")
        self._down(top, top + tall, -4, f"label {tall:g}")
        if left > 0:
            self._across(0, left, -4, "")
            self._beside(f"first {left:g}", 0, -4)
        if top > 0:
            self._down(0, top, -4, f"first {top:g}" if top > _WORDY_MM else "")
            if top <= _WORDY_MM:
                self._above(f"first {top:g}", 0, -4)
        if stock.across > 1:
            self._across(left, left + stock.pitch_x_mm, -10, self._pitch("x"))
        if stock.down > 1:
            self._down(top, top + stock.pitch_y_mm, -10, self._pitch("y"))

    def _pitch(self, axis: str) -> str:
        """`pitch 66`, a length from one label to the next."""
        return f"pitch {getattr(self._stock, f'pitch_{axis}_mm'):g}"

    def _label(self, x: float, y: float, number: int) -> None:
        stock = self._stock
        wide, tall = stock.label_width_mm, stock.label_height_mm
        if stock.shape == "round":
            radius = wide / 2
            at = self._at(x + radius, y + radius)
            self._canvas.setLineWidth(_HAIR_MM * _PT_PER_MM)
            self._canvas.circle(*at, radius * self._scale * _PT_PER_MM)
        else:
            self._box(x, y, wide, tall, _HAIR_MM)
        self._words(*self._at(x + wide / 2, y + tall / 2), str(number), _TEXT_PT)

    def _across(self, start: float, end: float, off_mm: float, text: str) -> None:
        """A length along the top, `off_mm` outside the page on paper."""
        first, last = self._at(start, 0), self._at(end, 0)
        level = first[1] - off_mm * _PT_PER_MM
        self._arrow((first[0], level), (last[0], level))
        middle = (first[0] + last[0]) / 2
        self._words(middle, level + 1.6 * _PT_PER_MM, text, _TEXT_PT)

    def _down(self, start: float, end: float, off_mm: float, text: str) -> None:
        """A length along the left, its words turned."""
        first, last = self._at(0, start), self._at(0, end)
        level = first[0] + off_mm * _PT_PER_MM
        self._arrow((level, first[1]), (level, last[1]))
        self._canvas.saveState()
        self._canvas.translate(level - 1.6 * _PT_PER_MM, (first[1] + last[1]) / 2)
        self._canvas.rotate(90)
        self._words(0, 0, text, _TEXT_PT)
        self._canvas.restoreState()

    def _beside(self, text: str, start: float, off_mm: float) -> None:
        """Words left of where a short length begins: there is no room above it."""
        x, top = self._at(start, 0)
        wide = fonts.width_mm(text, fonts.REGULAR, _TEXT_PT) * _PT_PER_MM
        level = top - off_mm * _PT_PER_MM
        self._words(x - wide / 2 - 1.5 * _PT_PER_MM, level, text, _TEXT_PT)

    def _above(self, text: str, start: float, off_mm: float) -> None:
        """Words above where a short length down begins."""
        left, y = self._at(0, start)
        level = left + off_mm * _PT_PER_MM
        self._words(level, y + 2.5 * _PT_PER_MM, text, _TEXT_PT)

    def _arrow(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        """A line between two strokes, with heads if it is long enough."""
        canvas, head = self._canvas, _ARROW_MM * _PT_PER_MM
        canvas.setLineWidth(_HAIR_MM * _PT_PER_MM)
        canvas.line(*start, *end)
        is_level = start[1] == end[1]
        length = max(abs(end[0] - start[0]), abs(end[1] - start[1]))
        ways = (1, -1) if is_level else (-1, 1)
        for (x, y), way in zip((start, end), ways, strict=True):
            across, along = (0.0, head) if is_level else (head, 0.0)
            canvas.line(x - across, y - along, x + across, y + along)
            if length > 4 * head:
                self._head(x, y, way * head, is_level=is_level)

    def _head(self, x: float, y: float, head: float, *, is_level: bool) -> None:
        """A filled triangle whose tip is at `x` and `y`."""
        path, wide = self._canvas.beginPath(), abs(head) / 3
        path.moveTo(x, y)
        for side in (-wide, wide):
            path.lineTo(
                x + (head if is_level else side), y + (side if is_level else head)
            )
        path.close()
        self._canvas.drawPath(path, stroke=0, fill=1)

    def _words(self, x: float, y: float, text: str, size_pt: float) -> None:
        """Words around a point, on white."""
        wide = fonts.width_mm(text, fonts.REGULAR, size_pt) * _PT_PER_MM
        self._canvas.setFillGray(1)
        self._canvas.rect(
            *(x - wide / 2 - 1, y - size_pt * 0.45, wide + 2, size_pt * 0.95),
            stroke=0,
            fill=1,
        )
        self._canvas.setFillGray(0)
        self._canvas.setFont(fonts.REGULAR, size_pt)
        self._canvas.drawString(x - wide / 2, y - size_pt * 0.35, text)

    def _box(self, x: float, y: float, wide: float, tall: float, line: float) -> None:
        left, bottom = self._at(x, y + tall)
        size = (wide * self._scale * _PT_PER_MM, tall * self._scale * _PT_PER_MM)
        self._canvas.setLineWidth(line * _PT_PER_MM)
        self._canvas.rect(left, bottom, *size)

    def _at(self, x: float, y: float) -> tuple[float, float]:
        return (
            (_EDGE_MM + x * self._scale) * _PT_PER_MM,
            self._height - (_EDGE_MM + y * self._scale) * _PT_PER_MM,
        )
