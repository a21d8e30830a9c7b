"""Pages of rulers: where the print falls, against where the labels are.

All rulers count alike: the number that lies on a label's edge is how far the print has
to be moved, to the right or down.
"""

from __future__ import annotations

import io
import shlex
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from lidclock.labels import fit, fonts, shipped
from lidclock.labels.grid import Grid, grid
from lidclock.labels.rulers import REACH_MM, Area, Offset, Page
from lidclock.labels.stock import UNREACHED_MM, Stock

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

_PT_PER_MM = 72 / 25.4
# Type of the explanation: as large as there is room for, left out below the least.
_TEXT_PT, _LEAST_PT, _LEADING = 10.0, 5.0, 1.35
_LEAST_WORDS = 3
_CLEAR_MM = 1.5
# A frame this far inside a roll's label: even margins are seen at a glance.
_FRAME_MM = 2.0
MODULES = (2, 3, 4)
_BARS = 5
_TALLEST_MM, _BETWEEN_MM, _CAPTION_PT = 9.0, 1.8, 6.0


def draw_calibration(
    stock: Stock,
    *,
    dpi: int = 203,
    offset_mm: Offset = (0.0, 0.0),
    printer: str = "",
) -> bytes:
    """Rulers across the edges of the first, the middle and the last label.

    A roll has one label, with a frame in it, and a second one with bars of whole dots
    that show what the head can print. `offset_mm` is the one the printer has already;
    `printer` is its name, for the command that the page spells out.
    """
    from reportlab.pdfgen.canvas import Canvas

    fonts.register()
    size = (stock.page_width_mm * _PT_PER_MM, stock.page_height_mm * _PT_PER_MM)
    out = io.BytesIO()
    canvas = Canvas(out, pagesize=size, pageCompression=1, invariant=1)
    canvas.setTitle(f"Rulers for label stock {stock.name}")
    dots = grid(dpi)
    name = printer if shipped.is_plain(printer) else ""
    words = [
        one for one in explanation(stock, offset_mm, name) if shipped.is_plain(one)
    ]
    _rulers(canvas, stock, dots, offset_mm, words)
    canvas.showPage()
    if stock.kind == "roll":
        _modules(canvas, stock, dots, offset_mm)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def measured_cells(stock: Stock) -> tuple[int, ...]:
    """The first, a middle and the last label, numbered from 0; fewer if few."""
    middle = stock.across * (stock.down // 2) + stock.across // 2
    return tuple(sorted({0, middle, stock.across * stock.down - 1}))


def explanation(stock: Stock, offset_mm: Offset, printer: str = "") -> tuple[str, ...]:
    """What to read and what to type; a roll's label cuts its own rulers off."""
    name = shlex.quote(printer) if printer else "NAME"
    so_far = ""
    if any(offset_mm):
        right, down = offset_mm
        so_far = f"Moved by --right {right:g} --down {down:g} already: "
    if stock.kind == "roll":
        lines: tuple[str, ...] = (
            f"Rulers for {stock.name}",
            "Where a ruler is cut off, type the number at the cut:",
            "left or right edge --right, upper or lower edge --down.",
        )
    else:
        lines = (
            f"Rulers for {stock.name}: {stock.title}",
            "Print it at 100 %. Lay it behind a sheet of labels, corner on corner, and "
            "hold both against the light.",
            "On each ruler read the number on which the label's edge lies; left of 0 "
            "and above 0 it is minus.",
            "Rulers across the left and the right edge give --right, those across the "
            "upper and the lower edge --down. Type the middle of what you read:",
        )
    ends = (
        f"lidclock label calibrate --printer {name} --right MM --down MM",
        f"{so_far}what you read is added." if so_far else "",
    )
    drift = ""
    if len(measured_cells(stock)) > 1:
        drift = (
            "Do the labels drift further off from the first to the last? Then the "
            f"stock has other numbers: lidclock label stock {stock.name}"
        )
    return tuple(line for line in (*lines, *ends, drift) if line)


def _rulers(
    canvas: Canvas,
    stock: Stock,
    dots: Grid,
    offset_mm: Offset,
    words: Sequence[str],
) -> None:
    cells, measured = stock.cells(), measured_cells(stock)
    page = Page(canvas, stock.page_height_mm, dots, offset_mm)
    for number in measured:
        x, y = cells[number]
        size = (stock.label_width_mm, stock.label_height_mm)
        if stock.kind == "roll":
            inner = (size[0] - 2 * _FRAME_MM, size[1] - 2 * _FRAME_MM)
            page.outline(x + _FRAME_MM, y + _FRAME_MM, *inner)
        elif stock.shape == "round":
            page.circle(x, y, size[0])
        else:
            page.outline(x, y, *size)
        page.four_rulers(x, y, *size)
        if len(measured) > 1:
            page.text(
                x + size[0] / 2 + 4, y + size[1] - 1, str(number + 1), _CAPTION_PT
            )
    _explain(page, _areas(stock), words)


def _areas(stock: Stock) -> list[Area]:
    """Where there is room for words, in mm: whole rows, other labels, within one."""
    cells, measured = stock.cells(), measured_cells(stock)
    wide, tall, clear = (
        stock.label_width_mm,
        stock.label_height_mm,
        REACH_MM + _CLEAR_MM,
    )
    areas = []
    rows = [number // stock.across for number in measured]
    side = max(stock.left_mm, UNREACHED_MM) + _CLEAR_MM
    for above, below in pairwise(rows):
        if below - above > 1:
            top = stock.top_mm + above * stock.pitch_y_mm + tall + clear
            foot = stock.top_mm + below * stock.pitch_y_mm - clear
            areas.append(Area(side, top, stock.page_width_mm - 2 * side, foot - top))
    free = [n for n in range(len(cells)) if n not in measured]
    for x, y in (cells[number] for number in (*free, *measured)):
        areas.append(Area(x + clear, y + clear, wide - 2 * clear, tall - 2 * clear))
    return areas


def _explain(page: Page, areas: Sequence[Area], words: Sequence[str]) -> None:
    """The words where they can be largest; the first few, or none, if need be."""
    size, area = max(
        ((_size(words, area), area) for area in areas), key=lambda one: one[0]
    )
    if not size:
        if len(words) > _LEAST_WORDS:
            _explain(page, areas, words[:-1])
        return
    lines = _wrapped(words, size, area) or []
    leading = size * _LEADING * fonts.MM_PER_PT
    for number, line in enumerate(lines):
        page.text(area.x, area.y + (number + 0.8) * leading, line, size)


def _size(words: Sequence[str], area: Area) -> float:
    """The largest type at which the words fit there, or 0."""
    sizes = fit.sizes(_TEXT_PT, _LEAST_PT)
    return next((size for size in sizes if _wrapped(words, size, area)), 0.0)


def _wrapped(words: Sequence[str], size_pt: float, area: Area) -> list[str] | None:
    """The lines at that size, or None if they are too wide or too many."""
    lines: list[str] = []
    for text in words:
        wrapped = fit.wrap(text, fonts.REGULAR, area.width, size_pt)
        if wrapped is None:
            return None
        lines += wrapped
    tall = len(lines) * size_pt * _LEADING * fonts.MM_PER_PT
    return lines if tall <= area.height else None


def _modules(canvas: Canvas, stock: Stock, dots: Grid, offset_mm: Offset) -> None:
    """Bars of 2, 3 and 4 dots, upright and lying: which of them come out crisp."""
    page = Page(canvas, stock.page_height_mm, dots, offset_mm)
    left, top = _FRAME_MM, _FRAME_MM
    caption_mm = _CAPTION_PT * fonts.MM_PER_PT
    room = stock.label_height_mm - 2 * _FRAME_MM - caption_mm - 0.5
    widest = (2 * _BARS - 1) * MODULES[-1] * dots.mm
    lies_too = room >= 2 * widest + _BETWEEN_MM
    tall = min(_TALLEST_MM, room - (widest + _BETWEEN_MM if lies_too else 0.0))
    for module in MODULES:
        across = (2 * _BARS - 1) * module * dots.mm
        page.text(left, top + caption_mm * 0.8, f"{module} dots", _CAPTION_PT)
        below = dots.up(top + caption_mm + 0.5)
        page.bars(left, below, module, tall, _BARS)
        if lies_too:
            page.bars(left, below + tall + _BETWEEN_MM, module, across, _BARS, lie=True)
        caption = fonts.width_mm(f"{module} dots", fonts.REGULAR, _CAPTION_PT)
        left = dots.up(left + max(across, caption) + _BETWEEN_MM)
    words = (
        f"{stock.name}: bars of whole dots, {dots.mm:.3f} mm each",
        "Bars and gaps should be even. Where the finest run together, set the printer "
        "slower or less dark.",
    )
    right = stock.label_width_mm - _FRAME_MM
    _explain(page, [Area(left, top, right - left, room)], words)
