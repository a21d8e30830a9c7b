"""Where the code in type goes: as large as its room allows, on one line or on two."""

from __future__ import annotations

from dataclasses import dataclass

from lidclock.labels import fit
from lidclock.labels.figure import Box, Text
from lidclock.labels.headline import Code
from lidclock.labels.layout import Pair


@dataclass(frozen=True, slots=True)
class CodeRoom:
    """Where a code in type goes: flush with `right`, between `top` and `foot`.

    `stacked` in two lines from the top down, else on one line on the foot, or on two
    where one is too wide even at the smallest size.
    """

    right: float
    width: float
    top: float
    foot: float
    sizes_pt: Pair
    stacked: bool

    def put(self, code: str, texts: list[Text], boxes: list[Box]) -> bool:
        """Set the code, such as "4F7 K2M0", as large as it fits; False if it cannot."""
        whole, halves = self._lines(code), tuple(code.split())
        return any(
            self._put(lines, texts, boxes) for lines in dict.fromkeys((whole, halves))
        )

    def _put(self, lines: tuple[str, ...], texts: list[Text], boxes: list[Box]) -> bool:
        at_one_pt = Code(lines, 1.0)
        wide, tall = at_one_pt.width_mm(), at_one_pt.height_mm
        largest = min(self.width / wide, (self.foot - self.top) / tall)
        for size in fit.sizes(*self.sizes_pt):
            if size <= largest:
                top = self.top if self.stacked else self.foot - tall * size
                Code(lines, size).put(texts, boxes, self.right, top)
                return True
        return False

    @property
    def is_too_low(self) -> bool:
        """True if no code at all has room."""
        least = Code(self._lines("0 0"), self.sizes_pt[1])
        return self.top + least.height_mm > self.foot

    def _lines(self, code: str) -> tuple[str, ...]:
        return tuple(code.split()) if self.stacked else (code,)
