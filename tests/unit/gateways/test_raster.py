"""PWG raster, read back by libcups and taken by a printer that knows nothing else."""

from __future__ import annotations

import ctypes
import ctypes.util
import os
import struct
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidclock.app import printing
from lidclock.gateways.printers import print_to
from lidclock.gateways.raster import GreyPage, pwg_raster
from unit.gateways.conftest import CODES, QUICK
from unit.gateways.real_printers import real_printer

_READ, _HEADER, _SGREY = 0, 1796, 18


@pytest.fixture(scope="module")
def cups():
    """The library behind CUPS, which reads raster in its own way."""
    name = ctypes.util.find_library("cups")
    if name is None:
        pytest.skip("libcups is absent: apt-get install cups-ipp-utils")
    library = ctypes.CDLL(name)
    library.cupsRasterOpen.restype = ctypes.c_void_p
    library.cupsRasterOpen.argtypes = [ctypes.c_int, ctypes.c_int]
    library.cupsRasterReadHeader2.argtypes = [ctypes.c_void_p, ctypes.c_char_p]
    library.cupsRasterReadPixels.argtypes = [
        *(ctypes.c_void_p, ctypes.c_char_p, ctypes.c_uint)
    ]
    library.cupsRasterClose.argtypes = [ctypes.c_void_p]
    return library


def pages_by(cups, document, path):
    """Each page as libcups reads it: its numbers, and its pixels."""
    path.write_bytes(document)
    file = os.open(path, os.O_RDONLY)
    raster = cups.cupsRasterOpen(file, _READ)
    header = ctypes.create_string_buffer(_HEADER)
    pages = []
    while cups.cupsRasterReadHeader2(raster, header):
        numbers = {
            name: struct.unpack_from("=I", header.raw, at)[0]
            for name, at in (
                *(("dpi", 276), ("width", 372), ("height", 376), ("bits", 388)),
                *(("line", 392), ("colour", 400), ("pages", 452), ("points", 352)),
            )
        }
        size = numbers["line"] * numbers["height"]
        pixels = ctypes.create_string_buffer(size)
        assert cups.cupsRasterReadPixels(raster, pixels, size) == size
        pages.append((numbers, pixels.raw))
    cups.cupsRasterClose(raster)
    os.close(file)
    return pages


def codes_on(width, height, pixels):
    import zxingcpp
    from PIL import Image

    image = Image.frombytes("L", (width, height), pixels)
    return sorted({one.text for one in zxingcpp.read_barcodes(image)})


def test_labels_as_raster_are_read_by_libcups(cups, job_on, tmp_path):
    job = job_on("roll-50x25")
    document = printing.raster_of(job.pdf, 300)
    pages = pages_by(cups, document, tmp_path / "labels.pwg")
    first = pages[0][0]

    assert [codes_on(one["width"], one["height"], pixels) for one, pixels in pages] == [
        sorted([code, f"HTTP://LIDCLOCK.LOCAL/C/{code}"]) for code in CODES
    ]
    assert (first["dpi"], first["bits"], first["colour"]) == (300, 8, _SGREY)
    assert (first["width"], first["height"]) == (600, 300)  # 2 x 1 in at 300 dpi
    assert (first["points"], first["pages"]) == (144, 3)  # 2 in are 144 points


@settings(max_examples=100)
@given(
    width=st.integers(1, 300),
    rows=st.lists(st.binary(min_size=1, max_size=6), min_size=1, max_size=4),
    times=st.integers(1, 300),
)
def test_any_pixels_come_back(cups, tmp_path_factory, width, rows, times):
    """Long and short runs, equal rows and lone pixels: libcups gives what went in."""
    lines = [(row * width)[:width] for row in rows] * times
    page = GreyPage(width, len(lines), 300, b"".join(lines))
    path = tmp_path_factory.getbasetemp() / "pixels.pwg"
    found = pages_by(cups, pwg_raster([page]), path)

    assert [pixels for _, pixels in found] == [page.pixels]


def test_pixels_that_make_no_page_are_a_mistake_of_ours():
    with pytest.raises(ValueError, match="5 pixels make no 2 x 3 page"):
        GreyPage(2, 3, 300, b"12345")


def test_a_printer_of_raster_only_prints_the_labels(cups, bus, job_on, tmp_path):
    job = replace(job_on("letter-3x10"), raster=printing.raster_of)
    with real_printer(bus, "-f", "image/pwg-raster") as printer:
        report = print_to("Bench", printer.address, job, QUICK)
        document = printer.arrived(report.job_id)
    [(numbers, pixels)] = pages_by(cups, document, tmp_path / "sheet.pwg")
    both = [
        text for code in CODES for text in (code, f"HTTP://LIDCLOCK.LOCAL/C/{code}")
    ]

    assert report.is_printed
    assert codes_on(numbers["width"], numbers["height"], pixels) == sorted(both)


def test_turned_pages_lie_across_and_still_read(job_on):
    import pypdfium2

    turned = pypdfium2.PdfDocument(printing.turned_pages(job_on("roll-50x25").pdf))
    sizes = [turned.get_page_size(number) for number in range(len(turned))]
    image = turned[0].render(scale=300 / 72, grayscale=True).to_pil()
    turned.close()

    assert [tuple(map(round, size)) for size in sizes] == [(72, 144)] * 3
    assert codes_on(*image.size, image.tobytes())[0] == CODES[0]
