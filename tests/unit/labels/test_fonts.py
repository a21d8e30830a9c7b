"""Fonts: every character is shown as itself, or the label is refused."""

from __future__ import annotations

import pytest

from lidclock.errors import LabelError
from lidclock.labels import fonts


@pytest.mark.parametrize(
    "text", ["Crème brûlée · 5 °C …", "żurek, čevapi", "Φακές", "Борщ ½", "phở"]
)
def test_latin_greek_and_cyrillic_are_covered(text):
    assert fonts.missing(text) == ()


def test_missing_characters_are_named_once_in_order():
    assert fonts.missing("豚 soup 豚汁") == ("豚", "汁")


@pytest.mark.parametrize(
    ("text", "named"),
    [("豚汁", r"'豚' \(U\+8C5A\)"), ("กะทิ", r"U\+0E01"), ("soup 🍜", r"U\+1F35C")],
)
def test_an_uncovered_character_is_refused_by_name(text, named):
    with pytest.raises(LabelError, match=named):
        fonts.check(text)


@pytest.mark.parametrize("text", ["חלב 12", "حليب 12", "soup ٣"])
def test_right_to_left_text_is_refused_and_says_why(text):
    with pytest.raises(LabelError, match="right to left"):
        fonts.check(text)


def test_a_combining_mark_that_cannot_be_placed_is_refused():
    with pytest.raises(LabelError, match=r"combining mark U\+0301"):
        fonts.check("k\u0301")


def test_accented_capitals_get_more_room():
    assert fonts.ascent("Éclair") > fonts.ascent("Eclair")
