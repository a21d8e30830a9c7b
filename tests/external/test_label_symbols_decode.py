"""Every drawn label is rasterised with PDFium and read with zxing-cpp and with zbar.

PDFium (pypdfium2) renders the finished PDF at the printer's resolution; zxing-cpp and
zbar, which share no code, decode it (Code 128: ISO/IEC 15417; QR: ISO/IEC 18004).

zbar reads no Data Matrix, and zxing-cpp, which reads them, makes ours. On very small
stock the printed modules are therefore also read one by one and by hand, as ISO/IEC
16022 has it (`matrix_reader`, checked with the standard's figures).
"""

from __future__ import annotations

import random
from datetime import date, timedelta

import pytest

from lidclock.labels import (
    Label,
    Ruler,
    arrange_all,
    codes,
    draw_figures,
    draw_sheet,
    list_stock,
    load_stock,
    read_back,
    verify,
)
from lidclock.labels.grid import grid
from lidclock.labels.layout import load_layout
from lidclock.labels.raster import pages_in_dots
from lidclock.labels.verify import faults, read_picture
from matrix_reader import data_matrix_text
from second_decoder import CODE128, QR, need_zbar, pages, zbar_reads

ALPHABET = "0123456789BCDEFGHJKMNPRSTVWX"
NAMES = (
    *("Tofu", "Pork dumplings", "Éclair à la vanille", "Żurek", "Борщ", "Jam"),
    "Slow-braised shiitake and black-bean filling with pickled mustard greens",
)
HEADS = (
    *(("USE BY", "Wed 30 Sep 2026", ""), ("NO DATE", "ask before use", "found")),
    *(("BEST BY", "Sat 14 Nov 2026", "house rule, no authority"),),
    *(("FROZEN", "Sat 31 Oct 2026", "1 of 6 days used"),),
)
STOCK = list_stock()
SMALL = [name for name in STOCK if load_layout(load_stock(name).layout).is_small]
HOSTS = ("LIDCLOCK.LOCAL", "192.168.178.23:8080", "K.LAN")


def varied(count: int, seed: int) -> list[Label]:
    """Labels of all sorts with codes from the whole alphabet, the same each time."""
    dice = random.Random(seed)
    first = date(2026, 9, 24)
    labels = []
    for n in range(count):
        code = "".join(dice.choice(ALPHABET) for _ in range(7))
        word, headline, note = HEADS[n % len(HEADS)]
        labels.append(
            Label(
                name=NAMES[n % len(NAMES)],
                code=code,
                uri=f"HTTP://{dice.choice(HOSTS)}/C/{code}",
                headline_word=word,
                headline=headline,
                headline_note=note,
                lines=(f"made Thu 24 Sep 17:40 · {dice.randint(50, 2000)} g",),
                handling="Keep at 5 °C or colder.",
                allergens=(None, (), ("soy",), ("milk", "eggs", "tree nuts"))[n % 4],
                ruler=Ruler(first, first + timedelta(days=dice.randint(0, 20))),
            )
        )
    return labels


@pytest.mark.parametrize(
    ("made_for", "read_at"), [(203, 203), (203, 300), (300, 300), (600, 600)]
)
@pytest.mark.parametrize("name", ["a4-3x8", "letter-3x10", "roll-50x25"])
def test_thirty_labels_read_exactly(name, read_at, made_for):
    labels = varied(30, seed=made_for)
    pdf = draw_sheet(labels, load_stock(name), dpi=made_for)

    assert verify(pdf, labels, read_at) == []


@pytest.fixture(
    scope="module",
    params=[(name, dpi) for name in STOCK for dpi in (203, 300, 600)],
    ids=lambda one: f"{one[0]}-{one[1]}",
)
def printed(request):
    """Two labels on a stock at a resolution, and their pages, drawn once for both."""
    name, dpi = request.param
    labels, stock = short_ones(dpi), load_stock(name)
    pdf = draw_sheet(labels, stock, dpi=dpi)
    return labels, stock, [*pages_in_dots(pdf, dpi)]


def test_labels_on_every_stock_read_exactly(printed):
    labels, stock, images = printed
    read = [one for image in images for one in read_picture(image)]

    assert faults(read, labels, stock=stock) == []


def short_ones(seed: int) -> list[Label]:
    """Two with short names: the smallest lids hold no more than they have room for."""
    return [one for one in varied(14, seed) if one.name in ("Tofu", "Jam")][:2]


def symbols_of(labels: list[Label]) -> list[tuple[str, str]]:
    """What zbar must find on those labels."""
    both = [((CODE128, label.code), (QR, label.uri)) for label in labels]
    return sorted(one for pair in both for one in pair)


def test_zbar_reads_labels_on_every_stock_exactly(printed):
    """And nothing at all where there is only a Data Matrix."""
    need_zbar()
    labels, stock, images = printed
    is_small = load_layout(stock.layout).is_small

    read = sorted(one for image in images for one in zbar_reads(image))

    assert read == ([] if is_small else symbols_of(labels))


@pytest.mark.parametrize("dpi", [203, 300, 600])
@pytest.mark.parametrize("name", ["a4-3x8", "letter-3x10", "roll-50x25"])
def test_zbar_reads_thirty_labels_exactly(name, dpi):
    """One label at a time, as a reader is held over one lid.

    On a page with thirty QR symbols zbar overlooks about one in a hundred, for it
    groups finder patterns of neighbours; it misreads none.
    """
    need_zbar()
    labels, stock = varied(30, seed=dpi), load_stock(name)
    images = pages(draw_sheet(labels, stock, dpi=dpi), dpi)
    cells = [(image, corner) for image in images for corner in stock.cells()]

    seen = [
        zbar_reads(cell_of(image, corner, stock, dpi))
        for _, (image, corner) in zip(labels, cells, strict=False)
    ]

    assert seen == [symbols_of([label]) for label in labels]


def cell_of(image, corner, stock, dpi):
    """One label out of the picture of its page."""
    edges = (
        *corner,
        corner[0] + stock.label_width_mm,
        corner[1] + stock.label_height_mm,
    )
    return image.crop([round(edge / grid(dpi).mm) for edge in edges])


@pytest.mark.parametrize("dpi", [203, 300, 600])
@pytest.mark.parametrize("name", SMALL)
def test_a_printed_data_matrix_is_read_by_hand(name, dpi):
    """The printed dots in the middle of every module, two quiet modules all round."""
    labels, stock = short_ones(dpi), load_stock(name)
    figures = arrange_all(labels, stock, dpi=dpi)
    images = list(pages(draw_figures(figures, stock, dpi=dpi), dpi))
    cells = [(image, cell) for image in images for cell in stock.cells()]
    for label, figure, (image, corner) in zip(labels, figures, cells, strict=False):
        (symbol,) = figure.symbols
        side = len(codes.data_matrix(label.code))

        printed = modules_in(image, symbol, corner, side, grid(dpi))

        inner = [row[2:-2] for row in printed[2:-2]]
        assert data_matrix_text(inner) == label.code
        quiet = sum(map(sum, printed)) - sum(map(sum, inner))
        assert quiet == 0


def modules_in(image, symbol, corner, count, dots):
    """The modules of a symbol and its quiet zone as the picture shows them, 1 dark."""
    at = [
        round((dots.nearest(corner[axis]) + place) / dots.mm)
        for axis, place in enumerate((symbol.x, symbol.y))
    ]
    size = symbol.module_dots
    return [
        [
            int(image.getpixel((at[0] + x * size, at[1] + y * size)) < 128)
            for x in (n + 0.5 for n in range(-2, count + 2))
        ]
        for y in (n + 0.5 for n in range(-2, count + 2))
    ]


@pytest.mark.parametrize(
    "code",
    ["9999999", "9900000", "99B99B9", "0000000", "0012345", "1B2222C", "BBBBBB1"],
)
def test_runs_of_figures_read_exactly(code):
    """Leading 99 and odd runs are where code-set switches go wrong."""
    label = varied(1, seed=1)[0]
    label = Label("Tofu", code, f"HTTP://K.LAN/C/{code}", "USE BY", label.headline)
    pdf = draw_sheet([label], load_stock("roll-50x25"))

    assert read_back(pdf) == [[("Code128", code), ("QRCode", label.uri)]]
