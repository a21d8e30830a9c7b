"""Arranging an action code: the word to read, the symbols to scan."""

from __future__ import annotations

from dataclasses import replace

from lidclock.errors import LabelError
from lidclock.labels import fit, fonts
from lidclock.labels.content import ActionLabel
from lidclock.labels.figure import Box, Figure, Symbol, Text, clash
from lidclock.labels.fit import Fitted
from lidclock.labels.grid import Grid, grid
from lidclock.labels.layout import Layout
from lidclock.labels.stock import Stock
from lidclock.labels.symbols import bars, matrix

Row = tuple[str, Fitted | None]

_GAP_MM = 0.6


def arrange_action(
    action: ActionLabel, stock: Stock, layout: Layout, dpi: int
) -> Figure:
    """Word and hint at the left, QR at the right, bars along the foot."""
    for text in action.texts():
        fonts.check(text)
    width, height, dots = stock.label_width_mm, stock.label_height_mm, grid(dpi)
    side, foot = layout.margin_side_mm, height - layout.margin_bottom_mm
    square, square_box = matrix(action.uri, dots, layout.qr_module_mm[-1])
    quiet = -square_box.x
    x = dots.down(width - side - (square_box.width - 2 * quiet))
    y = dots.up(max(quiet, layout.margin_top_mm))
    square, square_box = (
        replace(square, x=x, y=y),
        replace(square_box, x=x - quiet, y=y - quiet),
    )
    boxes, texts, symbols = [square_box], list[Text](), [square]
    bottom = foot
    if action.code:
        bar, bar_box = _bars(action.code, layout, dots, foot)
        symbols.append(bar)
        boxes.append(bar_box)
        bottom = bar_box.y - _GAP_MM
    room = (side, layout.margin_top_mm, square_box.x - side, bottom)
    _words(action, layout, room, boxes, texts)
    found = clash(boxes, width, height)
    if found is not None:
        raise LabelError(
            f"action {action.word} does not fit on stock {stock.name}: {found}; "
            "use a shorter code or a larger label"
        )
    return Figure(tuple(boxes), tuple(texts), (), tuple(symbols))


def _bars(code: str, layout: Layout, dots: Grid, foot: float) -> tuple[Symbol, Box]:
    """The bars along the foot, their quiet zone in the margin."""
    bar, box = bars(code, dots, layout.bar_module_mm, layout.bar_height_mm[0])
    lead = -box.x
    x = dots.up(max(layout.margin_side_mm, lead))
    y = dots.down(foot - box.height)
    return replace(bar, x=x, y=y), replace(box, x=x - lead, y=y)


def _words(
    action: ActionLabel,
    layout: Layout,
    room: tuple[float, float, float, float],
    boxes: list[Box],
    texts: list[Text],
) -> None:
    """The word as large as fits, the hint and the code in type below it."""
    left, top, width, bottom = room
    for size in fit.sizes(layout.headline_pt[0], layout.name_pt[1]):
        body = max(layout.body_pt[1], layout.body_pt[0] * size / layout.headline_pt[0])
        rows: list[Row] = [
            ("word", fit.whole(action.word, fonts.BOLD, width, size, most_lines=2)),
        ]
        if action.code:
            code = fit.whole(action.code, fonts.REGULAR, width, body, most_lines=1)
            rows.append(("code", code))
        if action.hint:
            hint = fit.whole(action.hint, fonts.REGULAR, width, body, most_lines=3)
            rows.insert(1, ("hint", hint))
        if all(row for _, row in rows) and _height(rows) <= bottom - top:
            _set(rows, (left, left + width, top), boxes, texts)
            return
    raise LabelError(f"action {action.word} has more text than its label has room")


def _height(rows: list[Row]) -> float:
    return sum(row.height_mm + _GAP_MM for _, row in rows if row) - _GAP_MM


def _set(
    rows: list[Row],
    room: tuple[float, float, float],
    boxes: list[Box],
    texts: list[Text],
) -> None:
    """Set the rows one under the other, in a column from left to right, from a top."""
    left, right, y = room
    for kind, row in rows:
        if row is None:
            continue
        starts = row.starts_mm(left, right)
        boxes.append(Box(kind, min(starts), y, row.width_mm(), row.height_mm))
        baseline = y + row.ascent_mm
        for start, line in zip(starts, row.lines, strict=True):
            texts.append(Text(start, baseline, line, row.face, row.size_pt))
            baseline += row.leading_mm
        y += row.height_mm + _GAP_MM
