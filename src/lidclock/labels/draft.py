"""A label being put together: what is placed so far, and what may be given up."""

from __future__ import annotations

from dataclasses import dataclass, field

from lidclock.labels.content import Label
from lidclock.labels.figure import Box, Figure, Panel, Symbol, Text, clash
from lidclock.labels.fit import Fitted
from lidclock.labels.grid import Grid
from lidclock.labels.layout import Layout
from lidclock.labels.ruler import Rule
from lidclock.labels.typed import CodeRoom


class NoRoomError(Exception):
    """One attempt failed; the message names what did not fit."""


class NoRoomForCodeError(NoRoomError):
    """It failed for this code: another one, narrower in type, might have fitted."""


NO_ROOM_FOR_CODE = "there is no room for its code in type"


@dataclass(frozen=True, slots=True)
class Plan:
    """What may be given up. Tried in the order of `PLANS`, each at falling sizes."""

    months: bool = False
    ruler: bool = False
    flowing: bool = False
    whole_handling: bool = True
    all_lines: bool = True
    whole_name: bool = True


# Declared order: the rule's months, the rule, a line of its own for handling, later
# sentences of the handling line, the lines after the first, the end of the name. A
# date, an allergen or a code is never among them.
PLANS = (
    Plan(months=True, ruler=True),
    Plan(ruler=True),
    Plan(),
    Plan(flowing=True),
    Plan(flowing=True, whole_handling=False),
    Plan(flowing=True, whole_handling=False, all_lines=False),
    Plan(flowing=True, whole_handling=False, all_lines=False, whole_name=False),
)


@dataclass(frozen=True, slots=True)
class Cell:
    """What every draft of a label shares: its size, its layout, the printer's dots."""

    width: float
    height: float
    layout: Layout
    dots: Grid

    @property
    def left(self) -> float:
        """Where text may begin."""
        return self.layout.margin_side_mm

    @property
    def right(self) -> float:
        """Where text must end."""
        return self.width - self.layout.margin_side_mm

    @property
    def foot(self) -> float:
        """The lowest line anything may touch."""
        return self.height - self.layout.margin_bottom_mm


@dataclass(frozen=True, slots=True)
class CodePlace:
    """Where the code in type went: after so many texts and boxes, on so many lines."""

    room: CodeRoom
    texts_before: int
    boxes_before: int
    lines: int


@dataclass(slots=True)
class Draft:
    """A label being put together at one scale under one plan."""

    label: Label
    cell: Cell
    plan: Plan
    scale: float
    qr_module_mm: float
    boxes: list[Box] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    panels: list[Panel] = field(default_factory=list)
    symbols: list[Symbol] = field(default_factory=list)
    rule: tuple[float, float, Rule] | None = None
    shortened: list[str] = field(default_factory=list)
    loses_handling: bool = False
    loses_lines: bool = False
    code: CodePlace | None = None

    def size(self, pair: tuple[float, float]) -> float:
        """A type size at this draft's scale, never below the smallest allowed."""
        return max(pair[1], pair[0] * self.scale)

    @property
    def tight(self) -> bool:
        """True at the smallest type: only then may rows stand close."""
        body = self.cell.layout.body_pt
        return self.size(body) <= body[1]

    def put(self, kind: str, fitted: Fitted, x: float, y: float, right: float) -> float:
        """Set lines of type from `y` down; where the next thing may start.

        From `x` on, or, of writing from right to left, up to `right`.
        """
        baseline = y + fitted.ascent_mm
        starts = fitted.starts_mm(x, right)
        for start, line in zip(starts, fitted.lines, strict=True):
            self.texts.append(Text(start, baseline, line, fitted.face, fitted.size_pt))
            baseline += fitted.leading_mm
        left = min(starts) - fitted.overhang_mm
        wide = fitted.width_mm() + min(starts) - left
        self.boxes.append(Box(kind, left, y, wide, fitted.height_mm))
        if fitted.shortened:
            self.shortened.append(kind)
        return y + fitted.height_mm

    def put_symbol(self, symbol: Symbol, box: Box) -> None:
        """Add a symbol, and the room that it takes with its quiet zone."""
        self.symbols.append(symbol)
        self.boxes.append(box)

    def put_code(self, room: CodeRoom) -> None:
        """Set the code in type; if it cannot be, tell whether another could."""
        before = len(self.texts), len(self.boxes)
        if not room.put(self.label.typed_code(), self.texts, self.boxes):
            kind = NoRoomError if room.is_too_low else NoRoomForCodeError
            raise kind(NO_ROOM_FOR_CODE)
        self.code = CodePlace(room, *before, lines=len(self.texts) - before[0])

    def figure(self) -> Figure:
        """The finished figure; nothing may lie on anything else."""
        size = self.cell.width, self.cell.height
        found = clash(self.boxes, *size)
        if found is not None:
            others = [box for box in self.boxes if box.kind != "code"]
            without = clash(others, *size)
            raise NoRoomError(without) if without else NoRoomForCodeError(found)
        return Figure(
            boxes=tuple(self.boxes),
            texts=tuple(self.texts),
            panels=tuple(self.panels),
            symbols=tuple(self.symbols),
            rule=self.rule,
            shortened=(
                *self.shortened,
                *self.loses_handling * ["handling"],
                *self.loses_lines * ["line"],
            ),
        )
