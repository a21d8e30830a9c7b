"""Paragraphs with bold words: nothing lost, no weight lost, whatever the direction."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.labels import bidi, fonts
from lidclock.labels.retail_text import Paragraph, Run

LIST = (
    Run("Ingredients: ", bold=True),
    Run("leeks, "),
    Run("WHEAT", bold=True),
    Run(" flour, butter ("),
    Run("MILK", bold=True),
    Run("), salt."),
)


def lines_of(runs, width_mm, size_pt=8.0, way=None):
    """Each line as its parts from left to right, or None where it does not fit."""
    lines = Paragraph(tuple(runs), way).wrap(size_pt, lambda _: width_mm, width_mm)
    if lines is None:
        return None
    return [[(one.text, one.face == fonts.BOLD) for one in x.segments] for x in lines]


def joined(lines):
    return " ".join("".join(text for text, _ in line) for line in lines)


def test_one_wide_line_keeps_each_weight():
    assert lines_of(LIST, 200) == [
        [
            ("Ingredients: ", True),
            ("leeks, ", False),
            ("WHEAT", True),
            (" flour, butter (", False),
            ("MILK", True),
            ("), salt.", False),
        ]
    ]


def test_narrow_lines_lose_no_word_and_no_weight():
    lines = lines_of(LIST, 25)

    assert joined(lines) == "Ingredients: leeks, WHEAT flour, butter (MILK), salt."
    bold = [text for line in lines for text, is_bold in line if is_bold]
    assert [text.strip() for text in bold] == ["Ingredients:", "WHEAT", "MILK"]


def test_every_line_is_within_its_own_width():
    paragraph = Paragraph(LIST)
    widths = [40.0, 22.0]
    lines = paragraph.wrap(8.0, lambda n: widths[min(n, 1)], 40.0)

    assert len(lines) > 2
    assert lines[0].width * 8.0 > 22.0
    assert all(one.width * 8.0 <= widths[min(n, 1)] for n, one in enumerate(lines))


def test_segments_stand_behind_each_other():
    (line,) = Paragraph(LIST).wrap(1.0, lambda _: 500.0, 500.0)
    end = 0.0
    for one in line.segments:
        assert one.x == pytest.approx(end)
        end = one.x + fonts.width_mm(one.text, one.face, 1.0)

    assert line.width == pytest.approx(end)


def test_a_word_too_wide_for_any_line_does_not_fit():
    assert lines_of([Run("Donaudampfschifffahrt")], 10) is None


def test_a_number_stays_with_its_unit():
    """At 14 mm "or 5" would fit on a line, and "°C" on the next."""
    lines = lines_of([Run("at or below 5 °C always")], 14)

    assert ["5 °C" in "".join(t for t, _ in line) for line in lines].count(True) == 1


def test_chinese_is_parted_but_not_inside_what_is_bold():
    runs = [Run("香菇黑豆"), Run("小麦粉末", bold=True), Run("白砂糖")]
    for width in range(12, 60, 2):
        lines = lines_of(runs, width)
        bold = [text for line in lines for text, is_bold in line if is_bold]

        assert bold == ["小麦粉末"]
        assert (
            "".join(text for line in lines for text, _ in line)
            == "香菇黑豆小麦粉末白砂糖"
        )


def test_what_is_bold_and_too_wide_is_bold_on_both_lines():
    lines = lines_of([Run("小麦粉末" * 3, bold=True)], 12)

    assert len(lines) > 1
    assert all(is_bold for line in lines for _, is_bold in line)


ARABIC = (Run("ماء, "), Run("حليب", bold=True), Run(" كامل (x), ملح"))


def test_a_right_to_left_line_is_set_from_the_right():
    (line,) = lines_of(ARABIC, 200)
    bare = [text.strip("\u200e\u200f") for text, _ in line]

    assert bare[0].endswith("ملح")
    assert "ماء" in bare[-1]
    assert [b for t, b in line if "حليب" in t] == [True]
    assert sum("حليب" in text for text in bare) == 1


def test_a_part_that_alone_would_run_the_other_way_is_marked():
    lines = lines_of(ARABIC, 200)
    for text, _ in lines[0]:
        if "x" in text:
            assert bidi.base(text) == 0
        elif any(bidi.has_right_to_left(one) for one in text):
            assert bidi.base(text) == 1


def test_signs_between_right_to_left_words_run_their_way():
    """Alone ")," would be drawn as it is typed, and not mirrored."""
    runs = (Run("حليب", bold=True), Run("), ("), Run("ملح", bold=True))
    (line,) = lines_of(runs, 200)
    signs = line[1][0]

    assert signs.strip("\u200f") == "), ("
    assert bidi.base(signs) == 1


def test_a_heading_need_not_set_the_direction():
    runs = (Run("Ingredients: ", bold=True), Run("ماء, ملح"))
    (own,), (told,) = lines_of(runs, 200), lines_of(runs, 200, way=1)

    assert own[0][0].strip("\u200e\u200f ") == "Ingredients:"
    assert told[-1] == ("Ingredients", True)
    assert own[-1][0] != "Ingredients"


WORD = st.text("abWM-é(),.", min_size=1, max_size=9)
RUNS = st.lists(st.tuples(WORD, st.booleans()), min_size=1, max_size=25)


@given(RUNS, st.floats(10, 120), st.floats(5, 14))
def test_no_wrapping_changes_words_or_weights(words, width_mm, size_pt):
    runs = [Run(f"{' ' if n else ''}{w}", b) for n, (w, b) in enumerate(words)]
    lines = lines_of(runs, width_mm, size_pt)
    if lines is None:
        assert any(
            fonts.width_mm(word, fonts.BOLD, size_pt) > width_mm for word, _ in words
        )
        return

    set_lines = Paragraph(tuple(runs)).wrap(size_pt, lambda _: width_mm, width_mm)
    assert all(one.width * size_pt <= width_mm + 1e-3 for one in set_lines)
    shown = "".join(
        ("\n" if n else "") + text for n, line in enumerate(lines) for text, _ in line
    )
    assert shown.split() == "".join(run.text for run in runs).split()
    weights = [b for line in lines for t, b in line for one in t if not one.isspace()]
    assert weights == [b for w, b in words for _ in w]
