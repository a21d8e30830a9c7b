"""A page of stock as a drawing: outline, labels, the nine numbers as dimensions."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import TYPE_CHECKING

from lidclock.labels import fonts
from lidclock.labels.stock import Stock

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

_PT_PER_MM = 72 / 25.4
_EDGE_MM = 22.0
_TEXT_PT, _ARROW_MM = 7.0, 1.2
_HAIR_MM, _LINE_MM = 0.1, 0.3
# A page is drawn smaller where it would not fit on this.
_MOST_MM = 260.0
_COLUMNS_PER_ROW = 2.1


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
        self._canvas.setFont(fonts.BOLD, 9)
        left = _EDGE_MM * _PT_PER_MM
        self._canvas.drawString(left, 6 * _PT_PER_MM, f"{stock.name}: {stock.title}")

    def _lengths(self) -> None:
        """The nine numbers, those of the page outside it."""
        stock = self._stock
        wide, tall = stock.label_width_mm, stock.label_height_mm
        across = f"{stock.page_width_mm:g}  ({stock.across} across)"
        down = f"{stock.page_height_mm:g}  ({stock.down} down)"
        self._across(0, stock.page_width_mm, -16, across)
        self._down(0, stock.page_height_mm, -16, down)
        self._across(stock.left_mm, stock.left_mm + wide, -4, f"{wide:g}")
        self._down(stock.top_mm, stock.top_mm + tall, -4, f"{tall:g}")
        if stock.left_mm > 0:
            self._across(0, stock.left_mm, -4, "")
            self._beside(f"{stock.left_mm:g}", 0, -4)
        if stock.top_mm > 0:
            self._down(0, stock.top_mm, -4, f"{stock.top_mm:g}")
        if stock.across > 1:
            start = stock.left_mm
            end = start + stock.pitch_x_mm
            self._across(start, end, -10, f"every {stock.pitch_x_mm:g}")
        if stock.down > 1:
            start = stock.top_mm
            end = start + stock.pitch_y_mm
            self._down(start, end, -10, f"every {stock.pitch_y_mm:g}")

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

    def _arrow(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        canvas, head = self._canvas, _ARROW_MM * _PT_PER_MM
        canvas.setLineWidth(_HAIR_MM * _PT_PER_MM)
        canvas.line(*start, *end)
        is_level = start[1] == end[1]
        for x, y in (start, end):
            across, along = (0.0, head) if is_level else (head, 0.0)
            canvas.line(x - across, y - along, x + across, y + along)

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


def in_characters(stock: Stock, columns: int = 48) -> Iterator[str]:
    """The page for a terminal: labels as boxes, the first and the last numbered."""
    wide = min(columns, max(16, round(stock.page_width_mm / 3)))
    x_scale = wide / stock.page_width_mm
    tall = max(3, round(stock.page_height_mm * x_scale / _COLUMNS_PER_ROW))
    y_scale = tall / stock.page_height_mm
    field = [[" "] * (wide + 1) for _ in range(tall + 1)]
    cells = stock.cells()
    for number, (x, y) in enumerate(cells, start=1):
        left, right = round(x * x_scale), round((x + stock.label_width_mm) * x_scale)
        top, foot = round(y * y_scale), round((y + stock.label_height_mm) * y_scale)
        _box(field, (left, top, min(right, wide), min(foot, tall)))
        if number in (1, len(cells)) and foot - top > 1:
            for n, letter in enumerate(str(number)):
                field[(top + foot) // 2][(left + right) // 2 + n] = letter
    for row in field:
        yield "".join(row).rstrip()


_CORNERS = {
    frozenset("rd"): "┌", frozenset("ld"): "┐", frozenset("ru"): "└",
    frozenset("lu"): "┘", frozenset("lr"): "─", frozenset("ud"): "│",
    frozenset("lrd"): "┬", frozenset("lru"): "┴", frozenset("rud"): "├",
    frozenset("lud"): "┤", frozenset("lrud"): "┼",
}  # fmt: skip
_SIDES = {sign: sides for sides, sign in _CORNERS.items()}


def _box(field: list[list[str]], box: tuple[int, int, int, int]) -> None:
    """A frame; where it meets another one the lines are joined."""
    left, top, right, foot = box
    for x in range(left, right + 1):
        for y in range(top, foot + 1):
            sides = set()
            if y in (top, foot):
                sides |= {"l"} if x > left else set()
                sides |= {"r"} if x < right else set()
            if x in (left, right):
                sides |= {"u"} if y > top else set()
                sides |= {"d"} if y < foot else set()
            if sides:
                known = _SIDES.get(field[y][x], frozenset())
                field[y][x] = _CORNERS.get(frozenset(sides) | known, field[y][x])
