"""Arranging one label: every text, symbol and box in its place, or a refusal."""

from __future__ import annotations

from functools import lru_cache

from lidclock.errors import LabelError
from lidclock.labels import fit, fonts, headline
from lidclock.labels.attempts import Attempts, Room, every
from lidclock.labels.content import Label
from lidclock.labels.draft import Cell, Draft, NoRoomError
from lidclock.labels.figure import Box, Figure, Symbol, moved
from lidclock.labels.fit import Fitted
from lidclock.labels.grid import Grid, grid
from lidclock.labels.layout import Layout
from lidclock.labels.ruler import Rule, rule
from lidclock.labels.small import arrange_small
from lidclock.labels.stock import Stock
from lidclock.labels.symbols import bars, matrix
from lidclock.labels.typed import CodeRoom

Row = tuple[str, Fitted | headline.Headline]

_GAP_MM = 0.3
# Even at the smallest type the last line keeps clear of the bars.
_FOOT_GAP_MM, _TIGHT_FOOT_GAP_MM = 0.75, 0.5
_LEAST_GAP_MM = 0.2
_MOST_LINES = 4
_MOST_GAP_MM = 0.9
_ROUNDING_MM = 1e-9
# The code in type begins where the column ends: what is flush right keeps off it.
_BESIDE_CODE_MM = 0.8
# The date gives up less of its size than the rest, until nothing else helps.
_HEADLINE_WORTH = 0.93
# Where the code in type is put does not depend on anything else, nor else on it.
_CODE_APART = frozenset({"side", "across"})


def arrange(label: Label, stock: Stock, layout: Layout, dpi: int) -> Figure:
    """Place everything a label says on one cell of the stock.

    Type shrinks, then wraps, then gives way in the order of `PLANS`; a date, an
    allergen or a code is printed whole or the label is refused.
    """
    seen = room(stock, layout, dpi)
    figure = None
    if layout.arrangement in _CODE_APART:
        figure = seen.attempts.figure(label)
    if figure is None:
        figure = alone(label, seen.cell, stock.name)
    return moved(figure, *seen.inset)


def _check(label: Label) -> None:
    """Refuse letters that no font shows."""
    for text in label.texts():
        fonts.check(text)


@lru_cache(maxsize=64)
def room(stock: Stock, layout: Layout, dpi: int) -> Room:
    """The room on one label of the stock."""
    dots = grid(dpi)
    x, y = (dots.up(one) for one in stock.inset_mm(layout))
    width, height = stock.label_width_mm - 2 * x, stock.label_height_mm - 2 * y
    cell = Cell(width, height, layout, dots)
    return Room(cell, (x, y), Attempts(cell, every(layout), _attempt, _check))


def alone(label: Label, cell: Cell, stock_name: str) -> Figure:
    """The label arranged without a look at any other, or why it cannot be."""
    _check(label)
    reason = "the label"
    for attempt in every(cell.layout):
        try:
            return _attempt(Draft(label, cell, *attempt))
        except NoRoomError as error:
            reason = str(error)
    raise LabelError(
        f"label {label.code} ({label.name}) does not fit on stock {stock_name}: "
        f"{reason}; use fewer words or a larger label"
    )


def _attempt(draft: Draft) -> Figure:
    if draft.cell.layout.arrangement == "side":
        return _side(draft)
    if draft.cell.layout.arrangement == "small":
        return arrange_small(draft)
    return _across(draft)


def _side(draft: Draft) -> Figure:
    """Text on the left, QR and code at the right, bars and day rule along the foot."""
    start = draft.cell.layout.margin_top_mm
    square, box = _square(draft, start)
    bar, bar_box = _bars(draft)
    ruler = _ruler(draft, draft.cell.right - bar_box.right)
    top = draft.cell.foot - max(bar_box.height, ruler.height if ruler else 0.0)
    column = box.x - draft.cell.left
    rows = [_name_row(draft, column), _headline_row(draft, column)]
    rows += _body_rows(draft, column)
    gap = _spread(draft, rows, start, top - _foot_gap(draft))
    draft.put_symbol(square, box)
    draft.put_symbol(bar, bar_box)
    if ruler is not None:
        _put_rule(draft, ruler, bar_box.right, draft.cell.foot - ruler.height)
    _stacked_code(draft, box, draft.cell.foot if ruler is None else top)
    _place_rows(draft, rows, start, gap, box.x - _BESIDE_CODE_MM)
    return draft.figure()


def _across(draft: Draft) -> Figure:
    """Name and date over the whole width; text and QR below; bars and code last."""
    across, top = draft.cell.right - draft.cell.left, draft.cell.layout.margin_top_mm
    head = [_name_row(draft, across), _headline_row(draft, across)]
    start = top + sum(row.height_mm for _, row in head) + _GAP_MM
    square, box = _square(draft, start)
    bar, bar_box = _bars(draft)
    column = box.x - draft.cell.left
    ruler = _ruler(draft, column)
    limit = bar_box.y - _foot_gap(draft)
    if ruler is not None:
        limit -= ruler.height + _GAP_MM
    rows = _body_rows(draft, column)
    gap = _spread(draft, rows, start + _GAP_MM, limit)
    _place_rows(draft, head, top, _GAP_MM, draft.cell.right)
    draft.put_symbol(square, box)
    draft.put_symbol(bar, bar_box)
    if ruler is not None:
        _put_rule(draft, ruler, draft.cell.left, limit + _GAP_MM)
    _place_rows(draft, rows, start + _GAP_MM, gap, box.x)
    _line_code(draft, bar_box.right, box.bottom)
    return draft.figure()


def symbol_width(symbol: Symbol, dots: Grid) -> float:
    """How wide the symbol's modules are, without its quiet zone."""
    return len(symbol.modules) * symbol.module_dots * dots.mm


def _quiet(box: Box) -> float:
    return -box.x


def _square(draft: Draft, top: float) -> tuple[Symbol, Box]:
    """The QR symbol at the right margin; its quiet zone may lie in the margins."""
    cell = draft.cell
    symbol, box = matrix(draft.label.uri, cell.dots, draft.qr_module_mm)
    quiet, wide = _quiet(box), symbol_width(symbol, cell.dots)
    x = cell.dots.down(min(cell.right, cell.width - quiet) - wide)
    least = quiet if cell.layout.arrangement == "side" else top + quiet
    y = cell.dots.up(max(least, top))
    return symbol.at(x, y), box.at(x - quiet, y - quiet)


def _bars(draft: Draft) -> tuple[Symbol, Box]:
    """The Code 128 symbol at the left of the foot."""
    height = draft.size(draft.cell.layout.bar_height_mm)
    symbol, box = bars(
        draft.label.code, draft.cell.dots, draft.cell.layout.bar_module_mm, height
    )
    quiet = _quiet(box)
    x = draft.cell.dots.up(max(draft.cell.left, quiet))
    y = draft.cell.dots.down(draft.cell.foot - box.height)
    return symbol.at(x, y), box.at(x - quiet, y)


def _ruler(draft: Draft, width: float) -> Rule | None:
    if draft.label.ruler is None or not draft.plan.ruler:
        return None
    return rule(draft.label.ruler, width, with_months=draft.plan.months)


def _put_rule(draft: Draft, ruler: Rule, x: float, y: float) -> None:
    draft.rule = (x, y, ruler)
    draft.boxes.append(Box("ruler", x, y, ruler.width, ruler.height))


def _name_row(draft: Draft, width: float) -> Row:
    fitted = fit.name(
        *(draft.label.name, fonts.BOLD, width),
        *(draft.size(draft.cell.layout.name_pt), draft.cell.layout.name_pt[1]),
        may_cut=not draft.plan.whole_name,
    )
    if fitted is None:
        raise NoRoomError("its name is too long")
    return "name", fitted


def _headline_row(draft: Draft, width: float) -> Row:
    label = draft.label
    largest, smallest = draft.cell.layout.headline_pt
    if draft.plan.whole_name:
        largest = max(smallest, largest * max(draft.scale, _HEADLINE_WORTH))
    else:
        largest = smallest
    set_up = headline.compose(
        label.headline_word, label.headline, width, (largest, smallest)
    )
    if set_up is None:
        raise NoRoomError("its date does not fit on one line")
    return "headline", set_up


def _body_rows(draft: Draft, width: float) -> list[Row]:
    """Note, made lines, handling, allergens: all whole, save what the plan gives up."""
    label, room = draft.label, (width, draft.size(draft.cell.layout.body_pt))
    rows: list[Row] = []
    if label.headline_note:
        rows.append(_whole("note", label.headline_note, fonts.BOLD, room))
    if draft.plan.flowing:
        rows += _flowing_row(draft, room)
    else:
        rows += [_whole("line", line, fonts.REGULAR, room) for line in label.lines]
        if label.handling:
            rows.append(_whole("handling", label.handling, fonts.REGULAR, room))
    face = fonts.BOLD if label.allergens else fonts.REGULAR
    rows.append(_whole("allergens", label.allergen_line(), face, room, _MOST_LINES))
    return rows


def _whole(
    kind: str, text: str, face: str, room: tuple[float, float], most: int = 2
) -> Row:
    width, size = room
    fitted = fit.whole(text, face, width, size, most_lines=most)
    if fitted is None:
        raise NoRoomError(f'"{text}" is too long')
    return kind, fitted


def _flowing_row(draft: Draft, room: tuple[float, float]) -> list[Row]:
    """Lines and handling run together; later sentences may go, then later lines."""
    sentences = fit.sentences(draft.label.handling)
    kept = len(sentences) if draft.plan.whole_handling else 1
    lines = draft.label.lines if draft.plan.all_lines else draft.label.lines[:1]
    parts = [*lines, " ".join(sentences[:kept])]
    text = " · ".join(part for part in parts if part)
    if not text:
        return []
    kind, fitted = _whole("line", text, fonts.REGULAR, room, _MOST_LINES)
    if kept < len(sentences):
        draft.loses_handling = True
    draft.loses_lines = len(lines) < len(draft.label.lines)
    return [(kind, fitted)]


def _foot_gap(draft: Draft) -> float:
    return _TIGHT_FOOT_GAP_MM if draft.tight else _FOOT_GAP_MM


def _spread(draft: Draft, rows: list[Row], top: float, bottom: float) -> float:
    """How far apart the rows may stand: spread a little, where there is room."""
    free = bottom - top - sum(row.height_mm for _, row in rows)
    gap = min(free / max(len(rows) - 1, 1), _MOST_GAP_MM)
    if gap < (0.0 if draft.tight else _LEAST_GAP_MM) - _ROUNDING_MM:
        raise NoRoomError("there is more text than room")
    return gap


def _place_rows(
    draft: Draft, rows: list[Row], top: float, gap: float, right: float
) -> None:
    """Set the rows one under the other, in a column up to `right`."""
    y = top
    for kind, row in rows:
        if isinstance(row, headline.Headline):
            y = row.put(draft.texts, draft.panels, draft.boxes, draft.cell.left, y)
        else:
            y = draft.put(kind, row, draft.cell.left, y, right)
        y += gap


def _stacked_code(draft: Draft, qr_box: Box, bottom: float) -> None:
    """The code in two lines below the QR symbol, flush with its right edge."""
    quiet = draft.symbols[0].y - qr_box.y
    width = qr_box.width - quiet
    right, sizes = qr_box.x + width, draft.cell.layout.code_pt
    draft.put_code(CodeRoom(right, width, qr_box.bottom, bottom, sizes, stacked=True))


def _line_code(draft: Draft, left: float, top: float) -> None:
    """The code on one line at the right of the foot."""
    right, foot = draft.cell.right, draft.cell.foot
    sizes = draft.cell.layout.code_pt
    draft.put_code(CodeRoom(right, right - left, top, foot, sizes, stacked=False))
