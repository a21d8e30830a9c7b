"""Three renderers put every module of every symbol on exactly its dots.

PDFium (pypdfium2), Poppler (pdftoppm, in black and white and in grey) and Ghostscript
(black and white and grey, no anti-aliasing) rasterise finished sheets at a printer's
own pitch: 203.2 dots to the inch for heads sold as 203 dpi, 300 and 600. What they make
of each symbol and of a margin of two dots round it is compared with the dots that the
arranged label intends. Zero dots differ; where there is grey, ink is what is darker
than half.

For Ghostscript pages are rounded up to whole dots (US Letter is 2235.2 dots high at
203.2): it cuts the page to whole dots and counts from the bottom, so that everything
would be off by the rest.
"""

from __future__ import annotations

import math
import random
import shutil
import subprocess
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pypdfium2
import pypdfium2.raw as pdfium_c
import pytest
from PIL import Image

from lidclock.labels import Label, Ruler, Stock, load_stock
from lidclock.labels.draw import arrange_all, draw_figures
from lidclock.labels.figure import Figure, Symbol
from lidclock.labels.grid import grid

ALPHABET = "0123456789BCDEFGHJKMNPRSTVWX"
PITCHES = {203: 203.2, 300: 300.0, 600: 600.0}
# A sheet with thirty cells, of which most do not begin on a dot; a roll; round lids
# with a Data Matrix.
STOCKS = ("letter-3x10", "roll-50x25", "a4-round-40")
MARGIN = 2
HALF = 128
WHITE, BLACK = 255, 0


def labels(count: int, seed: int) -> list[Label]:
    dice = random.Random(seed)
    made = []
    for n in range(count):
        code = "".join(dice.choices(ALPHABET, k=7))
        made.append(
            Label(
                name="Soup",
                code=code,
                uri=f"HTTP://LIDCLOCK.LOCAL/C/{code}",
                headline_word="USE BY",
                headline="Tue 3 Nov 2026",
                lines=(f"box {n + 1} of {count}",),
                allergens=(),
                ruler=Ruler(date(2026, 10, 31), date(2026, 11, 3)),
            )
        )
    return made


def in_whole_dots(stock: Stock, dpi: int) -> Stock:
    dot = grid(dpi).mm
    width, height = (
        math.ceil(side / dot - 1e-6) * dot
        for side in (stock.page_width_mm, stock.page_height_mm)
    )
    return replace(stock, page_width_mm=width, page_height_mm=height)


def pdfium(pdf: Path, pitch: float) -> Image.Image:
    """At exactly that pitch: the usual call stretches a page until it is whole dots."""
    document = pypdfium2.PdfDocument(pdf)
    page = document[0]
    width, height = (math.ceil(side * pitch / 72 - 1e-3) for side in page.get_size())
    bitmap = pypdfium2.PdfBitmap.new_native(width, height, pdfium_c.FPDFBitmap_Gray)
    bitmap.fill_rect((255, 255, 255, 255), 0, 0, width, height)
    matrix = pdfium_c.FS_MATRIX(pitch / 72, 0, 0, pitch / 72, 0, 0)
    clip = pdfium_c.FS_RECTF(0, 0, width, height)
    pdfium_c.FPDF_RenderPageBitmapWithMatrix(bitmap, page, matrix, clip, 0)
    image = bitmap.to_pil().copy()
    document.close()
    return image


def poppler(*how: str) -> Callable[[Path, float], Image.Image]:
    def render(pdf: Path, pitch: float) -> Image.Image:
        _needs("pdftoppm", "poppler-utils")
        out = pdf.with_suffix("")
        command = ["pdftoppm", *how, "-rx", str(pitch), "-ry", str(pitch), "-l", "1"]
        subprocess.run([*command, "-singlefile", str(pdf), str(out)], check=True)
        (drawn,) = pdf.parent.glob(f"{out.name}.p[bg]m")
        return Image.open(drawn).convert("L")

    return render


def ghostscript(device: str) -> Callable[[Path, float], Image.Image]:
    def render(pdf: Path, pitch: float) -> Image.Image:
        _needs("gs", "ghostscript")
        drawn = pdf.with_suffix(".png")
        quietly = ["gs", "-q", "-dNOPAUSE", "-dBATCH", "-dSAFER", "-dLastPage=1"]
        how = [f"-sDEVICE={device}", f"-r{pitch}", f"-sOutputFile={drawn}", str(pdf)]
        subprocess.run([*quietly, *how], check=True)
        return Image.open(drawn).convert("L")

    return render


def _needs(tool: str, package: str) -> None:
    if shutil.which(tool) is None:
        pytest.skip(f"{tool} is not installed (Debian package {package})")


RENDERERS = {
    "pdfium": pdfium,
    "poppler-mono": poppler("-mono"),
    "poppler-grey": poppler("-gray"),
    "ghostscript-mono": ghostscript("pngmono"),
    "ghostscript-grey": ghostscript("pnggray"),
}


def intended(symbol: Symbol) -> Image.Image:
    """The symbol in dots, a margin round it."""
    wide, tall = symbol.module_dots, symbol.row_dots
    size = (
        len(symbol.modules[0]) * wide + 2 * MARGIN,
        len(symbol.modules) * tall + 2 * MARGIN,
    )
    image = Image.new("L", size, WHITE)
    for row, modules in enumerate(symbol.modules):
        for column, dark in enumerate(modules):
            if dark:
                x, y = MARGIN + column * wide, MARGIN + row * tall
                image.paste(BLACK, (x, y, x + wide, y + tall))
    return image


def differing(
    image: Image.Image, figure: Figure, cell: tuple[float, float], dot: float
) -> dict[str, int]:
    """For each symbol of a label, how many dots are not as intended."""
    found = {}
    for symbol in figure.symbols:
        left = round(cell[0] / dot) + round(symbol.x / dot) - MARGIN
        top = round(cell[1] / dot) + round(symbol.y / dot) - MARGIN
        wanted = intended(symbol)
        box = (left, top, left + wanted.width, top + wanted.height)
        got = image.crop(box).point(lambda grey: WHITE if grey >= HALF else BLACK)
        pairs = zip(wanted.tobytes(), got.tobytes(), strict=True)
        found[symbol.kind] = sum(one != other for one, other in pairs)
    return found


@pytest.mark.parametrize("renderer", RENDERERS)
@pytest.mark.parametrize("dpi", PITCHES)
@pytest.mark.parametrize("name", STOCKS)
def test_every_module_is_on_its_dots(name, dpi, renderer, tmp_path):
    stock = load_stock(name)
    if renderer.startswith("ghostscript"):
        stock = in_whole_dots(stock, dpi)
    dot, cells = grid(dpi).mm, stock.cells()
    figures = arrange_all(labels(len(cells), seed=dpi), stock, dpi=dpi)
    pdf = tmp_path / "sheet.pdf"
    pdf.write_bytes(draw_figures(figures, stock, dpi=dpi))
    image = RENDERERS[renderer](pdf, PITCHES[dpi])
    wrong = {
        (cell, kind): count
        for cell, figure in zip(cells, figures, strict=True)
        for kind, count in differing(image, figure, cell, dot).items()
        if count
    }

    kinds = {symbol.kind for figure in figures for symbol in figure.symbols}
    assert kinds == ({"data-matrix"} if "round" in name else {"qr", "code128"})
    assert wrong == {}


@pytest.mark.parametrize("dpi", PITCHES)
def test_the_sheets_cells_do_not_all_begin_on_a_dot(dpi):
    """Else the test above would not see whether origins are moved to the grid."""
    dot = grid(dpi).mm
    parts = [at / dot % 1 for cell in load_stock("letter-3x10").cells() for at in cell]

    assert any(0.01 < part < 0.99 for part in parts)
