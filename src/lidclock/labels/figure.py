"""What a drawn label is made of, in mm from its top-left corner, y downwards."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import combinations

from lidclock.labels.ruler import Rule

# Boxes computed by different sums may touch by a rounding error.
_TOUCH_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Box:
    """The room one thing takes, a symbol's quiet zone included."""

    kind: str
    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.x + self.width

    @property
    def bottom(self) -> float:
        return self.y + self.height

    def overlaps(self, other: Box) -> bool:
        """True if the two share more than an edge."""
        return (
            self.x < other.right - _TOUCH_MM
            and other.x < self.right - _TOUCH_MM
            and self.y < other.bottom - _TOUCH_MM
            and other.y < self.bottom - _TOUCH_MM
        )

    def lies_within(self, width: float, height: float) -> bool:
        """True if nothing sticks out of a label of that size."""
        return (
            min(self.x, self.y) >= -_TOUCH_MM
            and self.right <= width + _TOUCH_MM
            and self.bottom <= height + _TOUCH_MM
        )


@dataclass(frozen=True, slots=True)
class Text:
    """One line of type; `white` on a filled panel."""

    x: float
    baseline: float
    text: str
    face: str
    size_pt: float
    white: bool = False


@dataclass(frozen=True, slots=True)
class Panel:
    """The block behind the word before the date: filled, or an outline."""

    x: float
    y: float
    width: float
    height: float
    filled: bool


@dataclass(frozen=True, slots=True)
class Symbol:
    """A code: dark runs (first module, length) of each row, in whole printer dots."""

    kind: str
    x: float
    y: float
    module_dots: int
    row_dots: int
    rows: tuple[tuple[tuple[int, int], ...], ...]


@dataclass(frozen=True, slots=True)
class Figure:
    """A label ready to be drawn; `shortened` names what was printed only in part."""

    boxes: tuple[Box, ...]
    texts: tuple[Text, ...]
    panels: tuple[Panel, ...]
    symbols: tuple[Symbol, ...]
    rule: tuple[float, float, Rule] | None = None
    shortened: tuple[str, ...] = ()


def moved(figure: Figure, x: float, y: float) -> Figure:
    """The figure moved right and down, as a whole."""
    rule = figure.rule
    return replace(
        figure,
        boxes=tuple(replace(one, x=one.x + x, y=one.y + y) for one in figure.boxes),
        texts=tuple(
            replace(one, x=one.x + x, baseline=one.baseline + y) for one in figure.texts
        ),
        panels=tuple(replace(one, x=one.x + x, y=one.y + y) for one in figure.panels),
        symbols=tuple(replace(one, x=one.x + x, y=one.y + y) for one in figure.symbols),
        rule=None if rule is None else (rule[0] + x, rule[1] + y, rule[2]),
    )


def clash(boxes: Iterable[Box], width: float, height: float) -> str | None:
    """What lies on what, or outside the label; None if all is well."""
    listed = tuple(boxes)
    for box in listed:
        if not box.lies_within(width, height):
            return f"{box.kind} leaves the label"
    for one, other in combinations(listed, 2):
        if one.overlaps(other):
            return f"{one.kind} meets {other.kind}"
    return None
