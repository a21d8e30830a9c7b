"""Fonts: every character is shown as itself, or the label is refused."""

from __future__ import annotations

import struct

import pytest
from reportlab.pdfbase.ttfonts import TTFont

from lidclock.errors import LabelError
from lidclock.labels import fonts, found, shipped


@pytest.mark.parametrize(
    "text", ["Crème brûlée · 5 °C …", "żurek, čevapi", "Φακές", "Борщ ½", "phở"]
)
def test_latin_greek_and_cyrillic_are_covered(text):
    assert fonts.missing(text) == ()


@pytest.mark.parametrize("text", ["חלב 12", "حليب ١٢", "k\u0302"])
def test_joined_turned_and_marked_writing_is_covered(text):
    assert fonts.missing(text) == ()


def test_missing_characters_are_named_once_in_order():
    assert fonts.missing("\ue001 soup \ue000\ue001") == ("\ue001", "\ue000")


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("豚汁", r"'豚' \(U\+8C5A CJK UNIFIED IDEOGRAPH-8C5A\)"),
        ("กะทิ", r"U\+0E01 THAI CHARACTER KO KAI"),
        ("soup 🍜", r"U\+1F35C STEAMING BOWL"),
    ],
)
def test_an_uncovered_character_is_refused_by_name(monkeypatch, text, named):
    monkeypatch.delenv(found.VARIABLE, raising=False)
    monkeypatch.setattr(found, "folders", lambda: ())
    fonts.forget()

    with pytest.raises(LabelError, match=named):
        fonts.check(text)


def test_accented_capitals_get_more_room():
    assert fonts.ascent("Éclair") > fonts.ascent("Eclair")


def test_a_text_with_shaped_parts_keeps_the_room_of_its_plain_ones():
    assert fonts.ascent("Éclair אב") >= fonts.ascent("Éclair")
    assert fonts.descent("gj אב") >= fonts.descent("gj")
    assert fonts.overhang("Jam אב") >= fonts.overhang("Jam")


def test_marks_above_and_below_get_room():
    assert fonts.ascent("K\u0302") > fonts.ascent("K")
    assert fonts.descent("שֶׁל") > fonts.descent("של")


def test_a_mixed_text_is_as_wide_as_its_parts():
    whole, *parts = (
        fonts.width_mm(text, fonts.BOLD, 10) for text in ("ab אב", "ab ", "אב")
    )

    assert whole == pytest.approx(sum(parts))


@pytest.mark.parametrize(
    ("x_height_mm", "em", "size_pt"), [(1.2, 0.52, 6.5), (1.2, 0.47, 7.2)]
)
def test_the_size_for_an_x_height_is_the_known_one(
    monkeypatch, x_height_mm, em, size_pt
):
    """1.2 mm in a face of 0.52 em takes about 6.5 pt, of 0.47 em about 7.2 pt.

    Regulation (EU) 1169/2011, Art. 13(2), asks for 1.2 mm; the sizes are 1.2 mm in
    points (3.40) over the share, to the tenth.
    """
    monkeypatch.setattr(shipped, "x_height", lambda _: em)

    assert fonts.least_pt(fonts.REGULAR, x_height_mm) == pytest.approx(
        size_pt, abs=0.05
    )
    assert fonts.x_height_mm(fonts.REGULAR, size_pt) == pytest.approx(1.2, abs=0.01)


@pytest.mark.parametrize("face", [fonts.REGULAR, fonts.BOLD])
def test_an_x_height_the_file_does_not_tell_is_measured(face):
    """DejaVu's OS/2 table is version 1; its x is 1120 of 2048 units tall, 0.547 em."""
    assert fonts.x_height_mm(face, 72) == pytest.approx(25.4 * 1120 / 2048)


def test_the_x_height_is_what_the_file_tells(tmp_path, monkeypatch):
    """The same font with an OS/2 table of version 2 whose sxHeight says 1000 units."""
    data = bytearray(shipped.file_of(fonts.REGULAR).read_bytes())
    entry = data.index(b"OS/2", 12)
    at = int.from_bytes(data[entry + 8 : entry + 12], "big")
    table = data[at : at + 86] + struct.pack(">HHHHH", 1000, 1493, 0, 0, 0)
    table[:2] = struct.pack(">H", 2)
    data[entry + 8 : entry + 16] = struct.pack(">LL", len(data), len(table))
    (tmp_path / "told.ttf").write_bytes(data + table)
    told = TTFont("Told", str(tmp_path / "told.ttf"))
    monkeypatch.setattr(shipped, "font", lambda _: told)

    assert fonts.x_height_mm("Told", 72) == pytest.approx(25.4 * 1000 / 2048)


@pytest.mark.parametrize(
    ("area_cm2", "least_mm"), [(80, 1.2), (79.9, 0.9), (14.5, 0.9)]
)
def test_small_packs_may_have_smaller_letters(area_cm2, least_mm):
    """Regulation (EU) 1169/2011, Art. 13(3): 0.9 mm where no face has 80 cm2."""
    assert fonts.least_x_height_mm(area_cm2) == least_mm
