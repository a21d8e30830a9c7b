"""Symbols as data: Code 128 module strings and QR module rows."""

from __future__ import annotations

from functools import lru_cache
from itertools import groupby
from typing import Any

from lidclock.errors import LabelError

# ISO/IEC 15417: check character modulo 103; the stop character has value 106.
_CHECK_MODULUS = 103
_STOP = 106
_START_B, _START_C = 104, 105
_TO_C, _TO_B = 99, 100
# Set B begins at the space; its values are the characters' codes less this.
_FIRST_PRINTABLE = 32
_LEAST_DIGITS = 4
# The stop character is a pattern of eleven modules and a bar of two.
_FINAL_BAR = "11"
# Quiet zones, in modules: ISO/IEC 15417 (10X each side), ISO/IEC 18004 (4X all round).
CODE128_QUIET = 10
QR_QUIET = 4
# ISO/IEC 16022: 1X all round; twice that is left, since drops and ink run into it.
MATRIX_QUIET = 2
# So many QR symbols are asked of the library before another way is even loaded.
_FEW = 4


def _digits_ahead(text: str, place: int) -> int:
    rest = text[place:]
    return len(rest) - len(rest.lstrip("0123456789"))


def _data_values(text: str) -> list[int]:
    """Start character, data and code-set switches, sets B and C only.

    Runs of four digits or more go two to a character in set C, an odd run from its
    second digit on (ISO/IEC 15417, Annex E). The library's own choice of values is
    not used: python-barcode 0.16.1 takes a leading pair 99 for a code-set switch and
    drops it, so that "9999999" would scan as "99999".
    """
    values: list[int] = []
    place, in_c = 0, False
    while place < len(text):
        digits = _digits_ahead(text, place)
        want_c = digits >= (2 if in_c else _LEAST_DIGITS)
        if values and not in_c and digits % 2:
            want_c = False
        if not values:
            values.append(_START_C if want_c else _START_B)
        elif want_c != in_c:
            values.append(_TO_C if want_c else _TO_B)
        in_c = want_c
        step = 2 if in_c else 1
        piece = text[place : place + step]
        values.append(int(piece) if in_c else ord(piece) - _FIRST_PRINTABLE)
        place += step
    return values


def check_value(values: list[int]) -> int:
    """The check character: the start value plus each further one times its place,
    modulo 103 (ISO/IEC 15417).
    """
    weighted = sum(place * value for place, value in enumerate(values[1:], start=1))
    return (values[0] + weighted) % _CHECK_MODULUS


def code128_values(text: str) -> list[int]:
    """Symbol values with start, check and stop character."""
    if not text or not all(" " <= one <= "~" for one in text):
        raise LabelError(f"{text!r} cannot go into a Code 128 symbol")
    values = _data_values(text)
    return [*values, check_value(values), _STOP]


def modules(values: list[int]) -> str:
    """The pattern of symbol values, "1" for bar and "0" for space."""
    from barcode.charsets.code128 import CODES, STOP

    return "".join([*(CODES[value] for value in values[:-1]), STOP, _FINAL_BAR])


@lru_cache(maxsize=4096)
def code128(text: str) -> str:
    """The symbol's modules, without quiet zones."""
    return modules(code128_values(text))


@lru_cache(maxsize=4096)
def data_matrix(text: str) -> tuple[bytes, ...]:
    """The symbol's rows of modules (1 dark), square ECC 200, without quiet zone."""
    import zxingcpp

    try:
        symbol = zxingcpp.create_barcode(
            text, zxingcpp.BarcodeFormat.DataMatrix, force_square=True
        )
    except ValueError as error:
        raise LabelError(f"{text[:40]!r} cannot go into a Data Matrix") from error
    image: Any = symbol.to_image(scale=1, add_quiet_zones=False)
    image = memoryview(image)
    tall, wide = image.shape[:2]
    rows = [bytes(image[y, x] == 0 for x in range(wide)) for y in range(tall)]
    if tall != wide:
        raise LabelError(f"the Data Matrix of {text[:40]!r} is not square")
    return tuple(rows)


@lru_cache(maxsize=4096)
def qr(text: str, mask: int | None = None) -> tuple[bytes, ...]:
    """The symbol's rows of modules (1 dark), error level M, without quiet zone.

    Without `mask` the eight masks are scored as ISO/IEC 18004 asks. The library makes
    the first symbols, and from them come all others that differ in their end only.
    """
    if mask is None and qr.cache_info().misses > _FEW:
        from lidclock.labels import linear

        made = linear.symbol(text, library_qr)
        if made is not None:
            return made
    return library_qr(text, mask)


def library_qr(text: str, mask: int | None) -> tuple[bytes, ...]:
    """The same as `qr`, by the library alone."""
    import segno

    try:
        symbol = segno.make(text, error="m", mask=mask, micro=False, boost_error=False)
    except ValueError as error:
        raise LabelError(f"{text[:40]!r} cannot go into a QR symbol") from error
    return tuple(bytes(row) for row in symbol.matrix)


def runs(row: str | bytes) -> list[tuple[int, int]]:
    """The dark runs of a row of modules as (first module, length)."""
    found: list[tuple[int, int]] = []
    place = 0
    for dark, group in groupby(int(module) & 1 for module in row):
        length = sum(1 for _ in group)
        if dark:
            found.append((place, length))
        place += length
    return found
