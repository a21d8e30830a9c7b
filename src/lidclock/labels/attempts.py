"""Attempts at a label: one that failed fails for every label like it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from lidclock.labels import alike, codes
from lidclock.labels.content import Label
from lidclock.labels.draft import (
    PLANS,
    Cell,
    Draft,
    NoRoomError,
    NoRoomForCodeError,
    Plan,
)
from lidclock.labels.figure import Figure
from lidclock.labels.layout import Layout

# What may be given up, the type's scale, the QR symbol's module in mm.
Attempt = tuple[Plan, float, float]
# Arranges a draft, or raises NoRoomError; the code in type must move nothing else.
Arrange = Callable[[Draft], Figure]
# Refuses, by a LabelError, a label that no cell could hold.
Admit = Callable[[Label], None]

_MOST_KINDS = 4096
_SCALE_STEP = 0.04
# A day rule in a row of its own may cost the text this much of its size, no more.
_RULE_WORTH = 0.8


def every(layout: Layout) -> Iterator[Attempt]:
    """Plans in their order, each with every QR size, each at every scale."""
    least = layout.body_pt[1] / layout.body_pt[0]
    for plan in PLANS:
        floor = least
        if plan.ruler and layout.arrangement == "across":
            floor = max(least, _RULE_WORTH)
        for module in layout.qr_module_mm:
            scale = 1.0
            while scale > floor:
                yield plan, scale, module
                scale -= _SCALE_STEP
            yield plan, floor, module


class Attempts:
    """The attempts at the labels of one cell, in their order, and which have failed.

    Labels that differ in figures, code and address only are alike: what has no room for
    one of them has none for another, unless it was the code that was too wide.
    """

    def __init__(
        self,
        cell: Cell,
        attempts: Iterable[Attempt],
        arrange: Arrange,
        admit: Admit,
    ) -> None:
        self._cell = cell
        self._admit = admit
        self._attempts = tuple(attempts)
        self._arrange = arrange
        self._left: dict[tuple[object, ...], list[Attempt]] = {}

    def figure(self, label: Label) -> Figure | None:
        """The label by the first attempt that succeeds, if any does."""
        left = self._left_for(label)
        for attempt in tuple(left):
            try:
                return self._arrange(Draft(label, self._cell, *attempt))
            except NoRoomForCodeError:
                continue
            except NoRoomError:
                left.remove(attempt)
        return None

    def _left_for(self, label: Label) -> list[Attempt]:
        sizes = len(codes.code128(label.code)), len(codes.qr(label.uri))
        kind = (*alike.kind(label), *sizes)
        left = self._left.get(kind)
        if left is None:
            self._admit(label)
            if len(self._left) >= _MOST_KINDS:
                self._left.clear()
            left = self._left[kind] = list(self._attempts)
        return left


@dataclass(frozen=True, slots=True)
class Room:
    """A cell, how far it keeps from the label's edge, and the labels it has seen."""

    cell: Cell
    inset: tuple[float, float]
    attempts: Attempts
