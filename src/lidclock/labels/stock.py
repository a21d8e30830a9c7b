"""Label stock: the nine numbers of a sheet or roll, and where its cells lie."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Protocol

from lidclock.errors import LabelError, UnknownStockError
from lidclock.labels import data
from lidclock.labels.grid import LEAST_DPI, MOST_DPI

# Sizes in data files are rounded to the hundredth of a millimetre.
_SLACK_MM = 0.02
_MAX_CELLS = 1000
_LARGEST_MM = 2000.0
# Where one layout gives way to the next; `layout_for` tells how.
_ROUND_MM, _BARS_MM, _LINES_MM = 55.0, 48.0, 24.0
_WIDE_MM, _TALL_MM = 70.0, 50.0
_LOW_LARGE_MM, _LOW_MM, _SIDE_MM = 85.0, 30.0, 66.0
UNREACHED_MM = 4.0
_LENGTHS = (
    *("page_width_mm", "page_height_mm", "label_width_mm", "label_height_mm"),
    *("left_mm", "top_mm", "pitch_x_mm", "pitch_y_mm"),
)


class Margins(Protocol):
    """A layout, as far as the free edge of a sheet goes."""

    @property
    def margin_side_mm(self) -> float: ...

    @property
    def margin_top_mm(self) -> float: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """A sheet or roll of labels. Cells are numbered from 1, row by row."""

    name: str
    title: str
    kind: str
    layout: str
    dpi: int
    page_width_mm: float
    page_height_mm: float
    across: int
    down: int
    label_width_mm: float
    label_height_mm: float
    left_mm: float
    top_mm: float
    pitch_x_mm: float
    pitch_y_mm: float
    shape: str = "rectangle"

    def __post_init__(self) -> None:
        for fault in self._faults():
            raise LabelError(f"stock {self.name}: {fault}")

    def _faults(self) -> list[str]:
        """What is wrong with the numbers, the plainest first."""
        if self.shape not in {"rectangle", "round"}:
            return [f'shape must be "rectangle" or "round", not {self.shape!r}']
        if self.shape == "round" and self.label_width_mm != self.label_height_mm:
            return ["a round label is as high as it is wide"]
        if self.kind not in {"sheet", "roll"}:
            return [f'kind must be "sheet" or "roll", not {self.kind!r}']
        if self.across < 1 or self.down < 1 or self.across * self.down > _MAX_CELLS:
            return [
                f"{self.across} x {self.down} labels make no sheet; it holds 1 to "
                f"{_MAX_CELLS}"
            ]
        return self._length_faults() or self._clashes()

    def _length_faults(self) -> list[str]:
        """Lengths that no sheet has, and dots that no printer has."""
        lengths = [getattr(self, key) for key in _LENGTHS]
        if not all(math.isfinite(one) and one <= _LARGEST_MM for one in lengths):
            return [f"every length must be a number up to {_LARGEST_MM:g} mm"]
        if min(self.label_width_mm, self.label_height_mm) <= 0:
            return ["label width and height must be above zero"]
        if not LEAST_DPI <= self.dpi <= MOST_DPI:
            return [f"{self.dpi} dpi is outside {LEAST_DPI} to {MOST_DPI}"]
        if min(self.left_mm, self.top_mm) < 0:
            return ["the first label starts outside the page"]
        return []

    def _clashes(self) -> list[str]:
        """Labels that lie on each other or beyond the page."""
        return [
            *_axis_faults(
                "columns",
                (self.across, self.left_mm, self.label_width_mm, self.pitch_x_mm),
                self.page_width_mm,
            ),
            *_axis_faults(
                "rows",
                (self.down, self.top_mm, self.label_height_mm, self.pitch_y_mm),
                self.page_height_mm,
            ),
        ]

    def inset_mm(self, layout: Margins) -> tuple[float, float]:
        """What to keep free at the sides, and at top and bottom, beyond the margins.

        A round label holds a rectangle of four fifths by three fifths of its width. A
        desktop printer does not reach the outer 4 mm of a sheet (common practice).
        """
        if self.shape == "round":
            return 0.1 * self.label_width_mm, 0.2 * self.label_height_mm
        if self.kind == "roll" or self.across * self.down == 1:
            return 0.0, 0.0
        right = self.left_mm + (self.across - 1) * self.pitch_x_mm + self.label_width_mm
        foot = self.top_mm + (self.down - 1) * self.pitch_y_mm + self.label_height_mm
        sides = min(self.left_mm, self.page_width_mm - right) + layout.margin_side_mm
        ends = min(self.top_mm, self.page_height_mm - foot)
        return (
            max(0.0, UNREACHED_MM - sides),
            max(0.0, UNREACHED_MM - ends - layout.margin_top_mm),
        )

    def cells(self, start: int = 1) -> tuple[tuple[float, float], ...]:
        """Top-left corners in mm from the page's top-left, from cell `start` on."""
        count = self.across * self.down
        if not 1 <= start <= count:
            cells = f"cells 1 to {count}" if count > 1 else "one cell to a page"
            raise LabelError(
                f"stock {self.name} has {cells}; there is no cell {start} to begin with"
            )
        return tuple(
            (
                self.left_mm + (n % self.across) * self.pitch_x_mm,
                self.top_mm + (n // self.across) * self.pitch_y_mm,
            )
            for n in range(start - 1, count)
        )


def _axis_faults(
    what: str, grid: tuple[int, float, float, float], page_mm: float
) -> list[str]:
    """Overlap and overrun along one axis of the grid (count, first, size, pitch)."""
    count, first, size, pitch = grid
    if count > 1 and pitch < size - _SLACK_MM:
        return [f"{what} overlap: {size} mm labels every {pitch} mm"]
    end = first + (count - 1) * pitch + size
    if end > page_mm + _SLACK_MM:
        return [f"{what} end at {end:.2f} mm on a page of {page_mm} mm"]
    return []


def layout_for(width_mm: float, height_mm: float, shape: str = "rectangle") -> str:
    """The layout that suits a label of that size; the shipped stock keeps to it.

    Bars of seven symbols with their quiet zones take 33 mm at 2 dots of a 203 dpi head,
    and the code in type stands beside them: below 48 mm there is no room for both.
    """
    if shape == "round":
        return "across" if width_mm >= _ROUND_MM else "small"
    if width_mm < _BARS_MM or height_mm < _LINES_MM:
        return "small"
    if width_mm >= _WIDE_MM and height_mm >= _TALL_MM:
        return "across-large"
    if width_mm >= _LOW_LARGE_MM and height_mm >= _LOW_MM:
        return "side-large"
    return "side" if width_mm >= _SIDE_MM and height_mm < _LOW_MM else "across"


def list_stock() -> tuple[str, ...]:
    """The names of all stock there is data for."""
    return data.names("stock")


def single(stock: Stock) -> Stock:
    """A page of one label: to look at it alone, as large as it is."""
    return replace(
        stock,
        kind="roll",
        page_width_mm=stock.label_width_mm,
        page_height_mm=stock.label_height_mm,
        across=1,
        down=1,
        left_mm=0.0,
        top_mm=0.0,
    )


def load_stock(name: str) -> Stock:
    """The stock of that name, from its data file, checked."""
    if not data.has("stock", name):
        known = ", ".join(list_stock())
        raise UnknownStockError(f"no label stock {name!r}; there is {known}")
    table = data.read("stock", name)
    where = f"stock {name}"
    return Stock(
        name=name,
        title=data.text(table, "title", where),
        shape=data.text({"shape": "rectangle", **table}, "shape", where),
        kind=data.text(table, "kind", where),
        layout=data.text(table, "layout", where),
        dpi=data.whole(table, "dpi", where),
        across=data.whole(table, "across", where),
        down=data.whole(table, "down", where),
        **{key: data.number(table, key, where) for key in _LENGTHS},
    )
