"""Pages of rulers, measured on the page: where ticks and bars lie, in dots."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby, pairwise

import pytest

from lidclock.labels import list_stock, load_stock
from lidclock.labels.calibrate import (
    MODULES,
    draw_calibration,
    explanation,
    measured_cells,
)
from lidclock.labels.preview import picture

# 20 pixels to the millimetre: fine enough to tell ticks of 0.12 mm.
FINE_DPI, PX_PER_MM = 508, 20


def runs(pixels):
    """(first, length) of every dark run in a row or column of pixels."""
    place, found = 0, []
    for is_dark, group in groupby(pixels, key=lambda grey: grey < 128):
        length = len(list(group))
        if is_dark:
            found.append((place, length))
        place += length
    return found


def middles_mm(pixels):
    return [(first + length / 2) / PX_PER_MM for first, length in runs(pixels)]


def row(image, y_mm):
    y = round(y_mm * PX_PER_MM)
    return [image.getpixel((x, y)) for x in range(image.width)]


def column(image, x_mm):
    x = round(x_mm * PX_PER_MM)
    return [image.getpixel((x, y)) for y in range(image.height)]


def text_of(pdf):
    """What stands on the first page."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    text = document[0].get_textpage().get_text_range()
    document.close()
    return text


@pytest.fixture(scope="module")
def sheet():
    stock = load_stock("letter-3x10")
    return stock, picture(draw_calibration(stock, dpi=300), FINE_DPI)


def test_ticks_lie_every_half_millimetre_across_a_labels_left_edge(sheet):
    """Cell 17 (row 5, column 1) begins at 4.7625 + 69.85 = 74.6125 mm."""
    stock, image = sheet
    x, y = stock.cells()[16]
    found = middles_mm(row(image, y + stock.label_height_mm / 2 + 0.5))
    near = [one - x for one in found if abs(one - x) < 5.2]

    # Within the half dot that corners are moved by: 25.4 / 300 / 2 = 0.04 mm.
    assert near == pytest.approx([n / 2 for n in range(-10, 11)], abs=0.08)


def test_ticks_lie_every_half_millimetre_across_a_labels_lower_edge(sheet):
    stock, image = sheet
    x, y = stock.cells()[29]
    edge = y + stock.label_height_mm
    found = middles_mm(column(image, x + stock.label_width_mm / 2 + 0.5))
    near = [one - edge for one in found if abs(one - edge) < 5.2]

    assert near == pytest.approx([n / 2 for n in range(-10, 11)], abs=0.08)


def test_whole_millimetres_are_longer_and_fifths_longest(sheet):
    """Half a millimetre below the line every tick is there, 1.5 mm below it half of
    them, 2.5 mm below it the outer two and the outline, which is 0.
    """
    stock, image = sheet
    x, y = stock.cells()[16]
    level = y + stock.label_height_mm / 2
    counts = [
        sum(abs(one - x) < 5.2 for one in middles_mm(row(image, level + below)))
        for below in (0.5, 1.5, 2.5)
    ]

    assert counts == [21, 11, 3]


def test_an_offset_moves_the_whole_page_by_whole_dots():
    """1 mm and 0.5 mm are eight dots and four of a 203 dpi head."""
    stock = load_stock("roll-89x36")
    still, moved = (
        picture(draw_calibration(stock, offset_mm=offset), 203)
        for offset in ((0.0, 0.0), (1.0, -0.5))
    )
    box = (0, 125, 44, 180)  # the ruler across the left edge, in dots

    there = (box[0] + 8, box[1] - 4, box[2] + 8, box[3] - 4)
    before, after = (
        [grey < 100 for grey in image.crop(part).tobytes()]
        for image, part in ((still, box), (moved, there))
    )

    assert after == before
    assert any(before)


@pytest.mark.parametrize("name", ["roll-50x25", "roll-25x25", "tape-62"])
def test_a_rolls_second_label_has_bars_of_whole_dots(name):
    stock = load_stock(name)
    image = picture(draw_calibration(stock, dpi=stock.dpi), stock.dpi, page=1)
    # 3 mm into the bars, which begin below their captions.
    y = round((2.0 + 2.2 + 0.5 + 3.0) / 25.4 * stock.dpi)
    pixels = [image.getpixel((x, y)) for x in range(image.width)]
    bars = runs(pixels)[: 5 * len(MODULES)]

    assert [length for _, length in bars] == [n for n in MODULES for _ in range(5)]
    gaps = [b[0] - a[0] - a[1] for a, b in pairwise(bars)]
    assert [gaps[5 * n : 5 * n + 4] for n in range(3)] == [[n] * 4 for n in MODULES]


def test_a_sheet_has_one_page_and_a_roll_two():
    import pypdfium2

    pages = []
    for name in ("a4-3x8", "roll-50x25"):
        document = pypdfium2.PdfDocument(draw_calibration(load_stock(name)))
        pages.append(len(document))
        document.close()

    assert pages == [1, 2]


@pytest.mark.parametrize("name", list_stock())
def test_there_are_rulers_for_every_stock(name):
    text = text_of(draw_calibration(load_stock(name)))

    # A roll's label cuts off what lies outside it: two of its four rulers say -4.
    rulers = 2 if name.startswith(("roll", "tape")) else 4 * 3
    assert text.count("−4") >= rulers - 2


@pytest.mark.parametrize(("across", "down"), [(1, 2), (2, 1), (1, 1), (3, 2)])
def test_there_are_rulers_for_sheets_of_very_few_labels(across, down):
    stock = replace(
        load_stock("a4-2x4"),
        across=across,
        down=down,
        label_width_mm=70.0,
        pitch_x_mm=70.0,
    )

    assert draw_calibration(stock).startswith(b"%PDF")
    assert measured_cells(stock)[-1] == across * down - 1


def test_the_page_says_what_to_read_and_what_to_type():
    words = explanation(load_stock("a4-3x8"), (1.5, -0.5), "My Bench")

    assert any("read the number on which the label's edge lies" in one for one in words)
    assert "lidclock label calibrate --printer 'My Bench' --right MM --down MM" in words
    assert "Moved by --right 1.5 --down -0.5 already: what you read is added." in words


@pytest.mark.parametrize("name", ["letter-3x10", "a4-2x4", "letter-2x3", "roll-89x36"])
def test_all_of_that_stands_on_the_page(name):
    stock = load_stock(name)
    text = text_of(draw_calibration(stock, offset_mm=(1.5, 0.0)))

    assert [
        one
        for one in explanation(stock, (1.5, 0.0))
        if "".join(one.split()) not in "".join(text.split())
    ] == []


def test_a_first_and_a_middle_and_a_last_label_are_measured():
    """Row 5 of 10, column 1 of 3: 3 x 5 + 1."""
    assert measured_cells(load_stock("letter-3x10")) == (0, 16, 29)
    assert measured_cells(load_stock("roll-50x25")) == (0,)


def test_names_that_the_shipped_faces_cannot_show_are_left_out():
    stock = replace(load_stock("a4-3x8"), title="ラベル")
    text = text_of(draw_calibration(stock, printer="プリンター"))

    assert "lidclock label calibrate --printer NAME" in text
    assert "■" not in text
