"""A page of stock as a drawing: every label, every number."""

from __future__ import annotations

import re
from dataclasses import replace

import pypdfium2
import pytest

from lidclock.labels import list_stock, load_stock
from lidclock.labels.plan import draw_plan
from lidclock.labels.preview import picture


def words_of(stock):
    document = pypdfium2.PdfDocument(draw_plan(stock))
    text = document[0].get_textpage().get_text_range()
    document.close()
    return text


@pytest.mark.parametrize("name", list_stock())
def test_every_label_is_numbered(name):
    stock = load_stock(name)
    numbers = set(map(int, re.findall(r"(?<![\d.])\d+(?![\d.])", words_of(stock))))

    assert set(range(1, stock.across * stock.down + 1)) <= numbers


@pytest.mark.parametrize(
    "words",
    [
        *("page 215.9, 3 across", "page 279.4, 10 down", "label 66.675", "label 25.4"),
        *("first 4.7625", "first 12.7", "pitch 69.85", "pitch 25.4"),
        "letter-3x10: US Letter sheet, 30 labels of 66.7 x 25.4 mm",
        "all lengths in millimetres, drawn at 93%",
    ],
)
def test_the_nine_numbers_stand_in_it_as_stock_add_calls_them(words):
    """260 mm on paper of 279.4 mm are 93 %."""
    assert words in words_of(load_stock("letter-3x10"))


def test_a_rolls_page_is_its_label():
    words = words_of(load_stock("roll-50x25"))

    assert "label 50.8" in words
    assert "page" not in words
    assert "pitch" not in words


def test_a_short_margin_has_its_words_beside_it():
    assert "first 0.5" in words_of(load_stock("a4-3x8-70"))


def test_a_label_is_drawn_where_it_lies():
    """At 508 dpi there are 20 pixels to the millimetre; the page begins at 22 mm.

    A page of 210 x 260 mm is drawn as large as it is: the first label's left edge lies
    at 22 + 8.1 mm, its right one 64.6 mm further on.
    """
    stock = replace(load_stock("a4-3x8"), page_height_mm=260.0, down=7)
    image = picture(draw_plan(stock), 508)
    level = round((22 + 13.3 + 8) * 20)
    dark = [x / 20 for x in range(image.width) if image.getpixel((x, level)) < 128]
    edges = [x for x in dark if 29 < x < 96]

    assert min(edges) == pytest.approx(22 + 8.1, abs=0.1)
    assert max(edges) == pytest.approx(22 + 8.1 + 64.6, abs=0.1)


def test_a_title_that_the_shipped_faces_cannot_show_is_left_out():
    words = words_of(replace(load_stock("a4-3x8"), title="ラベル"))

    assert "a4-3x8" in words
    assert "ラ" not in words
