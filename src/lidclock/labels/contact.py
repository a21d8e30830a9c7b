"""`python -m lidclock.labels.contact FOLDER`: every kind of label on every stock.

One picture for each layout: a row for each of its stocks, a column for each kind, all
to one scale, so that a look tells what is cramped, cut or ugly.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from lidclock.errors import LabelError
from lidclock.labels import arrange_all, draw_figures, list_stock, load_stock
from lidclock.labels.examples import EXAMPLES
from lidclock.labels.preview import picture
from lidclock.labels.stock import Stock, single

if TYPE_CHECKING:
    from PIL.Image import Image

# Drawn for a 203 dpi head, shown at half its dots: four to the millimetre.
_DPI, _SHARE = 203, 2
_PX_PER_MM = 4
_GAP_PX, _HEAD_PX = 14, 22
_GREYS = 8


def write_all(folder: Path) -> Iterator[Path]:
    """Write a picture for each layout; the files, one after the other."""
    by_layout: defaultdict[str, list[Stock]] = defaultdict(list)
    for name in list_stock():
        stock = load_stock(name)
        by_layout[stock.layout].append(stock)
    for layout, stocks in sorted(by_layout.items()):
        path = folder / f"labels-{layout}.png"
        sheet(sorted(stocks, key=_size)).quantize(_GREYS).save(path, optimize=True)
        yield path


def _size(stock: Stock) -> tuple[float, float, str]:
    return stock.label_height_mm, stock.label_width_mm, stock.name


def sheet(stocks: list[Stock]) -> Image:
    """All kinds on these stocks, with the names of the kinds and of the stocks."""
    from PIL import Image, ImageDraw

    wide = max(round(stock.label_width_mm * _PX_PER_MM) for stock in stocks) + _GAP_PX
    tall = [round(stock.label_height_mm * _PX_PER_MM) + _HEAD_PX for stock in stocks]
    page = Image.new("L", (wide * len(EXAMPLES) + _GAP_PX, sum(tall) + _HEAD_PX), 225)
    pen = ImageDraw.Draw(page)
    for column, kind in enumerate(EXAMPLES):
        pen.text((_GAP_PX + column * wide, 4), kind, fill=0)
    top = _HEAD_PX
    for stock, height in zip(stocks, tall, strict=True):
        for column, kind in enumerate(EXAMPLES):
            at = (_GAP_PX + column * wide, top)
            pen.text(at, stock.name if column == 0 else "", fill=0)
            page.paste(_one(stock, kind), (at[0], at[1] + 14))
        top += height
    return page


def _one(stock: Stock, kind: str) -> Image:
    """One label, or a blank one with the words of the refusal."""
    from PIL import Image, ImageDraw

    size = (
        round(stock.label_width_mm * _PX_PER_MM),
        round(stock.label_height_mm * _PX_PER_MM),
    )
    try:
        figures = arrange_all([EXAMPLES[kind]], stock, dpi=_DPI)
    except LabelError as error:
        blank = Image.new("L", size, 255)
        words = str(error).split(": ", 1)[-1].split("; ")[0]
        ImageDraw.Draw(blank).text((4, 4), f"refused:\n{words}"[:60], fill=0)
        return blank
    return picture(draw_figures(figures, single(stock), dpi=_DPI), _DPI).resize(size)


if __name__ == "__main__":
    for written in write_all(Path(sys.argv[1])):
        print(written)
