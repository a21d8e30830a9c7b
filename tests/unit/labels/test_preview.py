"""The dots a head burns, and the picture of them in characters."""

from __future__ import annotations

import unicodedata

import pytest
from PIL import Image

from lidclock.labels import draw_figures, list_stock, load_stock
from lidclock.labels.draw import arrange_all
from lidclock.labels.preview import in_characters, printed_dots
from lidclock.labels.stock import single
from lidclock.labels.verify import faults, read_picture

SIDES = ("UPPER LEFT", "UPPER RIGHT", "LOWER LEFT", "LOWER RIGHT")
OTHERS = {
    "SPACE": [False] * 4,
    "FULL BLOCK": [True] * 4,
    "LEFT HALF BLOCK": [True, False, True, False],
    "RIGHT HALF BLOCK": [False, True, False, True],
    "UPPER HALF BLOCK": [True, True, False, False],
    "LOWER HALF BLOCK": [False, False, True, True],
}


@pytest.mark.parametrize("name", list_stock())
def test_what_a_head_burns_is_read_on_every_stock(name, make):
    stock = load_stock(name)
    figures = arrange_all([make()], stock, dpi=stock.dpi)
    dots = printed_dots(draw_figures(figures, single(stock), dpi=stock.dpi), stock.dpi)

    assert set(dots.tobytes()) == {0, 255}
    assert faults(read_picture(dots), [make()], stock=stock) == []


def test_a_missing_and_a_foreign_symbol_are_told_apart(make):
    read = [("Code128", "4F7K2M0"), ("QRCode", "HTTP://ELSEWHERE")]

    assert faults(read, [make()]) == [
        "QRCode HTTP://LIDCLOCK.LOCAL/C/4F7K2M0 was not read",
        "QRCode HTTP://ELSEWHERE is on no label",
    ]


def quarters(*dark: bool) -> Image.Image:
    """A picture of four squares, row by row; true is ink."""
    image = Image.new("L", (80, 160), 255)
    for n, is_dark in enumerate(dark):
        if is_dark:
            image.paste(
                0, (40 * (n % 2), 80 * (n // 2), 40 + 40 * (n % 2), 80 * (n // 2) + 80)
            )
    return image


def test_a_picture_keeps_its_shape():
    """18 columns of half the height of a line: 80 x 160 are 18 x 18 characters."""
    lines = in_characters(quarters(True, False, False, True), 20)

    assert len(lines) == 18 + 2
    assert {len(line) for line in lines} == {20}


def test_upper_left_is_upper_left():
    lines = in_characters(quarters(True, False, False, True), 20)

    assert lines[3] == "│█████████         │"
    assert lines[-4] == "│         █████████│"


@pytest.mark.parametrize("number", range(16))
def test_each_quarter_of_a_character_is_where_its_dot_is(number):
    """36 dots across and 72 down are 18 x 18 characters of two dots by four.

    The Unicode names of the signs tell their quarters; the halves have other names.
    """
    quarters = [bool(number >> n & 1) for n in range(4)]
    image = Image.new("L", (36, 72), 255)
    for x in range(36):
        for y in range(36):
            if quarters[x % 2 + 2 * (y % 2)]:
                image.paste(0, (x, 2 * y, x + 1, 2 * y + 2))
    (sign,) = {*"".join(in_characters(image, 20)[1:-1]).replace("│", "")}
    name = unicodedata.name(sign)

    assert quarters == OTHERS.get(name) or quarters == [
        f"{side} " in f"{name} " for side in SIDES
    ]


@pytest.mark.parametrize(("dark", "sign"), [(True, "█"), (False, " ")])
def test_ink_is_a_block_and_paper_a_blank(dark, sign):
    lines = in_characters(quarters(*[dark] * 4), 20)

    assert {*"".join(lines[1:-1]).replace("│", "")} == {sign}


def test_a_round_label_shows_its_edge_and_only_there():
    paper = Image.new("L", (200, 200), 255)
    lines = in_characters(paper, 42, is_round=True)

    assert lines[10].strip("│").strip() != ""
    assert lines[10].strip("│")[15:25].strip() == ""
    assert set(paper.tobytes()) == {255}
