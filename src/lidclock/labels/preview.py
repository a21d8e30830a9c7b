"""Looking at a label before it is printed: dots as the printer sets them."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from typing import TYPE_CHECKING

from lidclock.labels.raster import pages_in_dots

if TYPE_CHECKING:
    from PIL.Image import Image

# A head burns a dot or does not: half a grey decides.
_HALF = 128
# Darker than this is ink on the screen; thin strokes are grey once they are scaled.
_INK = 150
# Four dots to a character: upper left, upper right, lower left, lower right.
_QUADRANTS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
LEAST_COLUMNS = 20


def picture(pdf: bytes, dpi: int, page: int = 0) -> Image:
    """A page in grey, one pixel a printer dot."""
    return next(islice(pages_in_dots(pdf, dpi), page, None))


def printed_dots(pdf: bytes, dpi: int) -> Image:
    """The first page as a thermal head burns it: black or white, no grey."""
    return picture(pdf, dpi).point(lambda grey: 0 if grey < _HALF else 255)


def in_characters(image: Image, columns: int, *, is_round: bool = False) -> list[str]:
    """The picture for a terminal in a frame, so many characters wide at the most.

    A character is taken to be twice as high as it is wide.
    """
    wide = max(LEAST_COLUMNS, columns) - 2
    lines = list(_lines(_cut_out(image) if is_round else image, wide))
    return [
        f"┌{'─' * wide}┐",
        *(f"│{line.ljust(wide)}│" for line in lines),
        f"└{'─' * wide}┘",
    ]


def _cut_out(image: Image) -> Image:
    """The picture with the edge of a round label drawn into it."""
    from PIL import ImageDraw

    copy = image.copy()
    edge = (0, 0, copy.width - 1, copy.height - 1)
    ImageDraw.Draw(copy).ellipse(edge, outline=0, width=max(1, copy.width // 100))
    return copy


def _lines(image: Image, columns: int) -> Iterator[str]:
    wide = 2 * columns
    tall = max(2, round(image.height * wide / image.width / 2))
    grey = image.convert("L").resize((wide, tall + tall % 2)).tobytes()
    for start in range(0, len(grey), 2 * wide):
        upper, lower = grey[start : start + wide], grey[start + wide :]
        yield "".join(
            _QUADRANTS[
                sum(
                    1 << n
                    for n, dot in enumerate((*upper[x : x + 2], *lower[x : x + 2]))
                    if dot < _INK
                )
            ]
            for x in range(0, wide, 2)
        )
