"""A page of stock in characters: to scale, with every label."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.labels import Stock, list_stock, load_stock
from lidclock.labels.sketch import in_characters

UPPER_LEFT, LOWER_RIGHT = "┌├┬┼╭", "┘┤┴┼╯"


@st.composite
def stocks(draw):
    """Any sheet whose labels lie beside each other on the page."""
    across, down = draw(st.integers(1, 12)), draw(st.integers(1, 12))
    wide, tall = draw(st.floats(5, 120)), draw(st.floats(5, 120))
    gap_x, gap_y = draw(st.floats(0, 8)), draw(st.floats(0, 8))
    left, top = draw(st.floats(0, 30)), draw(st.floats(0, 30))
    return replace(
        load_stock("a4-3x8"),
        **{"across": across, "down": down, "label_width_mm": wide},
        **{"label_height_mm": tall, "left_mm": left, "top_mm": top},
        **{"pitch_x_mm": wide + gap_x, "pitch_y_mm": tall + gap_y},
        page_width_mm=left + across * (wide + gap_x) + draw(st.floats(0, 30)),
        page_height_mm=top + down * (tall + gap_y) + draw(st.floats(0, 30)),
    )


def drawn(stock: Stock) -> list[str]:
    return list(in_characters(stock))


@pytest.mark.parametrize("name", list_stock())
def test_every_label_of_a_shipped_stock_is_there(name):
    """Counted by their upper left corners."""
    stock = load_stock(name)
    text = "".join(drawn(stock))

    # Where the last column and the foot touch others, corners of both are the same.
    assert sum(text.count(sign) for sign in UPPER_LEFT) >= stock.across * stock.down
    assert str(stock.across * stock.down) in text


@pytest.mark.parametrize("name", list_stock())
def test_all_rows_of_a_shipped_stock_look_alike(name):
    stock = load_stock(name)
    tops = [
        number
        for number, line in enumerate(drawn(stock))
        if any(sign in line for sign in "┌├╭")
    ]
    steps = {b - a for a, b in pairwise(tops)}

    assert len(steps) <= 1 or stock.across * stock.down == 1


@pytest.mark.parametrize("name", list_stock())
def test_it_fits_on_a_screen(name):
    lines = drawn(load_stock(name))

    assert max(map(len, lines)) <= 75
    assert len(lines) <= 46


def test_a_sheet_is_drawn_to_scale():
    """69.85 mm to the next label across, 25.4 mm down: 19 columns are 69.85 mm, so a
    row, 2.1 times as high as a column is wide, is 7.7 mm, and 3.3 rows 25.4 mm.
    """
    lines = drawn(load_stock("letter-3x10"))
    first = next(line for line in lines if "┌" in line)
    tops = [number for number, line in enumerate(lines) if "├" in line or "┌" in line]

    assert [n for n, sign in enumerate(first) if sign == "┌"] == [1, 20, 39]
    assert {b - a for a, b in pairwise(tops)} == {3}


def test_the_first_and_the_last_label_are_numbered():
    lines = drawn(load_stock("a4-3x8"))
    numbered = [
        (n, line) for n, line in enumerate(lines) if any(map(str.isdigit, line))
    ]

    assert [line.replace("║", "").replace("│", "").split() for _, line in numbered] == [
        ["1"],
        ["24"],
    ]
    assert numbered[0][0] < 6 < 38 < numbered[1][0]


def test_round_labels_have_round_corners():
    text = "".join(drawn(load_stock("a4-round-40")))

    assert text.count("╭") == text.count("╯") == 24


@given(stocks())
def test_any_stock_can_be_drawn(stock):
    lines = drawn(stock)

    assert lines[0][0] in "╔┌·"
    assert any("1" in line for line in lines)
