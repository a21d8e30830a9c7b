"""Figures do not change how a text is set: the premise, and what rests on it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lidclock.labels import alike, fit, fonts, headline

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


def test_lines_get_the_texts_own_figures_back():
    lines = ("made 00 Oct 00:00", "box 0 of 00")

    assert alike.filled(lines, "made 31 Oct 17:40 · box 9 of 14") == (
        "made 31 Oct 17:40",
        "box 9 of 14",
    )


def test_lines_that_were_cut_have_the_first_figures():
    assert alike.filled(("soup 0 …",), "soup 7 of 12") == ("soup 7 …",)


def test_a_text_is_fitted_once_for_all_its_figures():
    asked = []

    @alike.once_for_all_figures
    def whole(text: str, width: float) -> fit.Fitted:
        asked.append(text)
        return fit.Fitted((text,), fonts.BOLD, width)

    lines = [whole(f"{n} of 30", 7.0).lines for n in (1, 2, 9)]

    assert lines == [("1 of 30",), ("2 of 30",), ("9 of 30",)]
    assert asked == ["0 of 00"]


@pytest.mark.parametrize(
    ("text", "face", "room"),
    [
        ("made Sat 31 Oct 17:40 · 240 g · box 12 of 14", fonts.REGULAR, (24, 7, 5)),
        ("Slow-braised 7 shiitake 12 and 3 black-bean", fonts.BOLD, (30, 10, 8)),
        ("4444444444444444 11", fonts.BOLD, (20, 10, 5)),
    ],
)
@pytest.mark.parametrize("may_cut", [False, True])
def test_fitting_is_the_same_with_and_without_what_is_remembered(
    text, face, room, may_cut
):
    """`__wrapped__` is the function that the memory stands before."""
    width, _, least = room
    alone = fit.name.__wrapped__(text, face, *room, may_cut=may_cut)
    whole = fit.whole.__wrapped__(text, face, width, least, most_lines=4)

    assert fit.name(text, face, *room, may_cut=may_cut) == alone
    assert fit.whole(text, face, width, least, most_lines=4) == whole
    assert len(whole.lines) > 1


def test_a_headline_for_another_date_is_the_same_but_for_the_date():
    first, second = (
        headline.compose("USE BY", date, 50, (15, 11))
        for date in ("Tue 3 Nov 2026", "Tue 8 Nov 2031")
    )

    assert second.date.lines == ("Tue 8 Nov 2031",)
    assert replace(second, date=first.date) == first


def test_labels_are_of_a_kind_if_they_differ_in_figures_and_code(make):
    label = make()
    other = make(
        "B1C2D3B",
        headline="Tue 8 Nov 2026",
        lines=("made Sat 24 Oct 08:11 · 255 g · box 3 of 9",),
    )

    assert alike.kind(label) == alike.kind(other)


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
    assert alike.kind(make(**changes)) != alike.kind(make())
