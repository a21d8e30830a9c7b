"""The PDF: right page, right cell, same bytes, no ink outside the boxes."""

from __future__ import annotations

import re
from dataclasses import replace

import pypdfium2
import pytest

from lidclock.errors import LabelError
from lidclock.labels import ActionLabel, draw_actions, draw_sheet, load_stock, verify
from lidclock.labels.draw import arrange_all, draw_figures

MM_PER_PT = 25.4 / 72
INK = 160  # grey below this is ink; antialiased fringes of a touching edge are lighter


def pages(pdf: bytes, scale: float = 300 / 72) -> list:
    document = pypdfium2.PdfDocument(pdf)
    images = [page.render(scale=scale, grayscale=True).to_pil() for page in document]
    document.close()
    return images


def sizes_mm(pdf: bytes) -> list[tuple[float, float]]:
    document = pypdfium2.PdfDocument(pdf)
    found = [tuple(side * MM_PER_PT for side in page.get_size()) for page in document]
    document.close()
    return found


def ink(image) -> tuple[int, int, int, int] | None:
    return image.point(lambda grey: 255 if grey < INK else 0).getbbox()


def test_the_same_labels_give_the_same_bytes(every_case, stock):
    assert draw_sheet(every_case, stock) == draw_sheet(every_case, stock)


def test_the_file_carries_no_date(make):
    pdf = draw_sheet([make()], load_stock("roll-50x25"))

    assert re.findall(rb"D:(\d{4})", pdf) in ([], [b"2000", b"2000"])


def test_the_page_is_as_large_as_the_stock_says(make, stock):
    (size,) = sizes_mm(draw_sheet([make()], stock))

    assert size == pytest.approx((stock.page_width_mm, stock.page_height_mm), abs=0.01)


def test_a_roll_has_one_label_to_a_page(make):
    assert len(pages(draw_sheet([make()] * 3, load_stock("roll-50x25")), 1)) == 3


@pytest.mark.parametrize(("start", "expected"), [(1, 1), (21, 1), (22, 2), (30, 2)])
def test_labels_run_on_to_a_second_page_at_the_sheets_end(make, start, expected):
    pdf = draw_sheet([make()] * 10, load_stock("letter-3x10"), start)

    assert len(pages(pdf, 1)) == expected


def test_ink_stays_inside_the_start_cell(make):
    """Cell 5 of letter-3x10: second row, second column."""
    stock = load_stock("letter-3x10")
    (image,) = pages(draw_sheet([make()], stock, 5))
    x, y = stock.cells()[4]

    left, top, right, bottom = (edge / 300 * 25.4 for edge in ink(image))
    assert left > x
    assert top > y
    assert right < x + stock.label_width_mm
    assert bottom < y + stock.label_height_mm


def test_an_offset_moves_everything_right_and_down(make):
    stock = load_stock("letter-3x10")
    plain, moved = (
        ink(pages(draw_sheet([make()], stock, offset_mm=offset))[0])
        for offset in ((0.0, 0.0), (2.0, -1.0))
    )

    shift = [(b - a) / 300 * 25.4 for a, b in zip(plain, moved, strict=True)]
    assert shift == pytest.approx([2.0, -1.0, 2.0, -1.0], abs=0.15)


def test_no_ink_lies_outside_the_boxes(case, stock):
    """Boxes whited out one by one, a pixel (0.08 mm) wider, leave an empty page."""
    alone = replace(
        *(stock,),
        **{"page_width_mm": stock.label_width_mm, "across": 1, "down": 1},
        **{"page_height_mm": stock.label_height_mm, "left_mm": 0.0, "top_mm": 0.0},
    )
    (figure,) = arrange_all([case], alone)
    (image,) = pages(draw_sheet([case], alone))
    before = ink(image)
    for box in figure.boxes:
        edges = [at / 25.4 * 300 for at in (box.x, box.y, box.right, box.bottom)]
        left, top, right, bottom = (round(edge) for edge in edges)
        image.paste(255, (left - 1, top - 1, right + 1, bottom + 1))

    assert before is not None
    assert ink(image) is None


def test_bars_are_whole_dots_wide_on_paper(make):
    """At 203.2 dpi every bar and space of a 50 x 25 mm page is an even dot count.

    The page is 400 x 200 dots exactly, so the raster has no scale of its own (a hair
    less than 203.2, as the renderer rounds up to the next pixel).
    """
    stock = replace(
        load_stock("roll-50x25"),
        **{"page_width_mm": 50.0, "page_height_mm": 25.0},
        **{"label_width_mm": 50.0, "label_height_mm": 25.0},
    )
    (figure,) = arrange_all([make()], stock)
    (image,) = pages(draw_sheet([make()], stock), 203.199 / 72)
    symbol = next(one for one in figure.symbols if one.kind == "code128")
    x, y = round(symbol.x / 0.125), round(symbol.y / 0.125) + 20
    row = [image.getpixel((x + n, y)) < 128 for n in range(224)]

    dark = {
        first * 2 + n for first, length in symbol.rows[0] for n in range(length * 2)
    }
    assert image.size == (400, 200)
    assert row == [n in dark for n in range(224)]


def test_texts_are_data_not_drawing_commands(make):
    """Brackets, backslashes and operators in a name end up as letters."""
    name = r"Soup) Tj ET Q (\( %/JS"
    label = make(name=name)
    document = pypdfium2.PdfDocument(draw_sheet([label], load_stock("a4-3x8")))
    text = document[0].get_textpage().get_text_range()

    assert name in text


@pytest.mark.parametrize("dpi", [0, 72, 10000])
def test_a_resolution_no_label_printer_has_is_refused(make, dpi):
    with pytest.raises(LabelError, match="dpi"):
        draw_sheet([make()], load_stock("roll-50x25"), dpi=dpi)


def test_no_labels_make_no_sheet(stock):
    with pytest.raises(LabelError, match="no labels"):
        draw_sheet([], stock)


def test_a_start_cell_past_the_end_is_refused(make):
    with pytest.raises(LabelError, match="cells 1 to 24"):
        draw_sheet([make()], load_stock("a4-3x8"), 25)


ACTIONS = [
    ActionLabel(
        word, f"{word.upper()}-1", f"HTTP://LIDCLOCK.LOCAL/A/{word.upper()}", hint
    )
    for word, hint in (
        ("Freeze", "then scan what goes into the freezer"),
        ("Take", ""),
        ("Discard", "then scan what was thrown away, one after the other"),
    )
]


def test_action_codes_read_back(stock):
    assert verify(draw_actions(ACTIONS, stock), ACTIONS) == []


def test_an_action_code_too_wide_for_the_label_is_refused():
    action = ActionLabel(
        "Freeze", "FREEZE-EVERYTHING-12", "HTTP://LIDCLOCK.LOCAL/A/FREEZE"
    )
    with pytest.raises(LabelError, match="action Freeze does not fit"):
        draw_actions([action], load_stock("roll-50x25"))


def test_no_actions_make_no_sheet(stock):
    with pytest.raises(LabelError, match="no actions"):
        draw_actions([], stock)


def test_figures_arranged_before_are_drawn_as_the_labels_would_be(every_case):
    stock = load_stock("letter-3x10")
    figures = arrange_all(every_case, stock)

    assert draw_figures(figures, stock) == draw_sheet(every_case, stock)
