"""Shaping: letters join, marks stack, brackets turn, nothing is left blank."""

from __future__ import annotations

import subprocess
import sys

import pytest

from lidclock.labels import bidi, faces, fonts, runs, shaping, shipped


def glyphs(text: str, face: str = fonts.REGULAR) -> list[int]:
    line = shaping.line(text, face)
    return [glyph.number for piece in line.pieces for glyph in piece.glyphs]


def alone(letter: str) -> int:
    face = faces.of_file(shipped.file_of(shipped.REGULAR))
    return face.shaper.get_nominal_glyph(ord(letter))


def test_arabic_letters_take_their_joined_forms():
    """Four letters, each drawn otherwise than where it stands alone."""
    joined = glyphs("لحمص")

    assert len(joined) == 4
    assert not {alone(one) for one in "لحم"} & set(joined)


def test_lam_and_alef_are_one_glyph_that_shows_both():
    (piece,) = shaping.line("لا", fonts.REGULAR).pieces
    (glyph,) = piece.glyphs

    assert sorted(glyph.text) == sorted("لا")


def test_letters_stand_from_right_to_left():
    (piece,) = shaping.line("אב", fonts.REGULAR).pieces

    assert [glyph.number for glyph in piece.glyphs] == [alone("ב"), alone("א")]


def test_brackets_turn_where_text_runs_from_right_to_left():
    """What is typed as an opening bracket looks like a closing one."""
    numbers = glyphs("(א")

    assert numbers == [alone("א"), alone(")")]


def test_figures_between_are_plain_text_in_their_own_order():
    pieces = shaping.line("אב 12 גד", fonts.REGULAR).pieces

    assert [piece.text for piece in pieces if piece.style is None] == ["12"]


def test_a_mark_stands_over_its_letter():
    base, mark = shaping.line("m\u0302", fonts.REGULAR).pieces[0].glyphs
    face = faces.of_file(shipped.file_of(shipped.REGULAR))
    left, _, right, top = face.ink(base.number)
    mark_left, bottom, mark_right, _ = face.ink(mark.number)

    assert mark.y + bottom >= top - 0.02
    assert (mark.x + mark_left + mark.x + mark_right) / 2 == pytest.approx(
        base.x + (left + right) / 2, abs=0.02
    )


def test_pieces_follow_each_other_without_gap():
    line = shaping.line("Soup אבג 12", fonts.REGULAR)
    shown = [piece.x for piece in line.pieces]
    plain = fonts.width_mm("Soup ", fonts.REGULAR, 1) / fonts.MM_PER_PT

    assert shown == sorted(shown)
    assert shown[1] == pytest.approx(plain)


def test_direction_marks_leave_no_trace():
    assert glyphs(bidi.RIGHT_MARK + "אב") == glyphs("אב")


def test_a_letter_that_shows_nothing_is_refused():
    """DejaVu has the blank Braille pattern: a glyph, but one without an outline."""
    with pytest.raises(runs.UncoveredError, match="BRAILLE PATTERN BLANK"):
        shaping.line("\u2800", fonts.REGULAR)


def test_a_latin_label_opens_no_font_beyond_the_shipped_ones():
    program = (
        "import sys\n"
        "from lidclock.labels import Label, draw_sheet, load_stock\n"
        "label = Label(name='Crème Φακές Борщ', code='4F7K2M0', uri='HTTP://X/4F7K2M0',"
        " headline_word='USE BY', headline='Tue 3 Nov 2026')\n"
        "draw_sheet([label], load_stock('roll-50x25'))\n"
        "print(sorted({'uharfbuzz', 'bidi'} & set(sys.modules)))\n"
        "import uharfbuzz\n"  # it is here, and can be had when it is needed
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )

    assert done.stdout.strip() == "[]"


def test_a_glyph_that_a_font_lacks_after_all_is_refused(monkeypatch):
    """Whatever a font promises: its empty box is never drawn."""
    monkeypatch.setattr(faces.Face, "covers", lambda *_: True)

    with pytest.raises(runs.UncoveredError, match=r"U\+8C5A"):
        shaping.line("豚", fonts.REGULAR)
