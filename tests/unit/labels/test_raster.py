"""Pages in dots: what is drawn in whole dots comes out in whole dots."""

from __future__ import annotations

from itertools import groupby

import pytest

from lidclock.app.printing import raster_of
from lidclock.labels import draw_sheet, list_stock, load_stock
from lidclock.labels.draw import arrange_all
from lidclock.labels.grid import grid
from lidclock.labels.layout import load_layout
from lidclock.labels.raster import pages_in_dots

WITH_BARS = [
    name for name in list_stock() if not load_layout(load_stock(name).layout).is_small
]


def bars_of(stock, label):
    """The row of pixels through the bars of the first label, and their module."""
    (figure,) = arrange_all([label], stock, dpi=stock.dpi)
    bars = next(one for one in figure.symbols if one.kind == "code128")
    mm = grid(stock.dpi).mm
    x, y = stock.cells()[0]
    (image,) = pages_in_dots(draw_sheet([label], stock, dpi=stock.dpi), stock.dpi)
    left, row = round(x / mm) + round(bars.x / mm), round((y + bars.y) / mm) + 12
    wide = max(first + length for first, length in bars.rows[0]) * bars.module_dots
    return [image.getpixel((left + n, row)) for n in range(wide)], bars


@pytest.mark.parametrize("name", WITH_BARS)
def test_every_bar_is_black_and_as_wide_as_it_was_drawn(name, make):
    """No grey dot in the symbol: a printer's threshold has nothing to decide."""
    pixels, bars = bars_of(load_stock(name), make())
    # Where two filled areas meet a renderer may be off by one step of 255.
    pixels = [0 if dot <= 1 else dot for dot in pixels]
    widths = [(dot, len(list(group))) for dot, group in groupby(pixels)]
    drawn = [length * bars.module_dots for _, length in bars.rows[0]]

    assert {dot for dot, _ in widths} == {0, 255}
    assert [width for dot, width in widths if dot == 0] == drawn


@pytest.mark.parametrize(
    ("name", "size"),
    [
        ("roll-25x25", (200, 200)),  # 25 mm at 8 dots to the millimetre
        ("roll-50x25", (406, 203)),  # 406.4 x 203.2: the last dot would be cut
        ("letter-3x10", (2550, 3300)),  # 8.5 x 11 in at 300
    ],
)
def test_a_page_has_as_many_dots_as_lie_on_it(name, size, make):
    stock = load_stock(name)
    (image,) = pages_in_dots(draw_sheet([make()], stock, dpi=stock.dpi), stock.dpi)

    assert image.size == size


def test_a_printer_that_knows_no_pdf_gets_the_same_dots(make):
    """PWG 5102.4: width and height stand at octets 372 and 376 of the page header."""
    stock = load_stock("roll-50x25")
    document = raster_of(draw_sheet([make()], stock), 203)
    header = document[4:]

    assert [int.from_bytes(header[at : at + 4], "big") for at in (372, 376)] == [
        *(406, 203)
    ]
