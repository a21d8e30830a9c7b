"""A temperature as a logger wrote it, exact to its last digit."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

CELSIUS, FAHRENHEIT = "C", "F"
# What was °F is kept as °C with so many decimals: ten times finer than any logger's
# last digit, so that it can be told again what was written, and small to store.
PLACES_C = 4
_MOST_DIGITS = 30
_LARGEST_EXPONENT = 20

# Spaces (plain, no-break, thin, narrow), apostrophes: they group digits in threes.
_GROUPERS = " \u00a0\u2009\u202f'’"
_DIGITS = (
    r"(?:[0-9]{{1,3}}(?:[{groupers}][0-9]{{3}})+(?:[{mark}][0-9]*)?"
    r"|[0-9]+(?:[{mark}][0-9]*)?|[{mark}][0-9]+)"
)
_SHAPE = r"([+\-−]?)\s*({digits})(?:[eE]([+-]?[0-9]{{1,2}}))?\s*({unit})?"
# A degree sign may have been mangled on its way: UTF-8 read as Latin-1 and such.
_SIGN = r"(?:Â?°|º|˚|\ufffd|\?|&deg;|deg\.?\s?)?"
_UNIT = rf"{_SIGN}\s?(?:C|F)(?:elsius|ahrenheit)?|℃|℉"
_UNITS = {"℃": CELSIUS, "℉": FAHRENHEIT}


def _pattern(mark: str) -> re.Pattern[str]:
    other = "," if mark == "." else "."
    digits = _DIGITS.format(mark=mark, groupers=f"{_GROUPERS}{other}")
    return re.compile(_SHAPE.format(digits=digits, unit=_UNIT), re.IGNORECASE)


_PATTERNS = {mark: _pattern(mark) for mark in ".,"}
_HAS_UNIT = re.compile(rf"[0-9]\s*({_UNIT})", re.IGNORECASE)
_NOT_DIGIT = re.compile(r"[^0-9.,]")


class Number(NamedTuple):
    """`mantissa / 10**places`, exactly what was written; `unit` if it was there."""

    mantissa: int
    places: int
    unit: str = ""

    @property
    def value(self) -> float:
        """The nearest float."""
        return ratio(self.mantissa, 10**self.places)

    def celsius(self, unit: str) -> float:
        """Degrees Celsius of a number in `unit`; from °F rounded to `PLACES_C`."""
        unit = self.unit or unit
        if unit == CELSIUS:
            return self.value
        if unit != FAHRENHEIT:
            raise ValueError(f"a unit is C or F, not {unit!r}")
        scale = 10**self.places
        exact = ratio(5 * (self.mantissa - 32 * scale), 9 * scale)
        return ratio(round(exact * 10**PLACES_C), 10**PLACES_C)


def ratio(top: int, bottom: int) -> float:
    """The float nearest to the fraction; division of whole numbers rounds once."""
    return top / bottom


def read_number(text: str, mark: str = ".") -> Number | None:
    """The number in `text`, whose decimal mark is `mark`; None if it is none.

    Without a mark it is the last point or comma in the text.
    """
    mark = mark or decimal_mark((text,)) or "."
    match = _PATTERNS[mark].fullmatch(text)
    if match is None or len(match[2]) > _MOST_DIGITS:
        return None
    whole, _, part = _NOT_DIGIT.sub("", match[2]).partition(mark)
    whole = whole.replace("," if mark == "." else ".", "")
    mantissa, places = int(whole + part), len(part)
    exponent = int(match[3] or 0)
    if abs(exponent) > _LARGEST_EXPONENT:
        return None
    if exponent > places:
        mantissa, places = mantissa * 10 ** (exponent - places), 0
    else:
        places -= exponent
    if match[1] in ("-", "−"):
        mantissa = -mantissa
    return Number(mantissa, places, unit_in(match[4] or ""))


def unit_in(text: str) -> str:
    """`C` or `F` of a unit such as `°C`, `degF`, `Fahrenheit`; `` if it is none."""
    text = text.strip()
    if not re.fullmatch(_UNIT, text, re.IGNORECASE):
        return ""
    bare = text.casefold().removesuffix("elsius").removesuffix("ahrenheit")
    return _UNITS.get(text, bare[-1:].upper())


def unit_after_digits(text: str) -> str:
    """The unit behind a number, as in `4.5 °C`; `` if there is none."""
    match = _HAS_UNIT.search(text)
    return unit_in(match[1]) if match else ""


def decimal_mark(texts: Iterable[str]) -> str:
    """The mark before the decimals in a column, by what its numbers show.

    Where both occur in one number the last is the decimal mark; where only one kind
    occurs in the column it is. A column that mixes them goes by the majority, and the
    other rows are then no numbers. `` where neither occurs: each number then has its
    own, as the first rows of a column may all be whole.
    """
    counts = {".": 0, ",": 0}
    for text in texts:
        last = max(".,", key=text.rfind)
        if last in text:
            counts[last] += 1
    if counts["."] == counts[","] == 0:
        return ""
    return "," if counts[","] > counts["."] else "."
