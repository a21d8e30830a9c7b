"""Writing shaped lines into a PDF: the glyphs a document uses, and their text.

Each pair of a glyph and the text it shows has a code of its own, so that what is copied
or searched for is what was typed, whatever shapes the letters took.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import groupby
from typing import TYPE_CHECKING, Any
from weakref import WeakKeyDictionary

from lidclock.labels.faces import Face
from lidclock.labels.shaping import STROKE, Glyph, Line, Piece

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

# The tables of a TrueType font that ISO 32000-1, 9.9, has embedded; no hints.
_NEEDED = frozenset("glyf head hhea hmtx loca maxp".split())
_POSTSCRIPT_NAME = 6
_FILL, _FILL_AND_STROKE = 0, 2
_SYMBOLIC = 4
_STEM = 80
_THOUSAND = 1000
# A CMap lists at most this many characters in one block.
_BLOCK = 100
# What a letter's further glyphs stand for: a word joiner, which searches pass over.
_NOTHING = "\u2060"
_documents: WeakKeyDictionary[Any, dict[Face, Embedded]] = WeakKeyDictionary()


def draw(
    canvas: Canvas,
    at: tuple[float, float],
    line: Line,
    face: str,
    size_pt: float,
    *,
    grey: int = 0,
) -> None:
    """Draw a line from `at` on, in points; plain pieces in the shipped face."""
    x, y = at
    for piece in line.pieces:
        if piece.style is None:
            canvas.setFont(face, size_pt)
            canvas.drawString(x + piece.x * size_pt, y, piece.text)
        elif piece.glyphs:
            font = _embedded(canvas, piece.style.face)
            canvas.saveState()
            if piece.style.thicken:
                canvas.setStrokeGray(grey)
                canvas.setLineWidth(STROKE * size_pt)
            canvas._code.append(_operators(font, piece, at, size_pt))
            canvas.restoreState()


def _embedded(canvas: Canvas, face: Face) -> Embedded:
    fonts = _documents.setdefault(canvas._doc, {})
    if face not in fonts:
        fonts[face] = Embedded(face, canvas._doc)
    return fonts[face]


def _operators(
    font: Embedded, piece: Piece, at: tuple[float, float], size_pt: float
) -> str:
    """The piece's glyphs as PDF text operators, each moved to its own place."""
    thicken = piece.style is not None and piece.style.thicken
    place = (_number(at[0] + piece.x * size_pt), _number(at[1]))
    written = [
        f"BT {_FILL_AND_STROKE if thicken else _FILL} Tr",
        f"/{font.name} {_number(size_pt)} Tf {place[0]} {place[1]} Td",
    ]
    pen = piece.x
    for rise, glyphs in groupby(piece.glyphs, key=lambda glyph: glyph.y):
        shown: list[str] = []
        for glyph in glyphs:
            back = _number((pen - glyph.x) * _THOUSAND)
            shown += [back] if back != "0" else []
            shown.append(f"<{font.code(glyph):04X}>")
            pen = glyph.x + font.width(glyph.number) / _THOUSAND
        written.append(f"{_number(rise * size_pt)} Ts [{' '.join(shown)}] TJ")
    return " ".join([*written, "0 Ts ET"])


def _number(value: float) -> str:
    """At most four decimals, and no minus before nothing."""
    return f"{round(value, 4) + 0.0:.4f}".rstrip("0").rstrip(".")


class Embedded:
    """A face inside one PDF; the library asks it for its objects at the end."""

    def __init__(self, face: Face, document: Any) -> None:
        self.face = face
        self.name = f"F{len(document.fontMapping) + 1}"
        self._codes: dict[tuple[int, str], int] = {}
        document.fontMapping[f"lidclock {face.path}"] = f"/{self.name}"
        document.delayedFonts.append(self)

    def code(self, glyph: Glyph) -> int:
        """The code that draws a glyph and stands for its text."""
        return self._codes.setdefault((glyph.number, glyph.text), len(self._codes) + 1)

    def width(self, number: int) -> int:
        """How far a glyph moves the pen, in thousandths of an em."""
        return round(self.face.advance(number) * _THOUSAND)

    def addObjects(self, document: Any) -> None:  # noqa: N802 - the library's name
        """Write the font with the glyphs asked for so far."""
        make = _Maker(document)
        numbers = [number for number, _ in self._codes]
        content, places = _subset(self.face, numbers)
        base = make.name(f"{_tag(self.name)}+{_postscript_name(self.face)}")
        descriptor = make.table(
            "FontDescriptor",
            FontName=base,
            FontFile2=make.stream(content, Length1=len(content)),
            **_measures(self.face),
        )
        outlines = make.table(
            "Font",
            Subtype=make.name("CIDFontType2"),
            BaseFont=base,
            CIDSystemInfo=make.collection("Adobe", "Identity"),
            FontDescriptor=descriptor,
            W=make.array([1, make.array([self.width(one) for one in numbers])]),
            CIDToGIDMap=make.stream(
                b"".join(place.to_bytes(2, "big") for place in [0, *places])
            ),
        )
        font = make.table(
            "Font",
            Subtype=make.name("Type0"),
            BaseFont=base,
            Encoding=make.name("Identity-H"),
            DescendantFonts=make.array([outlines]),
            ToUnicode=make.stream(_to_unicode([text for _, text in self._codes])),
        )
        document.idToObject["BasicFonts"].dict[self.name] = font


class _Maker:
    """Makes PDF objects inside a document."""

    def __init__(self, document: Any) -> None:
        from reportlab.pdfbase import pdfdoc

        self._document = document
        self._pdf = pdfdoc
        self.name = pdfdoc.PDFName
        self.array = pdfdoc.PDFArray

    def table(self, kind: str, **entries: object) -> Any:
        """A reference to a dictionary of that type."""
        entries["Type"] = self.name(kind)
        return self._document.Reference(self._pdf.PDFDictionary(entries))

    def collection(self, registry: str, ordering: str) -> Any:
        """Which characters the codes count."""
        entries = {
            "Registry": self._pdf.PDFString(registry),
            "Ordering": self._pdf.PDFString(ordering),
            "Supplement": 0,
        }
        return self._pdf.PDFDictionary(entries)

    def stream(self, content: bytes, **entries: object) -> Any:
        """A reference to a compressed stream."""
        made = self._pdf.PDFStream(
            self._pdf.PDFDictionary(entries), content, [self._pdf.PDFZCompress]
        )
        return self._document.Reference(made)


def _subset(face: Face, numbers: Iterable[int]) -> tuple[bytes, list[int]]:
    """A font file of these glyphs and their parts, and each one's new number."""
    import uharfbuzz

    wanted = uharfbuzz.SubsetInput()
    wanted.glyph_set.update(numbers)
    wanted.drop_table_tag_set.update(
        int.from_bytes(tag.encode("ascii"), "big")
        for tag in set(face.table.table_tags) - _NEEDED
    )
    wanted.flags = (
        uharfbuzz.SubsetFlags.NO_HINTING | uharfbuzz.SubsetFlags.NO_LAYOUT_CLOSURE
    )
    plan = uharfbuzz.SubsetPlan(face.table, wanted)
    places = plan.old_to_new_glyph_mapping
    return bytes(plan.execute().blob.data), [places[number] for number in numbers]


def _measures(face: Face) -> dict[str, object]:
    """What a font descriptor tells, in thousandths of an em."""
    from reportlab.pdfbase import pdfdoc

    extents = face.shaper.get_font_extents("ltr")
    scale = _THOUSAND / face.upem
    ascent, descent = round(extents.ascender * scale), round(extents.descender * scale)
    return {
        "Ascent": ascent,
        "Descent": descent,
        "CapHeight": ascent,
        "Flags": _SYMBOLIC,
        "ItalicAngle": 0,
        "StemV": _STEM,
        "FontBBox": pdfdoc.PDFArray([-_THOUSAND, descent, 2 * _THOUSAND, ascent]),
    }


def _postscript_name(face: Face) -> str:
    told = face.table.get_name(_POSTSCRIPT_NAME) or face.path.stem
    return re.sub(r"[^A-Za-z0-9-]", "", told) or "Font"


def _tag(name: str) -> str:
    """Six capitals that tell this part of a font from others in the document."""
    number = int(name.removeprefix("F"))
    return "".join(chr(ord("A") + number // 26**place % 26) for place in range(6))


def _to_unicode(texts: list[str]) -> bytes:
    """The CMap from codes, counted from 1, to the text that each shows."""
    rows = [
        f"<{code:04X}> <{(text or _NOTHING).encode('utf-16-be').hex().upper()}>"
        for code, text in enumerate(texts, 1)
    ]
    blocks = [rows[at : at + _BLOCK] for at in range(0, len(rows), _BLOCK)]
    body = "\n".join(
        f"{len(block)} beginbfchar\n" + "\n".join(block) + "\nendbfchar"
        for block in blocks
    )
    return (
        "/CIDInit /ProcSet findresource begin 12 dict begin begincmap\n"
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n"
        "/CMapName /Adobe-Identity-UCS def /CMapType 2 def\n"
        "1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n"
        f"{body}\nendcmap CMapName currentdict /CMap defineresource pop end end\n"
    ).encode("ascii")
