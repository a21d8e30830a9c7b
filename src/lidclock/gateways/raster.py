"""Pages as PWG raster (PWG 5102.4), for printers that know no PDF."""

from __future__ import annotations

import struct
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

_SYNC = b"RaS2"
_HEADER_OCTETS = 1796
_GREY, _CHUNKY = 18, 0  # sgray: every raster printer takes it
_MOST_LINES, _MOST_PIXELS = 256, 128
_POINTS_PER_INCH = 72
_PORTRAIT_FEED = 1  # no mirroring across or along the feed


@dataclass(frozen=True, slots=True)
class GreyPage:
    """One page of 8-bit grey, rows from the top, 0 black; `dpi` dots to the inch."""

    width: int
    height: int
    dpi: int
    pixels: bytes

    def __post_init__(self) -> None:
        if len(self.pixels) != self.width * self.height:
            raise ValueError(
                f"{len(self.pixels)} pixels make no {self.width} x {self.height} page"
            )

    def rows(self) -> Iterator[bytes]:
        """The rows from the top."""
        step = self.width
        return (self.pixels[at : at + step] for at in range(0, len(self.pixels), step))


def pwg_raster(pages: Sequence[GreyPage]) -> bytes:
    """The pages as one PWG raster document."""
    parts = [_SYNC]
    for page in pages:
        parts.append(_header(page, len(pages)))
        parts += _lines(page.rows())
    return b"".join(parts)


def _header(page: GreyPage, count: int) -> bytes:
    """The page header; what is not set is zero, the default of every field."""
    sides = (page.width, page.height)
    points = [round(side * _POINTS_PER_INCH / page.dpi) for side in sides]
    words = {
        276: page.dpi,
        280: page.dpi,
        340: 1,  # copies
        352: points[0],
        356: points[1],
        372: page.width,
        376: page.height,
        384: 8,  # bits per colour
        388: 8,  # bits per pixel
        392: page.width,  # octets per line
        396: _CHUNKY,
        400: _GREY,
        420: 1,  # colours
        452: count,
        456: _PORTRAIT_FEED,
        460: _PORTRAIT_FEED,
        472: page.width,  # the right and the lower edge of what is drawn
        476: page.height,
    }
    header = bytearray(_HEADER_OCTETS)
    header[0:10] = b"PwgRaster\0"
    for offset, value in words.items():
        struct.pack_into(">I", header, offset, value)
    return bytes(header)


def _lines(rows: Iterable[bytes]) -> Iterator[bytes]:
    """Equal rows once, with how often they come less one; then the row's runs."""
    for row, same in groupby(rows):
        left = sum(1 for _ in same)
        packed = _packed(row)
        while left:
            now = min(left, _MOST_LINES)
            yield bytes([now - 1]) + packed
            left -= now


def _packed(row: bytes) -> bytes:
    """Runs of one pixel, and stretches of pixels that differ from their neighbours."""
    out, loose = bytearray(), bytearray()

    def flush() -> None:
        while loose:
            # A single pixel is a run of one: a stretch holds at least two.
            part = loose[:_MOST_PIXELS]
            del loose[:_MOST_PIXELS]
            out.append(257 - len(part) if len(part) > 1 else 0)
            out.extend(part)

    for pixel, same in groupby(row):
        count = sum(1 for _ in same)
        if count == 1:
            loose.append(pixel)
            continue
        flush()
        while count:
            now = min(count, _MOST_PIXELS)
            out += bytes([now - 1, pixel])
            count -= now
    flush()
    return bytes(out)
