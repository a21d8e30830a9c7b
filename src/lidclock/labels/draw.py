"""Drawing: labels in, PDF bytes out; the same labels always give the same bytes."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from itertools import islice
from typing import TYPE_CHECKING

from lidclock.errors import LabelError
from lidclock.labels import fonts
from lidclock.labels.arrange import arrange
from lidclock.labels.content import ActionLabel, Label
from lidclock.labels.figure import Figure
from lidclock.labels.grid import Grid, grid
from lidclock.labels.ink import Pen
from lidclock.labels.layout import load_layout
from lidclock.labels.paths import PT_PER_MM
from lidclock.labels.stock import Stock

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

_TITLE = "Container labels"
_NO_LABELS = "there are no labels to draw; name at least one container"


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
    if not labels:
        raise LabelError(_NO_LABELS)
    layout = load_layout(stock.layout)
    # Arranged as they are needed: a page of figures is kept, not all of them.
    figures = (arrange(label, stock, layout, dpi) for label in labels)
    return _pages(
        *(figures, stock, grid(dpi)), title=_TITLE, start=start, offset_mm=offset_mm
    )


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
        raise LabelError(_NO_LABELS)
    return _pages(
        *(figures, stock, grid(dpi)), title=_TITLE, start=start, offset_mm=offset_mm
    )


def draw_actions(
    actions: Sequence[ActionLabel],
    stock: Stock,
    *,
    dpi: int = 203,
    offset_mm: tuple[float, float] = (0.0, 0.0),
) -> bytes:
    """A PDF of action codes to pin up: scanning one says what to do next."""
    from lidclock.labels.actions import arrange_action

    if not actions:
        raise LabelError("there are no actions to draw; name at least one")
    layout = load_layout(stock.layout)
    figures = [arrange_action(action, stock, layout, dpi) for action in actions]
    return _pages(
        *(figures, stock, grid(dpi)),
        title="Action codes",
        offset_mm=offset_mm,
    )


def _pages(
    figures: Iterable[Figure],
    stock: Stock,
    dots: Grid,
    *,
    title: str,
    start: int = 1,
    offset_mm: tuple[float, float] = (0.0, 0.0),
) -> bytes:
    # First: it keeps the library from loading what a Latin label does not need.
    fonts.register()
    from reportlab.pdfgen.canvas import Canvas

    size = (stock.page_width_mm * PT_PER_MM, stock.page_height_mm * PT_PER_MM)
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=size, pageCompression=1, invariant=1)
    canvas.setTitle(title)
    cells = stock.cells(start)
    pen = Pen(canvas, stock.page_height_mm, dots)
    left = iter(figures)
    while page := list(islice(left, len(cells))):
        pen.page()
        for figure, (x, y) in zip(page, cells, strict=False):
            pen.label(figure, x + offset_mm[0], y + offset_mm[1])
        _end_page(canvas)
        cells = stock.cells()
    canvas.save()
    return out.getvalue()


def _end_page(canvas: Canvas) -> None:
    """The page's stream is compressed only: as letters it would be a quarter longer."""
    from reportlab.pdfbase import pdfdoc

    canvas.showPage()
    page = canvas._doc.Pages.pages[-1]
    filters = [pdfdoc.PDFZCompress]
    page.Contents = pdfdoc.PDFStream(content=page.stream, filters=filters)
