"""What a drawn label is made of, in mm from its top-left corner, y downwards."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from lidclock.labels import codes
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

    def at(self, x: float, y: float) -> Box:
        """The same box elsewhere."""
        return Box(self.kind, x, y, self.width, self.height)

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

    def moved(self, x: float, y: float) -> Text:
        """The same text further right and down."""
        at = self.x + x, self.baseline + y
        return Text(*at, self.text, self.face, self.size_pt, self.white)


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
    """A code: rows of modules (1 dark), each of so many printer dots."""

    kind: str
    x: float
    y: float
    module_dots: int
    row_dots: int
    modules: tuple[bytes, ...]

    def at(self, x: float, y: float) -> Symbol:
        """The same symbol elsewhere."""
        dots = self.module_dots, self.row_dots
        return Symbol(self.kind, x, y, *dots, self.modules)

    @property
    def rows(self) -> tuple[tuple[tuple[int, int], ...], ...]:
        """The dark runs of each row as (first module, length)."""
        return tuple(tuple(codes.runs(row)) for row in self.modules)


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
    if not x and not y:
        return figure
    rule = figure.rule
    return replace(
        figure,
        boxes=tuple(one.at(one.x + x, one.y + y) for one in figure.boxes),
        texts=tuple(one.moved(x, y) for one in figure.texts),
        panels=tuple(replace(one, x=one.x + x, y=one.y + y) for one in figure.panels),
        symbols=tuple(one.at(one.x + x, one.y + y) for one in figure.symbols),
        rule=None if rule is None else (rule[0] + x, rule[1] + y, rule[2]),
    )


def clash(boxes: Iterable[Box], width: float, height: float) -> str | None:
    """What lies on what, or outside the label; None if all is well."""
    # The same as `lies_within` and `overlaps`, asked of every pair on every label.
    edges: list[tuple[float, float, float, float, str]] = []
    for box in boxes:
        x, y = box.x, box.y
        right, bottom = x + box.width - _TOUCH_MM, y + box.height - _TOUCH_MM
        if x < -_TOUCH_MM or y < -_TOUCH_MM or right > width or bottom > height:
            return f"{box.kind} leaves the label"
        for left, top, end, foot, kind in edges:
            if x < end and left < right and y < foot and top < bottom:
                return f"{kind} meets {box.kind}"
        edges.append((x, y, right, bottom, box.kind))
    return None
