"""Looking at a label before it is printed: dots as the printer sets them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from typing import TYPE_CHECKING

from lidclock.labels.raster import pages_in_dots

if TYPE_CHECKING:
    from PIL.Image import Image

# Darker than this is ink on the screen; thin strokes are grey once they are scaled.
_INK = 150
# Four dots to a character: upper left, upper right, lower left, lower right.
_QUADRANTS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
LEAST_COLUMNS = 20


def picture(pdf: bytes, dpi: int, page: int = 0) -> Image:
    """A page in grey, one pixel a printer dot."""
    return next(islice(pages_in_dots(pdf, dpi), page, None))


def in_characters(image: Image, columns: int) -> Iterator[str]:
    """The picture for a terminal, so many characters wide, line by line.

    A character is taken to be twice as high as it is wide.
    """
    wide = 2 * max(LEAST_COLUMNS, columns)
    tall = max(2, round(image.height * wide / image.width / 2))
    small = image.convert("L").resize((wide, tall + tall % 2))
    grey = small.tobytes()
    for y in range(0, small.height, 2):
        upper = grey[y * wide : (y + 1) * wide]
        lower = grey[(y + 1) * wide : (y + 2) * wide]
        line = ""
        for x in range(0, wide, 2):
            dots = (*upper[x : x + 2], *lower[x : x + 2])
            line += _QUADRANTS[sum(1 << n for n, dot in enumerate(dots) if dot < _INK)]
        yield line.rstrip()
