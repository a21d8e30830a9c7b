"""The head of a file as a table: which sign parts the fields, where the rows begin."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from lidclock.templog.logger_csv.fields import DELIMITERS, split
from lidclock.templog.logger_csv.numbers import read_number
from lidclock.templog.logger_csv.times import ORDERS, matched, stamp_of

# So many lines tell what kind of file it is.
HEAD_LINES = 200
# A column is of a kind if this share of its fields is; the others may be faults.
_MOST_OF_THEM = 0.6
_KINDS = ("moment", "date", "clock", "epoch", "serial")


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the head: its number from 1, its text, its fields."""

    number: int
    text: str
    fields: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Lines parted by one delimiter; `rows` are those that are rows, of one width."""

    delimiter: str
    width: int
    lines: tuple[Line, ...]
    rows: tuple[Line, ...]

    def texts(self, index: int) -> list[str]:
        """The fields of one column in the rows, without empty ones."""
        return [row.fields[index] for row in self.rows if row.fields[index]]

    def is_of(self, kind: str, index: int) -> bool:
        """Whether a column holds moments, dates, clock times, counts or serials."""
        texts = self.texts(index)
        fitting = sum(_fits(text, kind) for text in texts)
        return bool(texts) and fitting >= _MOST_OF_THEM * len(texts)

    def is_number(self, index: int) -> bool:
        """Whether a column holds numbers; faults in words may be many."""
        return any(is_number(text) for text in self.texts(index))

    @property
    def above(self) -> tuple[Line, ...]:
        """The lines before the first row that are not blank."""
        first = self.rows[0].number
        return tuple(
            line for line in self.lines if line.number < first and any(line.fields)
        )


def is_number(text: str) -> bool:
    """Whether a field is a number, with either decimal mark."""
    return any(read_number(text, mark) is not None for mark in ".,")


@lru_cache(maxsize=4096)
def _fits(text: str, kind: str) -> bool:
    """Whether a field is of a kind, in whatever order its numerals are.

    A number such as 4.50 is no time of day.
    """
    if kind == "clock" and ":" not in text:
        return False
    match = matched(text, kind)
    return match is not None and any(
        stamp_of(match, kind, order) is not None for order in ORDERS
    )


def kinds_of(text: str) -> set[str]:
    """What a field may be as a moment or a part of one."""
    if not any(sign.isdigit() for sign in text):
        return set()
    return {kind for kind in _KINDS if _fits(text, kind)}


def best_table(texts: Sequence[str]) -> Table | None:
    """The table with the most rows; None if no line holds a time and a number."""
    found = [table_of(texts, delimiter) for delimiter in DELIMITERS]
    tables = [table for table in found if table is not None]
    return max(tables, key=lambda one: (len(one.rows), one.width), default=None)


def table_of(texts: Sequence[str], delimiter: str) -> Table | None:
    """The lines parted by `delimiter`, with those of the commonest row's width."""
    lines = tuple(
        Line(number, text.strip(), tuple(split(text, delimiter)))
        for number, text in enumerate(texts, start=1)
    )
    rows = [line for line in lines if _is_row(line.fields)]
    if not rows:
        return None
    widths = Counter(len(line.fields) for line in rows)
    width = max(widths, key=lambda one: (widths[one], one))
    alike = [line for line in rows if len(line.fields) == width]
    return Table(delimiter, width, lines, tuple(alike))


def _is_row(fields: Sequence[str]) -> bool:
    """Whether one field is a time, or two are, and another is a number."""
    kinds = [kinds_of(text) for text in fields]
    times = [place for place, kind in enumerate(kinds) if kind & {"moment", "epoch"}]
    if not times:
        dates = [place for place, kind in enumerate(kinds) if "date" in kind]
        clocks = [place for place, kind in enumerate(kinds) if kind == {"clock"}]
        times = [dates[0], clocks[0]] if dates and clocks else []
    if not times:
        serials = [place for place, kind in enumerate(kinds) if "serial" in kind]
        times = serials[:1]
    rest = [text for place, text in enumerate(fields) if place not in times]
    return bool(times) and any(is_number(text) for text in rest)
