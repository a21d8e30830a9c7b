"""Sizes of paper and labels: what a printer offers, and which of it fits a stock."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

# libcups takes sizes closer than this for the same: _PWG_EPSILON in cups/pwg-private.h.
_SAME = 50
_PER_INCH, _PER_MM = 2540, 100
# PWG 5101.1: class, name, then width x height and the unit.
_NAME = re.compile(
    r"(?P<kind>[a-z]+)_(?P<name>[a-z0-9.-]+)_"
    r"(?P<x>\d+(?:\.\d+)?)x(?P<y>\d+(?:\.\d+)?)(?P<unit>in|mm)"
)
_LIMIT = re.compile(
    r"custom_(?P<end>min|max)(?:_[a-z0-9.-]+)?_"
    r"(?P<x>\d+(?:\.\d+)?)x(?P<y>\d+(?:\.\d+)?)(?P<unit>in|mm)"
)
# Sizes that PWG 5101.1 gives a name of their own.
_NAMED = {
    (21_590, 27_940): "na_letter_8.5x11in",
    (21_590, 35_560): "na_legal_8.5x14in",
    (21_000, 29_700): "iso_a4_210x297mm",
    (14_800, 21_000): "iso_a5_148x210mm",
    (10_160, 15_240): "na_index-4x6_4x6in",
}


@dataclass(frozen=True, slots=True, order=True)
class Size:
    """Width and length in hundredths of a millimetre, as IPP counts."""

    x: int
    y: int

    @classmethod
    def of_mm(cls, width_mm: float, height_mm: float) -> Size:
        """The size nearest to one in millimetres."""
        return cls(round(width_mm * _PER_MM), round(height_mm * _PER_MM))

    def turned(self) -> Size:
        """The same paper, the other side first."""
        return Size(self.y, self.x)

    def __str__(self) -> str:
        return f"{_mm(self.x)} x {_mm(self.y)} mm"


@dataclass(frozen=True, slots=True, order=True)
class Offer:
    """A size that a printer takes, or all sizes between two."""

    least: Size
    most: Size

    def __str__(self) -> str:
        if self.least == self.most:
            return str(self.least)
        return f"anything from {self.least} to {self.most}"

    def fit(self, wanted: Size) -> Size | None:
        """`wanted` in the printer's own figures; None where it does not fit."""
        near_x = _near(wanted.x, self.least.x, self.most.x)
        near_y = _near(wanted.y, self.least.y, self.most.y)
        return None if near_x is None or near_y is None else Size(near_x, near_y)


def _near(wanted: int, low: int, high: int) -> int | None:
    if low - _SAME < wanted < high + _SAME:
        return min(max(wanted, low), high)
    return None


def fitting(wanted: Size, offers: Iterable[Offer]) -> Size | None:
    """The offered size that `wanted` is; the nearest where several would do."""
    found = [size for offer in offers if (size := offer.fit(wanted)) is not None]
    return min(found, key=lambda size: _distance(size, wanted), default=None)


def _distance(one: Size, other: Size) -> int:
    return abs(one.x - other.x) + abs(one.y - other.y)


def size_of(name: str) -> Size | None:
    """The size in a media name such as `oe_2x1-label_2x1in`; None for other words."""
    found = _NAME.fullmatch(name)
    return None if found is None else _read(found)


def _read(found: re.Match[str]) -> Size:
    per = _PER_INCH if found["unit"] == "in" else _PER_MM
    return Size(round(float(found["x"]) * per), round(float(found["y"]) * per))


def offers_of(names: Iterable[str]) -> list[Offer]:
    """What a list of media names offers, a `custom_min`, `custom_max` pair included."""
    ends: dict[str, Size] = {}
    offers: list[Offer] = []
    for name in names:
        limit = _LIMIT.fullmatch(name)
        size = size_of(name)
        if limit is not None:
            ends[limit["end"]] = _read(limit)
        elif size is not None:
            offers.append(Offer(size, size))
    if len(ends) == 2:
        offers.append(Offer(ends["min"], ends["max"]))
    return offers


def named_among(wanted: Size, names: Iterable[str]) -> str | None:
    """The name of the size nearest to `wanted` in a printer's own list."""
    sizes = {name: size for name in names if (size := size_of(name)) is not None}
    fit = fitting(wanted, [Offer(size, size) for size in sizes.values()])
    return next((name for name, size in sizes.items() if size == fit), None)


def standard_name(size: Size) -> str:
    """The name by which any printer should know a size: PWG 5101.1.

    Labels are of the classes for other sizes, in inches where those come out even.
    """
    for (x, y), name in _NAMED.items():
        if _distance(Size(x, y), size) < _SAME:
            return name
    inches = [_inches(size.x), _inches(size.y)]
    if all(inches):
        text = "x".join(part or "" for part in inches)
        return f"oe_{text}-label_{text}in"
    text = f"{_mm(size.x)}x{_mm(size.y)}"
    return f"om_{text}-label_{text}mm"


def _inches(length: int) -> str | None:
    """A length in inches where it is whole sixteenths of one."""
    sixteenths = length * 16 / _PER_INCH
    if abs(sixteenths - round(sixteenths)) > 0.02:
        return None
    return f"{round(sixteenths) / 16:g}"


def _mm(length: int) -> str:
    return f"{length / _PER_MM:.2f}".rstrip("0").rstrip(".")


def say_offers(offers: Sequence[Offer], most: int = 6) -> str:
    """The sizes in one line, the first few where there are many."""
    told = [str(offer) for offer in dict.fromkeys(offers)]
    more = len(told) - most
    if more > 0:
        told = [*told[:most], f"and {more} more"]
    return ", ".join(told)
