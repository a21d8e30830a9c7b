"""Drawing: labels in, PDF bytes out; the same labels always give the same bytes."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from lidclock.errors import LabelError
from lidclock.labels import fonts, shipped
from lidclock.labels.actions import arrange_action
from lidclock.labels.arrange import arrange
from lidclock.labels.content import ActionLabel, Label
from lidclock.labels.figure import Figure, Panel, Symbol, Text
from lidclock.labels.grid import Grid, grid
from lidclock.labels.layout import load_layout
from lidclock.labels.ruler import Mark, Rule
from lidclock.labels.stock import Stock

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

_PT_PER_MM = 72 / 25.4
_OUTLINE_MM = 0.35
_CORNER_MM = 0.5


def arrange_all(
    labels: Sequence[Label], stock: Stock, *, dpi: int = 203
) -> list[Figure]:
    """Each label arranged for the stock, before any ink: boxes as data."""
    layout = load_layout(stock.layout)
    return [arrange(label, stock, layout, dpi) for label in labels]


def draw_sheet(
    labels: Sequence[Label],
    stock: Stock,
    start: int = 1,
    *,
    dpi: int = 203,
    offset_mm: tuple[float, float] = (0.0, 0.0),
) -> bytes:
    """A PDF of the labels, the first in cell `start`, further pages as needed.

    `offset_mm` moves everything right and down, to match a printer that wanders.
    """
    figures = arrange_all(labels, stock, dpi=dpi)
    return draw_figures(figures, stock, start, dpi=dpi, offset_mm=offset_mm)


def draw_figures(
    figures: list[Figure],
    stock: Stock,
    start: int = 1,
    *,
    dpi: int = 203,
    offset_mm: tuple[float, float] = (0.0, 0.0),
) -> bytes:
    """The same from labels that `arrange_all` arranged, for this stock and `dpi`."""
    if not figures:
        raise LabelError("there are no labels to draw; name at least one container")
    return _pages(
        *(figures, stock, grid(dpi)),
        title="Container labels",
        start=start,
        offset_mm=offset_mm,
    )


def draw_actions(
    actions: Sequence[ActionLabel],
    stock: Stock,
    *,
    dpi: int = 203,
    offset_mm: tuple[float, float] = (0.0, 0.0),
) -> bytes:
    """A PDF of action codes to pin up: scanning one says what to do next."""
    if not actions:
        raise LabelError("there are no actions to draw; name at least one")
    layout = load_layout(stock.layout)
    figures = [arrange_action(action, stock, layout, dpi) for action in actions]
    return _pages(
        *(figures, stock, grid(dpi)), title="Action codes", offset_mm=offset_mm
    )


def _pages(
    figures: list[Figure],
    stock: Stock,
    dots: Grid,
    *,
    title: str,
    start: int = 1,
    offset_mm: tuple[float, float] = (0.0, 0.0),
) -> bytes:
    from reportlab.pdfgen.canvas import Canvas

    fonts.register()
    size = (stock.page_width_mm * _PT_PER_MM, stock.page_height_mm * _PT_PER_MM)
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=size, pageCompression=1, invariant=1)
    canvas.setTitle(title)
    cells = stock.cells(start)
    while figures:
        pen = _Pen(canvas, stock.page_height_mm, dots)
        for figure, (x, y) in zip(figures, cells, strict=False):
            pen.label(figure, x + offset_mm[0], y + offset_mm[1])
        canvas.showPage()
        figures = figures[len(cells) :]
        cells = stock.cells()
    canvas.save()
    return out.getvalue()


class _Pen:
    """Draws figures on one page; lengths in mm from its top-left corner."""

    def __init__(self, canvas: Canvas, page_height_mm: float, dots: Grid) -> None:
        self._canvas = canvas
        self._page_height = page_height_mm
        self._dots = dots

    def label(self, figure: Figure, x: float, y: float) -> None:
        """One figure, its corner moved to the nearest dot."""
        x, y = self._dots.nearest(x), self._dots.nearest(y)
        for panel in figure.panels:
            self._panel(panel, x, y)
        for symbol in figure.symbols:
            self._symbol(symbol, x, y)
        for text in figure.texts:
            self._text(text, x, y)
        if figure.rule is not None:
            left, top, rule = figure.rule
            self._rule(rule, x + left, y + top)

    def _at(self, x: float, y: float) -> tuple[float, float]:
        return x * _PT_PER_MM, (self._page_height - y) * _PT_PER_MM

    def _text(self, text: Text, x: float, y: float) -> None:
        at = self._at(x + text.x, y + text.baseline)
        if text.white:
            self._canvas.setFillGray(1)
        if shipped.is_plain(text.text):
            self._canvas.setFont(text.face, text.size_pt)
            self._canvas.drawString(*at, text.text)
        else:
            self._shaped(text, at)
        if text.white:
            self._canvas.setFillGray(0)

    def _shaped(self, text: Text, at: tuple[float, float]) -> None:
        """Text that needs other faces, joined letters or another direction."""
        from lidclock.labels import embed, shaping

        line = shaping.line(text.text, text.face)
        grey = 1 if text.white else 0
        embed.draw(self._canvas, at, line, text.face, text.size_pt, grey=grey)

    def _panel(self, panel: Panel, x: float, y: float) -> None:
        inset = 0.0 if panel.filled else _OUTLINE_MM / 2
        left, bottom = self._at(x + panel.x + inset, y + panel.y + panel.height - inset)
        wide, tall = panel.width - 2 * inset, panel.height - 2 * inset
        self._canvas.setLineWidth(_OUTLINE_MM * _PT_PER_MM)
        self._canvas.roundRect(
            *(left, bottom, wide * _PT_PER_MM, tall * _PT_PER_MM),
            min(_CORNER_MM, panel.height / 2) * _PT_PER_MM,
            stroke=0 if panel.filled else 1,
            fill=1 if panel.filled else 0,
        )

    def _symbol(self, symbol: Symbol, x: float, y: float) -> None:
        """All dark runs in one path, in whole modules under one transform.

        Separate rectangles in page units would each be widened by a renderer.
        """
        dot = self._dots.mm * _PT_PER_MM
        left, top = self._at(x + symbol.x, y + symbol.y)
        canvas = self._canvas
        canvas.saveState()
        canvas.transform(
            symbol.module_dots * dot, 0, 0, -symbol.row_dots * dot, left, top
        )
        path = canvas.beginPath()
        for row, runs in enumerate(symbol.rows):
            for first, length in runs:
                path.rect(first, row, length, 1)
        canvas.drawPath(path, stroke=0, fill=1)
        canvas.restoreState()

    def _rule(self, rule: Rule, x: float, y: float) -> None:
        canvas = self._canvas
        line = self._liner(x, y)
        for tick, tall in rule.ticks[:-1]:
            line(rule.tick_width, (tick, rule.line_y - tall), (tick, rule.line_y))
        line(0.25, (rule.line[0], rule.line_y), (rule.line[1], rule.line_y))
        for middle in rule.breaks:
            self._break(line, middle, rule.line_y)
        centre_x, centre_y, radius = rule.disc
        at = self._at(x + centre_x, y + centre_y)
        canvas.circle(*at, radius * _PT_PER_MM, stroke=0, fill=1)
        for mark in (*rule.months, *rule.numbers):
            self._mark(mark, x, y)

    def _liner(
        self, x: float, y: float
    ) -> Callable[[float, tuple[float, float], tuple[float, float]], None]:
        def line(
            width: float, start: tuple[float, float], end: tuple[float, float]
        ) -> None:
            self._canvas.setLineWidth(width * _PT_PER_MM)
            first, last = (
                self._at(x + start[0], y + start[1]),
                self._at(x + end[0], y + end[1]),
            )
            self._canvas.line(*first, *last)

        return line

    def _break(
        self,
        line: Callable[[float, tuple[float, float], tuple[float, float]], None],
        middle: float,
        level: float,
    ) -> None:
        """Two slanted strokes: days that do not count lie between the notches."""
        self._canvas.setStrokeGray(1)
        line(0.4, (middle - 0.3, level), (middle + 0.3, level))
        self._canvas.setStrokeGray(0)
        for shift in (-0.3, 0.3):
            start = (middle + shift - 0.2, level + 0.5)
            line(0.2, start, (middle + shift + 0.2, level - 0.5))

    def _mark(self, mark: Mark, x: float, y: float) -> None:
        self._text(
            Text(mark.x, mark.baseline, mark.text, mark.face, mark.size_pt), x, y
        )
