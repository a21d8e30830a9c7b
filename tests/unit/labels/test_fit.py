"""Fitting: shrink, wrap, abbreviate, in that order."""

from __future__ import annotations

import unicodedata

import pytest

from lidclock.labels import bidi, fit, fonts

LONG = "Slow-braised shiitake and black-bean filling with pickled mustard greens"


def width(text: str, size: float) -> float:
    return fonts.width_mm(text, fonts.BOLD, size)


def test_text_that_fits_keeps_its_preferred_size():
    assert fit.shrink("Soup", fonts.BOLD, 50, 10, 6).size_pt == 10


def test_text_shrinks_before_it_wraps():
    fitted = fit.name("Soup", fonts.BOLD, width("Soup", 9), 10, 6, may_cut=False)

    assert (len(fitted.lines), fitted.size_pt) == (1, 9)


def test_a_long_name_takes_two_lines():
    assert len(fit.name(LONG, fonts.BOLD, 50, 10, 6.5, may_cut=False).lines) == 2


def test_a_name_keeps_every_word_while_it_fits():
    lines = fit.name(LONG, fonts.BOLD, 50, 10, 6.5, may_cut=False).lines

    assert " ".join(lines) == LONG


def test_a_name_that_may_not_be_cut_does_not_fit():
    assert fit.name(LONG * 3, fonts.BOLD, 50, 10, 6.5, may_cut=False) is None


def test_a_cut_name_ends_in_an_ellipsis_and_says_so():
    fitted = fit.name(LONG, fonts.BOLD, 40, 10, 6.5, may_cut=True)

    assert (fitted.lines[-1][-1], fitted.shortened) == ("…", True)


def test_one_endless_word_is_cut_inside():
    fitted = fit.name("W" * 80, fonts.BOLD, 40, 10, 6.5, may_cut=True)

    assert fitted.width_mm() <= 40


@pytest.mark.parametrize("wide", [12, 15, 20, 30, 45])
def test_no_wrapped_line_is_wider_than_the_room(wide):
    lines = fit.wrap(LONG, fonts.BOLD, wide, 5) or []

    assert max((width(line, 5) for line in lines), default=0) <= wide


def test_a_word_wider_than_the_room_cannot_be_wrapped():
    assert fit.wrap("Wheat", fonts.BOLD, 2, 10) is None


def test_a_figure_stays_with_its_unit():
    text = "Keep at 5 °C always with 240 g of ice"
    lines = [fit.wrap(text, fonts.REGULAR, mm / 2, 6) for mm in range(24, 90)]

    joined = [" / ".join(one) for one in lines if one]
    assert all("5 °C" in one and "240 g" in one for one in joined)


def test_parts_set_apart_by_dots_break_at_the_dots():
    text = "made Sat 31 Oct 17:40 · 240 g · box 1 of 4"
    room = fonts.width_mm("made Sat 31 Oct 17:40 · 240 g", fonts.REGULAR, 6)

    assert fit.wrap(text, fonts.REGULAR, room, 6) == [
        "made Sat 31 Oct 17:40 · 240 g",
        "box 1 of 4",
    ]


def test_every_line_of_a_text_runs_its_way():
    """The second line begins with a Latin code, yet belongs to Hebrew text."""
    lines = fit.wrap("מרק ירקות B12 של הבוקר", fonts.BOLD, 22, 10)

    assert [bidi.base(line) for line in lines] == [1] * len(lines)
    assert any(line.startswith(bidi.RIGHT_MARK + "B12") for line in lines)


def test_marks_of_direction_take_no_room():
    assert width(bidi.RIGHT_MARK + "B12", 9) == pytest.approx(width("B12", 9))


def test_a_cut_word_keeps_its_letters_whole():
    """No letter loses the vowel points that belong to it."""
    word = "חָלָבִיקָלָמָרָה"
    start = fit.cut(word, fonts.BOLD, 12, 10).lines[0].removesuffix("…")

    assert word.startswith(start)
    assert unicodedata.category(word[len(start)]) == "Lo"
