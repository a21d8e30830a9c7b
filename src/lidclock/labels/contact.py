"""`python -m lidclock.labels.contact FOLDER`: every kind of label on every stock.

One picture or more for each layout: a row for each of its stocks, a column for each
kind, all to one scale, so that a look tells what is cramped, cut or ugly.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from lidclock.errors import LabelError
from lidclock.labels import arrange_all, draw_figures, list_stock, load_stock, shipped
from lidclock.labels.examples import EXAMPLES
from lidclock.labels.preview import picture
from lidclock.labels.stock import Stock, single

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageFont import FreeTypeFont

_PX_PER_MM = 4
_GAP_PX, _CAPTION_PX, _TYPE_PX = 14, 18, 12
# So many pixels of labels come to about 400 kB.
_MOST_PX = 6_000_000
_PAPER, _GROUND, _GREYS = 255, 225, 5


def write_all(folder: Path) -> Iterator[Path]:
    """Write the pictures of each layout; the files, one after the other.

    Files of the same names from before are taken away first: there may be fewer now.
    """
    for layout, stocks in sorted(_by_layout().items()):
        for old in (f"labels-{layout}.png", f"labels-{layout}-[0-9].png"):
            for path in folder.glob(old):
                path.unlink()
        parts = list(_parts(sorted(stocks, key=_size)))
        for number, part in enumerate(parts, start=1):
            stem = f"labels-{layout}" + (f"-{number}" if len(parts) > 1 else "")
            path = folder / f"{stem}.png"
            sheet(part).quantize(_GREYS).save(path, optimize=True)
            yield path


def _by_layout() -> dict[str, list[Stock]]:
    found: defaultdict[str, list[Stock]] = defaultdict(list)
    for stock in map(load_stock, list_stock()):
        found[stock.layout].append(stock)
    return found


def _size(stock: Stock) -> tuple[float, float, str]:
    return stock.label_height_mm, stock.label_width_mm, stock.name


def _px(stock: Stock) -> tuple[int, int]:
    return (
        round(stock.label_width_mm * _PX_PER_MM),
        round(stock.label_height_mm * _PX_PER_MM),
    )


def _parts(stocks: Sequence[Stock]) -> Iterator[list[Stock]]:
    """The stocks, in order, in as many parts as keep each picture small."""
    part: list[Stock] = []
    filled = 0
    for stock in stocks:
        wide, tall = _px(stock)
        area = wide * tall * len(EXAMPLES)
        if part and filled + area > _MOST_PX:
            yield part
            part, filled = [], 0
        part.append(stock)
        filled += area
    yield part


def sheet(stocks: Sequence[Stock]) -> Image:
    """All kinds on these stocks, the name of stock and kind under each label."""
    from PIL import Image, ImageDraw

    wide = max(_px(stock)[0] for stock in stocks) + _GAP_PX
    tall = [_px(stock)[1] + _CAPTION_PX + _GAP_PX for stock in stocks]
    size = (wide * len(EXAMPLES) + _GAP_PX, sum(tall) + _GAP_PX)
    page = Image.new("L", size, _GROUND)
    pen = ImageDraw.Draw(page)
    top = _GAP_PX
    for stock, height in zip(stocks, tall, strict=True):
        for column, kind in enumerate(EXAMPLES):
            left = _GAP_PX + column * wide
            page.paste(_one(stock, kind), (left, top), _shape(stock))
            below = (left, top + _px(stock)[1] + 2)
            pen.text(below, f"{stock.name}, {kind}", fill=0, font=_face())
        top += height
    return page


def _shape(stock: Stock) -> Image:
    """Where a label covers the ground: everywhere, or in its circle."""
    from PIL import Image, ImageDraw

    wide, tall = _px(stock)
    if stock.shape != "round":
        return Image.new("L", (wide, tall), 255)
    mask = Image.new("L", (wide, tall), 0)
    ImageDraw.Draw(mask).ellipse((0, 0, wide - 1, tall - 1), fill=255)
    return mask


def _one(stock: Stock, kind: str) -> Image:
    """One label, or a blank one with the words of the refusal."""
    try:
        figures = arrange_all([EXAMPLES[kind]], stock, dpi=stock.dpi)
    except LabelError as error:
        return _refusal(stock, str(error))
    pdf = draw_figures(figures, single(stock), dpi=stock.dpi)
    return picture(pdf, stock.dpi).resize(_px(stock))


def _refusal(stock: Stock, words: str) -> Image:
    from PIL import Image, ImageDraw

    blank = Image.new("L", _px(stock), _PAPER)
    pen = ImageDraw.Draw(blank)
    lines, room = ["refused:"], blank.width - 8
    for word in words.split(": ", 1)[-1].split("; ", maxsplit=1)[0].split():
        if pen.textlength(f"{lines[-1]} {word}", font=_face()) > room:
            lines.append(word)
        else:
            lines[-1] += f" {word}"
    pen.multiline_text((4, 4), "\n".join(lines), fill=0, font=_face())
    return blank


@cache
def _face() -> FreeTypeFont:
    from PIL import ImageFont

    return ImageFont.truetype(shipped.file_of(shipped.REGULAR), _TYPE_PX)


if __name__ == "__main__":
    for written in write_all(Path(sys.argv[1])):
        print(written)
