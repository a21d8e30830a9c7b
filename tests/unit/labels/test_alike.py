"""Figures do not change how a text is set: the premise, and what rests on it."""

from __future__ import annotations

import pytest

from lidclock.labels import alike, fonts

FIGURES = "0123456789"


@pytest.mark.parametrize("face", [fonts.REGULAR, fonts.BOLD])
def test_all_figures_are_equally_wide(face):
    assert len({fonts.width_mm(one, face, 10) for one in FIGURES}) == 1


def test_all_figures_reach_equally_far():
    reaches = {
        (fonts.ascent(one), fonts.descent(one), fonts.overhang(one)) for one in FIGURES
    }

    assert len(reaches) == 1


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("made Sat 31 Oct 17:40 · 240 g", "made Sat 00 Oct 00:00 · 000 g"),
        ("no figures", "no figures"),
        ("", ""),
        ("x² 1½", "x² 0½"),
    ],
)
def test_a_pattern_has_noughts_for_figures(text, expected):
    assert alike.pattern(text) == expected


@pytest.mark.parametrize("text", ["מרק 12", "٣٤ ١٢", "กุ้ง 5", "鶏 3"])
def test_shaped_text_is_its_own_pattern(text):
    assert alike.pattern(text) == text


def test_a_labels_parts_are_all_it_says_in_order(make):
    label = make(name="Soup 2", headline_note="1 of 6 days", allergens=("soy", "wheat"))

    assert alike.parts(label) == [
        *("Soup 2", "USE BY", "Tue 3 Nov 2026", "1 of 6 days", 1, label.lines[0]),
        *(label.handling, 2, "soy", "wheat", 0, label.ruler),
    ]


def test_marks_stand_for_the_figures_of_plain_texts(make):
    """Places are counted over all texts; shaped ones keep their figures."""
    label = make(name="Soup 2", headline_note="מרק 12", lines=("17:40",), handling="")
    marked = alike.marked(label, lambda place: str(9 - place))

    assert (marked.name, marked.headline) == ("Soup 9", "Tue 8 Nov 7654")
    assert (marked.headline_note, marked.lines) == ("מרק 12", ("32:10",))
    assert (marked.code, marked.ruler) == (label.code, label.ruler)
    assert label.name == "Soup 2"


def test_figures_come_in_order():
    assert alike.figures(["Soup 2", "Tue 3 Nov 2026"]) == list("232026")


def test_labels_are_of_a_kind_if_they_differ_in_figures_and_code(make):
    label = make()
    other = make(
        "B1C2D3B",
        headline="Tue 8 Nov 2026",
        lines=("made Sat 24 Oct 08:11 · 255 g · box 3 of 9",),
    )

    assert alike.kind(alike.parts(label)) == alike.kind(alike.parts(other))


@pytest.mark.parametrize(
    "changes",
    [
        {"name": "Braised filling 2"},
        {"headline": "Tue 13 Nov 2026"},
        {"lines": ("made Sat 31 Oct 17:40", "240 g · box 1 of 4")},
        {"lines": ()},
        {"allergens": None},
        {"allergens": ()},
        {"allergens": ("soy",), "known_allergens": ("wheat",)},
        {"ruler": None},
    ],
)
def test_labels_that_say_more_or_less_are_not(make, changes):
    one, other = (alike.kind(alike.parts(it)) for it in (make(**changes), make()))

    assert one != other
