"""Batch sheets: one page to weigh, tick and fill by; words in, PDF bytes out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidclock.errors import LabelError
from lidclock.labels import fit, fonts
from lidclock.labels.figure import Figure, Panel, Text
from lidclock.labels.sheet_part import (
    HAIR,
    MARGIN,
    Part,
    draw_pages,
    moved_panel,
    paper_size,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

_LINE = 0.35
_TITLE_PT, _LEAST_TITLE_PT = 26.0, 16.0
_FACTS_PT, _SMALL_PT, _HEAD_PT = 13.0, 11.0, 10.0
# Rows as tall as a hand likes them, and the least that a pen can write in.
_TALL_ROW, _LOW_ROW, _PT_PER_ROW_MM = 11.5, 6.4, 1.75
_MOST_ROW_PT, _LEAST_NAME_PT = 15.0, 8.0
_BOX_SHARE, _MOST_BOX = 0.56, 5.5
_CELLS_ACROSS, _MOST_CELLS, _CELL = 4, 24, 9.5
# Columns from the left, in mm: tick, name (what is left), percent, mass, weighed, lot.
_TICK, _PERCENT, _MASS, _WEIGHED, _LOT = 9.0, 20.0, 34.0, 26.0, 26.0
_GAP = 2.0
_BLANK_MM = 10.0


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One input: its name, its share in percent, and what to weigh."""

    name: str
    percent: str
    mass: str


@dataclass(frozen=True, slots=True)
class BatchSheet:
    """What a batch sheet says, every number already in words.

    `containers` are the masses to fill, one each; more than the page has room for are
    left to `divide`, the line that sums them up. `notes` are pairs of a bold head and
    a text; the first one, on allergens, is set large and bold.
    """

    title: str
    facts: tuple[str, ...]
    rows: tuple[SheetRow, ...]
    total: SheetRow
    divide: str
    containers: tuple[str, ...]
    notes: tuple[tuple[str, str], ...]
    foot: str


def draw_batch_sheet(sheet: BatchSheet, paper: str = "a4") -> bytes:
    """One page as PDF, black on white; the same sheet always gives the same bytes.

    LabelError where it does not fit on one page, or holds a character that no font has.
    """
    width, height = paper_size(paper)
    figure = arranged(sheet, width, height)
    return draw_pages([figure], f"Batch sheet: {sheet.title}", paper)


def arranged(sheet: BatchSheet, width: float, height: float) -> Figure:
    """The sheet as texts and lines on a page of that size in mm."""
    top = Part(width - 2 * MARGIN)
    _head(top, sheet)
    # First small type for the notes, then no boxes for containers; rows that nobody
    # can write in are worse than either.
    for size_pt, has_cells in ((_SMALL_PT, True), (_HEAD_PT, True), (_HEAD_PT, False)):
        bottom = Part(width - 2 * MARGIN)
        _divide(bottom, sheet, has_cells=has_cells)
        _notes(bottom, sheet, size_pt)
        room = height - 2 * MARGIN - top.y - bottom.y
        row = min(_TALL_ROW, room / (len(sheet.rows) + 2))
        if row >= _LOW_ROW:
            break
    else:
        fitting = max(0, int(room / _LOW_ROW) - 2)
        raise LabelError(
            f"{len(sheet.rows)} inputs do not fit on one page, {fitting} would; make "
            "part of it a recipe of its own, or shorten the note"
        )
    middle = Part(width - 2 * MARGIN)
    _table(middle, sheet, row)
    texts: list[Text] = []
    panels: list[Panel] = []
    y = MARGIN
    for part in (top, middle, bottom):
        texts += [one.moved(MARGIN, y) for one in part.texts]
        panels += [moved_panel(one, MARGIN, y) for one in part.panels]
        y += part.y
    return Figure((), tuple(texts), tuple(panels), ())


def _head(part: Part, sheet: BatchSheet) -> None:
    size = next(
        (
            size
            for size in fit.sizes(_TITLE_PT, _LEAST_TITLE_PT)
            if fonts.width_mm(sheet.title, fonts.BOLD, size) <= part.width
        ),
        _LEAST_TITLE_PT,
    )
    part.lines(sheet.title, size, bold=True)
    for line in sheet.facts:
        part.lines(line, _FACTS_PT, bold=False)
    part.y += _BLANK_MM
    _blanks(part, ("Made on", "at", "by", "place"))
    part.y += 4.0


def _blanks(part: Part, heads: Sequence[str]) -> None:
    """Heads with a line to write on behind each, evenly across the page."""
    each = part.width / len(heads)
    for index, head in enumerate(heads):
        x = index * each
        part.text(x, part.y, head, _SMALL_PT, bold=False)
        after = fonts.width_mm(head, fonts.REGULAR, _SMALL_PT) + 1.5
        part.blank(x + after, part.y, each - after - 3)


def _table(part: Part, sheet: BatchSheet, row: float) -> None:
    lot = part.width - _LOT
    weighed = lot - _WEIGHED
    mass = weighed - _GAP
    percent = mass - _MASS
    size = min(_MOST_ROW_PT, row * _PT_PER_ROW_MM)
    baseline = row * 0.5 + size * fonts.MM_PER_PT * fonts.CAP_HEIGHT / 2
    head = row * 0.75
    part.text(_TICK, head, "Input", _HEAD_PT, bold=False)
    part.right(percent, head, "%", _HEAD_PT, bold=False)
    part.right(mass, head, "Weigh", _HEAD_PT, bold=False)
    part.text(weighed + _GAP, head, "Weighed", _HEAD_PT, bold=False)
    part.text(lot + _GAP, head, "Lot", _HEAD_PT, bold=False)
    part.y += row
    part.rule(part.y, thick=_LINE)
    box = min(_MOST_BOX, row * _BOX_SHARE)
    for one in (*sheet.rows, sheet.total):
        is_total = one is sheet.total
        if is_total:
            part.rule(part.y, thick=_LINE)
        else:
            part.box(0, part.y + (row - box) / 2, box)
        room = percent - _PERCENT - _TICK
        _name(part, one.name, (_TICK, part.y, room, row), size, bold=is_total)
        at = part.y + baseline
        part.right(percent, at, one.percent, size, bold=False)
        part.right(mass, at, one.mass, size, bold=True)
        part.y += row
        part.rule(part.y)
    for x in (weighed, lot):
        part.panels.append(Panel(x, row, HAIR, part.y - row, True))


def _name(
    part: Part,
    name: str,
    room: tuple[float, float, float, float],
    size: float,
    *,
    bold: bool,
) -> None:
    """A name in its cell (x, y, width, height): shrunk, then on two lines."""
    x, y, width, height = room
    face = fonts.BOLD if bold else fonts.REGULAR
    least = min(size, _LEAST_NAME_PT)
    fitted = fit.shrink(name, face, width, size, max(least, size * 0.8))
    if fitted is None:
        for smaller in fit.sizes(size * 0.8, least):
            lines = fit.balanced(name, face, width, smaller)
            if lines and len(lines) * smaller * 1.15 * fonts.MM_PER_PT <= height:
                fitted = fit.Fitted(tuple(lines), face, smaller)
                break
    if fitted is None:
        raise LabelError(f"{name!r} does not fit beside its mass: shorten it")
    count, size = len(fitted.lines), fitted.size_pt
    leading = size * 1.1 * fonts.MM_PER_PT
    cap = size * fonts.MM_PER_PT * fonts.CAP_HEIGHT
    first = y + height / 2 + cap / 2 - (count - 1) * leading / 2
    starts = fitted.starts_mm(x, x + width)
    for index, (start, line) in enumerate(zip(starts, fitted.lines, strict=True)):
        part.text(start, first + index * leading, line, size, bold=bold)


def _divide(part: Part, sheet: BatchSheet, *, has_cells: bool) -> None:
    part.y += 4.0
    if sheet.divide:
        part.lines(sheet.divide, _FACTS_PT, bold=True)
    if not has_cells or not 0 < len(sheet.containers) <= _MOST_CELLS:
        return
    part.y += 1.5
    each = part.width / _CELLS_ACROSS
    start, box = part.y, _MOST_BOX
    for index, mass in enumerate(sheet.containers):
        down, across = divmod(index, _CELLS_ACROSS)
        x, y = across * each, start + down * _CELL
        part.box(x, y + (_CELL - box) / 2, box)
        said = f"{index + 1}: {mass}"
        at = y + _CELL / 2 + _SMALL_PT * fonts.MM_PER_PT * fonts.CAP_HEIGHT / 2
        part.text(x + box + 1.5, at, said, _SMALL_PT, bold=True)
        after = box + 3.0 + fonts.width_mm(said, fonts.BOLD, _SMALL_PT)
        part.blank(x + after, at, max(0.0, each - after - 3))
    part.y = start + -(-len(sheet.containers) // _CELLS_ACROSS) * _CELL


def _notes(part: Part, sheet: BatchSheet, size_pt: float) -> None:
    part.y += 2.5
    for index, (head, text) in enumerate(sheet.notes):
        if index == 0:
            part.lines(f"{head}: {text}", _FACTS_PT, bold=True)
        else:
            part.lines(head, size_pt, bold=True)
            part.lines(text, size_pt, bold=False)
        part.y += 2.5
    part.lines(sheet.foot, _HEAD_PT, bold=False)
