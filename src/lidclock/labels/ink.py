"""Ink: labels as PDF operators, each label drawn from its own top-left corner.

The library's drawing calls write every length in page units, one object at a time.
Written from the corner of a label instead, what two labels share is the same text in
the page's stream and compresses to almost nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lidclock.labels import paths, shipped
from lidclock.labels.figure import Figure, Text
from lidclock.labels.paths import PT_PER_MM, exact, number, points

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

    from lidclock.labels.grid import Grid
    from lidclock.labels.ruler import Rule

# ISO 32000-1, 7.3.4.2: what a string may hold as it stands; brackets and the backslash
# not among it.
_AS_IT_STANDS = frozenset(range(0x20, 0x7F)) - frozenset(b"()\\")


class Pen:
    """Draws figures on the pages of one document; lengths in mm from the top left."""

    def __init__(self, canvas: Canvas, page_height_mm: float, dots: Grid) -> None:
        self._canvas = canvas
        self._page_height = page_height_mm
        self._dots = dots
        dot_pt = dots.mm * PT_PER_MM
        self._dot, self._per_dot = number(dot_pt, 8), number(1 / dot_pt, 8)
        self._faces: dict[str, _Face] = {}
        self._rules: dict[int, tuple[Rule, str]] = {}

    def page(self) -> None:
        """Begin a page: from now on lengths count in dots from its top-left corner."""
        top = exact(self._page_height)
        self._canvas._code.append(f"{self._dot} 0 0 {self._dot} 0 {top} cm")

    def label(self, figure: Figure, x: float, y: float) -> None:
        """One figure, its corner moved to the nearest dot; inside it, in points."""
        x, y = (round(one / self._dots.mm) for one in (x, y))
        write = self._canvas._code.append
        write(f"q {self._per_dot} 0 0 {self._per_dot} {x} {-y} cm")
        for panel in figure.panels:
            write(paths.panel(panel))
        for symbol in figure.symbols:
            write(paths.symbol(symbol, self._dots))
        for text in figure.texts:
            self._text(text)
        if figure.rule is not None:
            self._rule(*figure.rule)
        write("Q")

    def _text(self, text: Text) -> None:
        if shipped.is_plain(text.text):
            self._canvas._code.append(self._plain(text))
        else:
            self._shaped(text)

    def _plain(self, text: Text) -> str:
        face = self._faces.get(text.face)
        if face is None:
            face = self._faces[text.face] = _Face(text.face, self._canvas._doc)
        written = face.write(text)
        return f"1 g {written} 0 g" if text.white else written

    def _shaped(self, text: Text) -> None:
        """Text that needs other faces, joined letters or another direction."""
        from lidclock.labels import embed, shaping

        line = shaping.line(text.text, text.face)
        at = text.x * PT_PER_MM, -text.baseline * PT_PER_MM
        grey = 1 if text.white else 0
        if text.white:
            self._canvas.setFillGray(1)
        embed.draw(self._canvas, at, line, text.face, text.size_pt, grey=grey)
        if text.white:
            self._canvas.setFillGray(0)

    def _rule(self, left: float, top: float, rule: Rule) -> None:
        write = self._canvas._code.append
        marks = [
            Text(one.x, one.baseline, one.text, one.face, one.size_pt)
            for one in (*rule.months, *rule.numbers)
        ]
        write(f"q 1 0 0 1 {points(left)} {points(-top)} cm")
        write(self._plain_rule(rule, marks))
        for mark in marks:
            if not shipped.is_plain(mark.text):
                self._shaped(mark)
        write("Q")

    def _plain_rule(self, rule: Rule, marks: list[Text]) -> str:
        """All but its shaped words; labels of one batch share theirs: written once."""
        _, written = self._rules.get(id(rule), (rule, ""))
        if not written:
            plain = [mark for mark in marks if shipped.is_plain(mark.text)]
            written = "\n".join([*paths.notches(rule), *map(self._plain, plain)])
            # The rule is kept along, so that no other one is found at its place.
            self._rules[id(rule)] = (rule, written)
        return written


class _Face:
    """A shipped face inside one document."""

    def __init__(self, name: str, document: Any) -> None:
        self._font = shipped.font(name)
        self._document = document
        self._letters = _Letters(self._font, document)
        self._part = self._font.getSubsetInternalName(0, document)

    def write(self, text: Text) -> str:
        """Operators that show a text."""
        at = f"{points(text.x)} {points(-text.baseline)} Td"
        size = number(text.size_pt)
        written = text.text.translate(self._letters)
        if self._letters.elsewhere.isdisjoint(text.text):
            return f"BT {self._part} {size} Tf {at} ({written})Tj ET"
        shown = " ".join(
            f"{self._font.getSubsetInternalName(part, self._document)} {size} Tf "
            f"({_escaped(raw)})Tj"
            for part, raw in self._font.splitString(text.text, self._document)
        )
        return f"BT {at} {shown} ET"


class _Letters(dict[int, str]):
    """How each character is written in the first part of a document's face.

    A part has 256 characters; those `elsewhere` are in a further one.
    """

    def __init__(self, font: Any, document: Any) -> None:
        super().__init__()
        self._font = font
        self._document = document
        self.elsewhere: set[str] = set()

    def __missing__(self, point: int) -> str:
        letter = chr(point)
        ((part, raw),) = self._font.splitString(letter, self._document)
        if part:
            self.elsewhere.add(letter)
        written = self[point] = "" if part else _escaped(raw)
        return written


def _escaped(raw: bytes) -> str:
    return "".join(chr(one) if one in _AS_IT_STANDS else f"\\{one:03o}" for one in raw)
