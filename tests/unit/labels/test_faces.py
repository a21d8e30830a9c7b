"""Faces: only what may and can be embedded is used, and the rest says why not."""

from __future__ import annotations

import struct
from pathlib import Path

import pytest

from lidclock.labels import faces, fonts, found, shipped

OS2_FSTYPE = 8


def altered(folder: Path, name: str, change) -> Path:
    """A copy of a shipped font with something changed."""
    data = bytearray(shipped.file_of(shipped.REGULAR).read_bytes())
    change(data)
    path = folder / name
    path.write_bytes(data)
    return path


def table_at(data: bytes, tag: bytes) -> int:
    """Where a table begins: the directory has 16 bytes an entry from byte 12 on."""
    entry = data.index(tag, 12)
    return struct.unpack(">L", data[entry + 8 : entry + 12])[0]


def without_outlines(data: bytearray) -> None:
    entry = data.index(b"glyf", 12)
    data[entry : entry + 4] = b"CFF "


def with_rights(rights: int):
    def change(data: bytearray) -> None:
        at = table_at(data, b"OS/2") + OS2_FSTYPE
        data[at : at + 2] = rights.to_bytes(2, "big")

    return change


def test_postscript_outlines_are_refused(tmp_path):
    path = altered(tmp_path, "Ours.ttf", without_outlines)

    with pytest.raises(faces.UnusableFontError, match=r"Ours\.ttf has PostScript"):
        faces.of_file(path)


@pytest.mark.parametrize("rights", [0x0002, 0x0100, 0x0200])
def test_a_font_that_may_not_be_embedded_is_refused(tmp_path, rights):
    path = altered(tmp_path, f"Ours{rights}.ttf", with_rights(rights))

    with pytest.raises(faces.UnusableFontError, match="does not permit embedding"):
        faces.of_file(path)


@pytest.mark.parametrize("rights", [0x0000, 0x0004, 0x0008])
def test_a_font_for_editing_or_viewing_may_be_embedded(tmp_path, rights):
    path = altered(tmp_path, f"Ours{rights}.ttf", with_rights(rights))

    assert faces.of_file(path).covers("Soup")


def test_a_file_that_is_no_font_is_refused(tmp_path):
    (tmp_path / "Ours.ttf").write_text("soup")

    with pytest.raises(faces.UnusableFontError, match=r"Ours\.ttf is no font"):
        faces.of_file(tmp_path / "Ours.ttf")


def test_a_character_is_covered_by_its_parts():
    """U+1E69 is s with dots below and above; a face with both dots can set it."""
    face = faces.of_file(shipped.file_of(shipped.REGULAR))

    assert face.covers("\u1e69")
    assert not face.covers("\u8c5a")


@pytest.mark.parametrize(("style", "bold"), [("REGULAR", False), ("BOLD", True)])
def test_a_face_knows_whether_it_is_bold(style, bold):
    path = shipped.file_of(getattr(shipped, style))

    assert faces.of_file(path).is_bold is bold


def test_an_unusable_font_is_passed_over_and_named(tmp_path, monkeypatch):
    altered(tmp_path, "Ours.ttf", without_outlines)
    monkeypatch.setenv(found.VARIABLE, str(tmp_path))
    monkeypatch.setattr(found, "folders", lambda: ())
    fonts.forget()

    used = [style.face.path.name for style in faces.styles("Hani", bold=False)]
    assert used == ["DejaVuSansCondensed.ttf"]
    assert "Ours.ttf has PostScript" in faces.passed_over("Hani")[0]


def test_an_outline_is_measured_in_ems():
    """DejaVu Sans Condensed's H stands on the line and is 0.729 em tall."""
    face = faces.of_file(shipped.file_of(shipped.REGULAR))
    left, bottom, right, top = face.ink(face.shaper.get_nominal_glyph(ord("H")))

    assert (bottom, round(top, 3)) == (0, 0.729)
    assert 0 < left < right < face.advance(face.shaper.get_nominal_glyph(ord("H")))


@pytest.mark.parametrize(
    ("letter", "script"),
    [("a", "Latn"), ("א", "Hebr"), ("ก", "Thai"), ("漢", "Hani"), ("1", ""), (" ", "")],
)
def test_the_script_of_a_letter_is_its_iso_code(letter, script):
    assert faces.script_of(letter) == script


@pytest.mark.parametrize(
    ("shipped_face", "thickened"), [(shipped.REGULAR, True), (shipped.BOLD, False)]
)
def test_a_found_font_is_thickened_unless_it_is_bold(
    tmp_path, monkeypatch, shipped_face, thickened
):
    """What the file itself says counts, not its name."""
    (tmp_path / "Ours.ttf").write_bytes(shipped.file_of(shipped_face).read_bytes())
    monkeypatch.setenv(found.VARIABLE, str(tmp_path))
    monkeypatch.setattr(found, "folders", lambda: ())
    fonts.forget()
    ours = next(
        style
        for style in faces.styles("Latn", bold=True)
        if style.face.path.name == "Ours.ttf"
    )

    assert ours.thicken is thickened
