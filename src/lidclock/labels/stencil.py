"""Stencils: what labels that are alike share once arranged, and where they differ.

They differ in their figures, which stand in the same places, in their symbols, which
are of the same size, and in the code in type, which touches nothing else.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import compress

from lidclock.labels import alike, shipped, symbols
from lidclock.labels.content import Label
from lidclock.labels.draft import (
    NO_ROOM_FOR_CODE,
    Draft,
    NoRoomError,
    NoRoomForCodeError,
)
from lidclock.labels.figure import Box, Figure, Text
from lidclock.labels.typed import CodeRoom

# Arranges a label in one way, or raises NoRoomError.
Arrange = Callable[[Label], tuple[Draft, Figure]]

# Two labels with marks for figures tell which figure comes out where: the first mark is
# the place's last digit, the second is further from it by one and the place's tens. No
# figure has the same mark twice; what is the same twice is none of the label's.
_MOST_FIGURES = 90


def first_mark(place: int) -> str:
    """The mark of a place on the first label."""
    return str(place % 10)


def second_mark(place: int) -> str:
    """Its mark on the second."""
    return str((place % 10 + place // 10 + 1) % 10)


def place_of(first: str, second: str) -> int:
    """The place that has these two marks."""
    return int(first) + 10 * ((int(second) - int(first) - 1) % 10)


class _UnlikeError(Exception):
    """What is in the way of a stencil."""


@dataclass(frozen=True, slots=True)
class _Blank:
    """A text that has figures: which text, its words between them, and their places."""

    at: int
    text: Text
    words: str
    places: tuple[int, ...]

    def filled(self, figures: list[str]) -> Text:
        text = self.text
        words = self.words % tuple([figures[place] for place in self.places])
        return Text(text.x, text.baseline, words, text.face, text.size_pt, text.white)


@dataclass(frozen=True, slots=True)
class Stencil:
    """An arranged label without its code in type, its figures and its modules.

    `plain` tells which parts of a label have figures that may differ; the code's texts
    and its box come after so many others.
    """

    figure: Figure
    blanks: tuple[_Blank, ...]
    plain: tuple[bool, ...]
    room: CodeRoom
    texts_before: int
    boxes_before: int
    size: tuple[float, float]

    def filled(self, label: Label, parts: list[alike.Part]) -> Figure:
        """The figure of a label that is alike; NoRoomForCodeError for a wide code."""
        base, boxes, lines = self.figure, list[Box](), list[Text]()
        if not self.room.put(label.typed_code(), lines, boxes):
            raise NoRoomForCodeError(NO_ROOM_FOR_CODE)
        (code,) = boxes
        if not code.lies_within(*self.size) or any(map(code.overlaps, base.boxes)):
            raise NoRoomForCodeError(NO_ROOM_FOR_CODE)
        figures = alike.figures(compress(parts, self.plain))
        texts = list(base.texts)
        for blank in self.blanks:
            texts[blank.at] = blank.filled(figures)
        texts[self.texts_before : self.texts_before] = lines
        at = self.boxes_before
        return Figure(
            boxes=(*base.boxes[:at], code, *base.boxes[at:]),
            texts=tuple(texts),
            panels=base.panels,
            symbols=tuple([symbols.again(one, label) for one in base.symbols]),
            rule=base.rule,
            shortened=base.shortened,
        )


def cut(label: Label, draft: Draft, figure: Figure, arrange: Arrange) -> Stencil | None:
    """The stencil for labels like this one, of which the first marked one is arranged.

    None where they do not all come out alike.
    """
    parts = alike.parts(label)
    plain = tuple(map(alike.is_plain, parts))
    if len(alike.figures(compress(parts, plain))) > _MOST_FIGURES or draft.code is None:
        return None
    try:
        _, other = arrange(alike.marked(label, second_mark))
        return _compared(draft, figure, other, plain)
    except (NoRoomError, _UnlikeError):
        return None


def _compared(
    draft: Draft, figure: Figure, other: Figure, plain: tuple[bool, ...]
) -> Stencil:
    if draft.code is None or _wordless(figure) != _wordless(other):
        raise _UnlikeError
    code = draft.code
    own = slice(code.texts_before, code.texts_before + code.lines)
    texts, others = list(figure.texts), list(other.texts)
    del texts[own], others[own]
    blanks = []
    for at, (one, two) in enumerate(zip(texts, others, strict=True)):
        words, places = _gaps(one.text, two.text)
        if places:
            blanks.append(_Blank(at, one, words, places))
    boxes = list(figure.boxes)
    del boxes[code.boxes_before]
    return Stencil(
        figure=replace(figure, texts=tuple(texts), boxes=tuple(boxes)),
        blanks=tuple(blanks),
        plain=plain,
        room=code.room,
        texts_before=code.texts_before,
        boxes_before=code.boxes_before,
        size=(draft.cell.width, draft.cell.height),
    )


def _wordless(figure: Figure) -> Figure:
    return replace(figure, texts=tuple(replace(text, text="") for text in figure.texts))


def _gaps(first: str, second: str) -> tuple[str, tuple[int, ...]]:
    """A text with a gap for each of the label's figures, and those figures' places."""
    words, places = "", list[int]()
    if len(first) != len(second):
        raise _UnlikeError
    for one, two in zip(first, second, strict=True):
        if one == two:
            words += "%%" if one == "%" else one
        elif one.isdigit() and two.isdigit():
            words += "%s"
            places.append(place_of(one, two))
        else:
            raise _UnlikeError
    if places and not shipped.is_plain(first):
        raise _UnlikeError
    return words, tuple(places)
