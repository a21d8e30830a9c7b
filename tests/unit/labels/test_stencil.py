"""Stencils: cut from one label, filled with another."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lidclock.labels import alike, arrange, load_stock, stencil
from lidclock.labels.attempts import every
from lidclock.labels.draft import Draft, NoRoomError, NoRoomForCodeError
from lidclock.labels.layout import load_layout

STOCKS = ("letter-3x10", "roll-50x25", "a4-3x8", "roll-89x41", "letter-2x5")


def cut(label, name: str) -> tuple[stencil.Stencil | None, stencil.Arrange]:
    """The stencil of the first attempt that succeeds, and that attempt."""
    stock = load_stock(name)
    layout = load_layout(stock.layout)
    cell = arrange.room(stock, layout, 203).cell
    marked = alike.marked(label, stencil.first_mark)
    for attempt in every(layout):

        def arranged(one, attempt=attempt):
            draft = Draft(one, cell, *attempt)
            return draft, arrange._attempt(draft)

        try:
            found = arranged(marked)
        except NoRoomError:
            continue
        return stencil.cut(marked, *found, arranged), arranged
    raise AssertionError("the label has no room")


def filled(made: stencil.Stencil, label):
    return made.filled(label, alike.parts(label))


@pytest.mark.parametrize("name", STOCKS)
def test_a_filled_stencil_is_the_label_arranged(case, name):
    made, arranged = cut(case, name)

    assert made is not None
    assert filled(made, case) == arranged(case)[1]


@pytest.mark.parametrize("code", ["B1C2D3B", "JJJJJJJ", "MMMMMMM", "4F7K2MB"])
@pytest.mark.parametrize("name", STOCKS)
def test_it_is_filled_with_other_figures_and_another_code(make, name, code):
    made, arranged = cut(make(), name)
    other = make(
        *(code,),
        headline="Tue 8 Nov 2031",
        lines=("made Sat 24 Oct 09:13 · 999 g · box 3 of 9",),
        handling="Keep at 4 °C or colder.",
    )
    figure = filled(made, other)

    assert figure == arranged(other)[1]
    assert "Tue 8 Nov 2031" in [text.text for text in figure.texts]


def test_per_cent_signs_are_words(make):
    label = make(name="Cream 35 % fat, 100%")
    made, arranged = cut(label, "letter-3x10")

    assert filled(made, label) == arranged(label)[1]


def test_a_code_too_wide_for_its_room_is_told_apart(make):
    made, _ = cut(make(), "letter-3x10")
    narrow = replace(made, room=replace(made.room, width=made.room.width / 3))

    with pytest.raises(NoRoomForCodeError):
        filled(narrow, make("WWWWWWW"))


def test_a_code_that_would_touch_something_is_told_apart(make):
    made, _ = cut(make(), "letter-3x10")
    name = next(box for box in made.figure.boxes if box.kind == "name")
    moved = replace(made.room, right=name.right, top=name.y, foot=name.bottom + 20)

    with pytest.raises(NoRoomForCodeError):
        filled(replace(made, room=moved), make())


def test_very_small_lids_have_no_stencil(make):
    """Where the code in type moves other things."""
    made, _ = cut(make(name="Tofu", lines=(), allergens=()), "roll-25x25")

    assert made is None


def test_a_label_with_too_many_figures_has_none(make):
    made, _ = cut(make(lines=("0123456789 " * 5,) * 2), "roll-102x152")

    assert made is None


def test_figures_set_together_with_another_script_have_none(crowded):
    """On a roll lines and handling run together; as a whole they are shaped."""
    label = replace(crowded, handling="מרק ירקות. מרק.")
    made, arranged = cut(label, "roll-54x25")
    texts = [text.text for text in arranged(label)[1].texts]

    assert any("14" in text and "מרק" in text for text in texts)
    assert made is None


def test_a_label_that_comes_out_otherwise_with_other_figures_has_none(make):
    label = make()
    _, arranged = cut(label, "letter-3x10")
    marked = alike.marked(label, stencil.first_mark)

    def unlike(one):
        """Puts everything elsewhere for any other label."""
        draft, figure = arranged(one)
        return draft, replace(figure, boxes=figure.boxes[::-1])

    assert stencil.cut(marked, *arranged(marked), arranged) is not None
    assert stencil.cut(marked, *arranged(marked), unlike) is None
