"""Attempts at a label: one that failed, or succeeded, does so for all alike."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial

from lidclock.labels import alike, codes, stencil
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
    """The attempts at the labels of one cell, in their order, and what came of them.

    What has no room for one label has none for any that is alike, unless it was the
    code that was too wide; and what has room for one is not worked out again.
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
        self._known: dict[tuple[object, ...], _Kind] = {}

    def figure(self, label: Label) -> Figure | None:
        """The label by the first attempt that succeeds, if any does."""
        parts = alike.parts(label)
        sizes = len(codes.code128(label.code)), len(codes.qr(label.uri))
        key = (*alike.kind(parts), *sizes)
        kind = self._known.get(key)
        if kind is None:
            self._admit(label)
            if len(self._known) >= _MOST_KINDS:
                self._known.clear()
            kind = _Kind(label, self._cell, self._attempts, self._arrange)
            self._known[key] = kind
        return kind.figure(label, parts)


class _Kind:
    """Labels that are alike: the attempts that have room for them, found as needed."""

    def __init__(
        self,
        label: Label,
        cell: Cell,
        attempts: tuple[Attempt, ...],
        arrange: Arrange,
    ) -> None:
        self._cell = cell
        self._arrange = arrange
        self._marked = alike.marked(label, stencil.first_mark)
        self._untried = iter(attempts)
        self._open: list[tuple[Attempt, stencil.Stencil | None]] = []

    def figure(self, label: Label, parts: list[alike.Part]) -> Figure | None:
        """The label by the first attempt that has room for it and for its code."""
        for attempt, cut in self._promising():
            try:
                if cut is not None:
                    return cut.filled(label, parts)
                return self._tried(label, attempt)[1]
            except NoRoomError:
                continue
        return None

    def _promising(self) -> Iterator[tuple[Attempt, stencil.Stencil | None]]:
        """The attempts that succeed for some code, each with its stencil if it has one.

        All are tried on a label with marks for figures, so that the figures of whatever
        label came first have no part in it.
        """
        yield from self._open
        for attempt in self._untried:
            try:
                draft, figure = self._tried(self._marked, attempt)
                arrange = partial(self._tried, attempt=attempt)
                found = attempt, stencil.cut(self._marked, draft, figure, arrange)
            except NoRoomForCodeError:
                found = attempt, None
            except NoRoomError:
                continue
            self._open.append(found)
            yield found

    def _tried(self, label: Label, attempt: Attempt) -> tuple[Draft, Figure]:
        draft = Draft(label, self._cell, *attempt)
        return draft, self._arrange(draft)


@dataclass(frozen=True, slots=True)
class Room:
    """A cell, how far it keeps from the label's edge, and the labels it has seen."""

    cell: Cell
    inset: tuple[float, float]
    attempts: Attempts
