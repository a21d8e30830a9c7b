"""Batches, codes, depths and temperatures as people type them at a cooling."""

from __future__ import annotations

import re
from typing import Any

import click

from lidclock.cli.options import GAP_AFTER
from lidclock.domain.codes import LENGTH, is_code, normalise
from lidclock.errors import InputError

_DEPTH = re.compile(r'([0-9]+(?:[.,][0-9]+)?)\s*(mm|cm|in|inch|inches|")', re.I)
_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "inch": 25.4, "inches": 25.4, '"': 25.4}
_UNITS = frozenset({"c", "f", "°c", "°f"})


class Degrees(click.ParamType[float]):
    """A temperature, kept to a tenth of a degree Celsius as a probe shows it.

    So 40F is 4.4 °C, as the charts print it, and not a hundredth more.
    """

    name = "temp"

    def convert(self, value: Any, param: Any, ctx: Any) -> float:  # noqa: ARG002
        """Degrees Celsius; InputError says how to write it."""
        return value if isinstance(value, float) else read_degrees(value)


class Depth(click.ParamType[float]):
    """A depth such as 50mm, 5cm or 2in, read into millimetres."""

    name = "depth"

    def convert(self, value: Any, param: Any, ctx: Any) -> float:  # noqa: ARG002
        """Millimetres; InputError says how to write it."""
        return value if isinstance(value, float) else read_depth(value)


def targets_in(words: tuple[str, ...]) -> list[str]:
    """Batch numbers and codes; a code typed with its gap is put together again.

    Two numbers in a row are two batches, unless together they are a code.
    """
    found: list[str] = []
    waiting = list(words)
    while waiting:
        word = waiting.pop(0)
        other = waiting[0] if waiting else ""
        fits = len(word) == GAP_AFTER and len(other) == LENGTH - GAP_AFTER
        has_letter = not (word + other).isdecimal()
        if fits and (has_letter or is_code(normalise(word + other))):
            word = f"{word} {waiting.pop(0)}"
        found.append(word)
    return found


def target_and_temp(words: tuple[str, ...]) -> tuple[str, float | None]:
    """One batch or code, and the temperature after it if there is one."""
    rest = list(words)
    if len(rest) > 1 and rest[-1].lower() in _UNITS:
        rest[-2:] = ["".join(rest[-2:])]
    temp_c = None
    if len(rest) > 1 and _is_degrees(rest[-1]):
        temp_c = read_degrees(rest.pop())
    names = targets_in(tuple(rest))
    if len(names) != 1:
        raise InputError(
            f"{' '.join(words)!r}: give one batch or code and a temperature such as "
            "34C or 93F"
        )
    return names[0], temp_c


def _is_degrees(word: str) -> bool:
    """Whether it is meant as a temperature: no code ends so and is so short."""
    try:
        read_degrees(word)
    except InputError:
        return word[-1:].lower() in "cf" and not is_code(normalise(word))
    return True


def read_degrees(text: str) -> float:
    """Degrees Celsius to a tenth."""
    from lidclock.domain.readings import read_temp

    return round(read_temp(text), 1)


def read_depth(text: str) -> float:
    """Millimetres of `50mm`, `5cm`, `2in`."""
    match = _DEPTH.fullmatch(text.strip())
    if match is None:
        raise InputError(f"{text!r} is not a depth; write it like 50mm, 5cm or 2in")
    return float(match[1].replace(",", ".")) * _MM[match[2].lower()]
