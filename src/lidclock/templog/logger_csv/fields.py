"""One line of a file, cut into its fields."""

from __future__ import annotations

import csv
import re

DELIMITERS = (",", ";", "\t", "|")
_QUOTE = '"'
# A spreadsheet's way to keep text as text: ="04:00", or '04:00.
_AS_FORMULA = re.compile(r'="(.*)"', re.DOTALL)
_BLANKS = " \t\u00a0\u202f\ufeff\x1a\x0b\x0c"


def split(line: str, delimiter: str) -> list[str]:
    """The fields, without quotes and blanks around them."""
    is_quoted = _QUOTE in line
    parts = _quoted(line, delimiter) if is_quoted else line.split(delimiter)
    return [clean(part) for part in parts]


def _quoted(line: str, delimiter: str) -> list[str]:
    try:
        return next(csv.reader([line], delimiter=delimiter, skipinitialspace=True), [])
    except csv.Error:
        # A stray quote made one field longer than the library takes.
        return line.split(delimiter)


def clean(text: str) -> str:
    """One field as it was meant: no blanks, quotes or formula signs around it."""
    text = text.strip(_BLANKS)
    if text[:1] == "=" and (match := _AS_FORMULA.fullmatch(text)):
        text = match[1].strip(_BLANKS)
    if text[:1] == "'":
        text = text[1:].removesuffix("'").strip(_BLANKS)
    return text


def is_open(line: str) -> bool:
    """Whether a quoted field goes on in the next line."""
    return line.count(_QUOTE) % 2 == 1


def decoded(line: bytes) -> str:
    """Text of a line: UTF-8 where it is that, else Latin-1, which takes every byte."""
    try:
        return line.decode("utf-8")
    except UnicodeDecodeError:
        return line.decode("latin-1")
