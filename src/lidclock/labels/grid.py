"""The printer's dot grid: whole-dot module widths and origins."""

from __future__ import annotations

import math
from dataclasses import dataclass

from lidclock.errors import LabelError

# Heads sold as 203 dpi have 8 dots to the millimetre, 203.2 to the inch.
_NOMINAL = {203: 203.2}
LEAST_DPI, MOST_DPI = 150, 2400
_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class Grid:
    """A printer's dots, `mm` apart."""

    mm: float

    def module_dots(self, width_mm: float) -> int:
        """The whole number of dots nearest to a module width, at least two."""
        return max(2, round(width_mm / self.mm))

    def nearest(self, length_mm: float) -> float:
        """The grid line nearest to a length."""
        return round(length_mm / self.mm) * self.mm

    def up(self, length_mm: float) -> float:
        """The first grid line at or after a length."""
        return math.ceil(length_mm / self.mm - _ROUNDING) * self.mm

    def down(self, length_mm: float) -> float:
        """The last grid line at or before a length."""
        return math.floor(length_mm / self.mm + _ROUNDING) * self.mm


def grid(dpi: int) -> Grid:
    """The dot grid of a printer sold under that resolution."""
    if not LEAST_DPI <= dpi <= MOST_DPI:
        raise LabelError(
            f"{dpi} dpi is outside {LEAST_DPI} to {MOST_DPI}; "
            "give the printer's own resolution, such as 203, 300 or 600"
        )
    return Grid(25.4 / _NOMINAL.get(dpi, dpi))
