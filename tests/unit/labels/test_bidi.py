"""Reading direction: figures forward, quantities in one piece, doubt refused."""

# ruff: noqa: RUF001 - Arabic letters that look like Latin ones
from __future__ import annotations

import pytest

from lidclock.errors import LabelError
from lidclock.labels import bidi


def from_left(text: str) -> str:
    """The text as it stands on paper, from left to right."""
    return "".join(text[place] for place in bidi.visual(bidi.levels(text)))


def test_text_without_right_to_left_letters_stays_as_it_is():
    assert bidi.levels("Soup 12 (a)") == [0] * len("Soup 12 (a)")


@pytest.mark.parametrize(
    ("text", "on_paper"),
    [
        ("אבג", "גבא"),
        ("אב 12", "12 בא"),
        ("אב 12 גד 345", "345 דג 12 בא"),
        ("Soup אב 12", "Soup 12 בא"),
        ("אב (12)", ")12( בא"),
    ],
)
def test_letters_turn_round_and_figures_do_not(text, on_paper):
    """Worked out by the rules of the annex; brackets are mirrored when drawn."""
    assert from_left(text) == on_paper


@pytest.mark.parametrize(
    "quantity",
    [
        *("12 g", "1.25 kg", "5 °C", "-18 °C", "\u221218 °C", "3%", "2 × 240 g"),
        *("3 Nov 2026", "3 Nov 2026 17:40", "12-B7", "12-34", "12\u201334", "1250/12"),
    ],
)
@pytest.mark.parametrize("around", ["אב {} גד", "אב {}", "Soup אב {}", "حب {} دذ"])
def test_a_quantity_stays_in_one_piece_and_forward(quantity, around):
    assert quantity in from_left(around.format(quantity))


def test_two_numbers_with_only_space_between_are_two():
    """A list of numbers reads on from right to left like the words around it."""
    assert from_left("אב 12 34") == "34 12 בא"


def test_arabic_figures_read_forward_too():
    assert from_left("حب ١٢") == "١٢ بح"


@pytest.mark.parametrize(("text", "way"), [("Soup אב", 0), ("אב soup", 1), ("12", 0)])
def test_the_first_letter_tells_which_way_a_text_runs(text, way):
    assert bidi.base(text) == way


def test_a_mark_makes_a_line_run_the_other_way():
    assert from_left(bidi.RIGHT_MARK + "B7 אב")[:3] == "בא "


def test_joiners_do_not_move_anything():
    assert bidi.levels("می\u200cخواهم") == [1] * len("می\u200cخواهم")


def test_an_order_that_is_not_certain_is_refused(monkeypatch):
    monkeypatch.setattr("bidi.get_display", lambda text, **_: text)

    with pytest.raises(LabelError, match="order is not certain"):
        bidi.levels("אב 12")


@pytest.mark.parametrize(("one", "other"), [("(", ")"), ("]", "["), ("a", "a")])
def test_brackets_are_mirrored(one, other):
    assert bidi.mirrored(one) == other
