"""Faces opened for shaping: what a font file covers, its measures, its outlines."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache
from pathlib import Path

from lidclock.errors import LabelError
from lidclock.labels import found, shipped

# OpenType's OS/2 table, fsType: bit 1 forbids embedding, bit 8 embedding a part, bit 9
# anything but bitmaps. The PDF library refuses the same ones.
_FORBIDS_EMBEDDING = 0x0002 | 0x0100 | 0x0200
_FSTYPE_AT, _FAMILY_BITS_AT = 8, 62
_BOLD_BIT = 0x0020


class UnusableFontError(LabelError):
    """A font file that labels cannot use; the message says which and why."""


class Face:
    """One font file, opened once, its lengths in ems."""

    def __init__(self, path: Path) -> None:
        import uharfbuzz

        self.path = path
        try:
            blob = uharfbuzz.Blob.from_file_path(str(path))
            self.table = uharfbuzz.Face(blob)
        except (OSError, ValueError, uharfbuzz.HarfBuzzError) as error:
            raise UnusableFontError(f"{path.name} cannot be opened: {error}") from error
        self._admit()
        self.shaper = uharfbuzz.Font(self.table)
        self.upem = int(self.table.upem)

    def _admit(self) -> None:
        tables = set(self.table.table_tags)
        if not {"cmap", "head", "hmtx", "maxp"} <= tables:
            raise UnusableFontError(f"{self.path.name} is no font that can be read")
        if not {"glyf", "loca"} <= tables:
            raise UnusableFontError(
                f"{self.path.name} has PostScript or bitmap shapes; "
                "labels embed TrueType outlines only"
            )
        rights = self._os2(_FSTYPE_AT) or 0
        if rights & _FORBIDS_EMBEDDING:
            raise UnusableFontError(f"{self.path.name} does not permit embedding")

    def _os2(self, offset: int) -> int | None:
        """Two bytes of the OS/2 table, or None where there is none."""
        if "OS/2" not in self.table.table_tags:
            return None
        raw = self.table.reference_table("OS/2").data[offset : offset + 2]
        return int.from_bytes(raw, "big")

    @cached_property
    def is_bold(self) -> bool:
        """True if the file says that it is the bold of its family."""
        return bool((self._os2(_FAMILY_BITS_AT) or 0) & _BOLD_BIT)

    @cached_property
    def codes(self) -> frozenset[int]:
        """The code points that have a glyph."""
        return frozenset(self.table.unicodes)

    def covers(self, text: str) -> bool:
        """True if each character, or the parts it is made of, has a glyph."""
        return all(map(self._covers_one, text))

    def _covers_one(self, letter: str) -> bool:
        if ord(letter) in self.codes or is_invisible(letter):
            return True
        parts = unicodedata.normalize("NFD", letter)
        return parts != letter and all(ord(part) in self.codes for part in parts)

    def ink(self, glyph: int) -> tuple[float, float, float, float] | None:
        """Left, bottom, right, top of a glyph's outline; None where it is blank."""
        box = self.shaper.get_glyph_extents(glyph)
        if box is None or not box.width or not box.height:
            return None
        left, top = box.x_bearing, box.y_bearing
        em = self.upem
        return left / em, (top + box.height) / em, (left + box.width) / em, top / em

    def advance(self, glyph: int) -> float:
        """How far a glyph alone moves the pen."""
        return float(self.shaper.get_glyph_h_advance(glyph)) / self.upem


@dataclass(frozen=True, slots=True)
class Style:
    """A face and whether its strokes are thickened for want of a bold."""

    face: Face
    thicken: bool = False


def is_invisible(letter: str) -> bool:
    """True for joiners, direction marks and variation selectors: never drawn."""
    code = ord(letter)
    return (
        unicodedata.category(letter) == "Cf"
        or 0xFE00 <= code <= 0xFE0F
        or 0xE0100 <= code <= 0xE01EF
        or code == 0x034F
    )


@cache
def script_of(letter: str) -> str:
    """ISO 15924 code of the script a character belongs to; empty for signs and marks
    that many scripts share."""
    import uharfbuzz

    buffer = uharfbuzz.Buffer()
    buffer.add_codepoints([ord(letter)])
    buffer.guess_segment_properties()
    return buffer.script or ""


@lru_cache(maxsize=128)
def opened(path: Path) -> Face | UnusableFontError:
    """The face in a file, or why it is of no use; opened once."""
    try:
        return Face(path)
    except UnusableFontError as error:
        return error


def of_file(path: Path) -> Face:
    """The face in a file; raises UnusableFontError with the reason."""
    face = opened(path)
    if isinstance(face, UnusableFontError):
        raise face
    return face


def styles(script: str, *, bold: bool) -> Iterator[Style]:
    """Faces to try for a script, in order: shipped first, then what is found.

    Unusable files are passed over; `passed_over` names them.
    """
    fit = script not in shipped.UNFIT
    if fit:
        yield Style(of_file(shipped.file_of(shipped.BOLD if bold else shipped.REGULAR)))
    for choice in found.choices(script, bold=bold):
        face = opened(choice.path)
        if isinstance(face, Face):
            yield Style(face, choice.thicken and not face.is_bold)
    if fit and bold:
        yield Style(of_file(shipped.file_of(shipped.REGULAR)), thicken=True)


def passed_over(script: str) -> tuple[str, ...]:
    """Why fonts that are here were not used for a script."""
    faces = (opened(choice.path) for choice in found.choices(script, bold=False))
    return tuple(str(face) for face in faces if isinstance(face, UnusableFontError))
