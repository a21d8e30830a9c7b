"""A page of stock in characters, for a terminal: labels as boxes, to scale."""

from __future__ import annotations

import math
from collections.abc import Iterator

from lidclock.labels.stock import Stock

# A character is taken to be so many times as high as it is wide.
_TALL = 2.1
_COLUMNS_PER_MM = 1.0
_ROUNDING = 1e-6
_MOST_ROWS, _LEAST_ROWS, _LEAST_COLUMNS = 40, 2, 4

_CORNERS = {
    frozenset("rd"): "┌", frozenset("ld"): "┐", frozenset("ru"): "└",
    frozenset("lu"): "┘", frozenset("lr"): "─", frozenset("ud"): "│",
    frozenset("lrd"): "┬", frozenset("lru"): "┴", frozenset("rud"): "├",
    frozenset("lud"): "┤", frozenset("lrud"): "┼",
}  # fmt: skip
_SIDES = {sign: sides for sides, sign in _CORNERS.items()}
_ARCS = dict(zip("┌┐└┘", "╭╮╰╯", strict=True))
_PAGE = dict(zip("┌┐└┘─│", "╔╗╚╝═║", strict=True))

Field = list[list[str]]
Box = tuple[int, int, int, int]


def in_characters(stock: Stock, columns: int = 60) -> Iterator[str]:
    """The page line by line, with a double frame; the first and last label numbered.

    Labels are as many whole characters apart as come nearest to the scale, so that all
    look alike; where rows would fall onto each other, the page is drawn larger.
    """
    across, down = _scales(stock, columns)
    cells = stock.cells()
    page = (
        0,
        0,
        _near(stock.page_width_mm * across),
        _near(stock.page_height_mm * down),
    )
    boxes = [
        (
            *(_near(x * across), _near(y * down)),
            _near((x + stock.label_width_mm) * across),
            _near((y + stock.label_height_mm) * down),
        )
        for x, y in cells
    ]
    field = [[" "] * (page[2] + 1) for _ in range(page[3] + 1)]
    _draw(field, page, _PAGE)
    for box in boxes:
        _draw(field, box, _ARCS if stock.shape == "round" else {})
    for number in {1, len(cells)}:
        _write(field, boxes[number - 1], str(number))
    for row in field:
        yield "".join(row).rstrip()


def _scales(stock: Stock, columns: int) -> tuple[float, float]:
    """Columns and rows to the millimetre."""
    across = min(
        columns / stock.page_width_mm,
        _MOST_ROWS * _TALL / stock.page_height_mm,
        _COLUMNS_PER_MM,
    )
    down = across / _TALL
    if stock.down > 1:
        rows = max(_LEAST_ROWS, round(stock.pitch_y_mm * down))
        down = rows / stock.pitch_y_mm
        across = max(across, down * _TALL)
    if stock.across > 1:
        wide = max(_LEAST_COLUMNS, round(stock.pitch_x_mm * across))
        across = wide / stock.pitch_x_mm
    return across, down


def _near(length: float) -> int:
    """The nearest whole number; halves go up, so that equal steps stay equal."""
    return math.floor(length + 0.5 + _ROUNDING)


def _draw(field: Field, box: Box, signs: dict[str, str]) -> None:
    """A frame; where it meets another one the lines are joined.

    `signs` are other signs for its lines and corners, where they meet nothing.
    """
    left, top, right, foot = box
    for x in range(left, right + 1):
        for y in range(top, foot + 1):
            level, upright = y in (top, foot), x in (left, right)
            runs = {"l": level and x > left, "r": level and x < right}
            runs |= {"u": upright and y > top, "d": upright and y < foot}
            sides = frozenset(side for side, runs_there in runs.items() if runs_there)
            if sides:
                field[y][x] = _joined(field[y][x], sides, signs)


def _joined(there: str, sides: frozenset[str], signs: dict[str, str]) -> str:
    known = _SIDES.get(there)
    if known is None:
        sign = _CORNERS.get(sides, "·")
        return signs.get(sign, sign)
    return _CORNERS[sides | known]


def _write(field: Field, box: Box, word: str) -> None:
    """A number in the middle of a box; on its upper line if there is no room in it."""
    left, top, right, foot = box
    start = (left + right + 1 - len(word)) // 2
    for n, letter in enumerate(word):
        field[(top + foot) // 2][start + n] = letter
