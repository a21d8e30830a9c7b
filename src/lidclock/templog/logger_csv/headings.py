"""What stands above the rows: headings of columns, and which device wrote them."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace

from lidclock.errors import InputError
from lidclock.templog.logger_csv import columns
from lidclock.templog.logger_csv.findings import quoted
from lidclock.templog.logger_csv.table import (
    Line,
    Table,
    best_table,
    is_number,
    kinds_of,
)


@dataclass(frozen=True, slots=True)
class Head:
    """A table with the lines that head it, and a label for each column.

    Where nothing heads a column its label is its number.
    """

    table: Table
    headings: tuple[Line, ...]
    labels: tuple[str, ...]

    @classmethod
    def of(cls, texts: Sequence[str]) -> Head:
        """The table in the first lines of a file; InputError if there is none."""
        table = _table(texts)
        headings = _headings(table)
        return cls(table, headings, _labels(table, headings))

    def label(self, index: int) -> str:
        """The heading of a column; `` where nothing heads it."""
        return self.labels[index] if self.headings else ""

    def named(self, index: int) -> str:
        """`column 2 'Date/Time'`."""
        return named_column(self.labels, index)

    def column(self, wish: str, option: str) -> int:
        """The column that a person named by number or heading."""
        folded = wish.strip().casefold()
        if folded.isdecimal() and 1 <= int(folded) <= self.table.width:
            return int(folded) - 1
        for fits in (str.__eq__, str.startswith, str.__contains__):
            found = [
                index
                for index, label in enumerate(self.labels)
                if fits(label.casefold(), folded)
            ]
            if len(found) == 1 or (found and fits is str.__eq__):
                return found[0]
            if found:
                break
        listed = ", ".join(self.named(index) for index in range(self.table.width))
        raise InputError(
            f"{option} {wish!r} is no column of this file; there are {listed}"
        )

    def device(self) -> str:
        """The lines above the rows that say which device wrote them."""
        lines = [line.text.strip(self.table.delimiter) for line in self.device_lines()]
        return "; ".join(" ".join(line.split()) for line in lines)

    def device_lines(self) -> list[Line]:
        """Those lines as they are."""
        return [
            line
            for line in self.table.above
            if line not in self.headings and columns.is_device_line(line.text)
        ]

    def source(self) -> str:
        """A fingerprint of the headings and the device; `` without headings."""
        if not self.headings:
            return ""
        parts = [line.text for line in self.headings] + [self.table.delimiter]
        parts.append(self.device())
        return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:32]


def named_column(labels: Sequence[str], index: int) -> str:
    """`column 2 'Date/Time'`."""
    number = f"column {index + 1}"
    label = labels[index] if index < len(labels) else ""
    return number if label in ("", number) else f"{number} {quoted(label)}"


def _table(texts: Sequence[str]) -> Table:
    table = best_table(texts)
    if table is None:
        raise InputError(
            f"no row with date, time of day and temperature in the first {len(texts)} "
            "lines: is it a data logger's CSV?"
        )
    return _from_the_first_row(table)


def _from_the_first_row(table: Table) -> Table:
    """Rows that are faults only, just above the first with a number, are rows too."""
    by_number = {line.number: line for line in table.lines}
    rows = list(table.rows)
    while above := by_number.get(rows[0].number - 1):
        has_time = any(
            table.is_of(kind, index) and kind in kinds_of(above.fields[index])
            for index in range(min(table.width, len(above.fields)))
            for kind in ("moment", "date", "epoch", "serial")
        )
        if len(above.fields) != table.width or not has_time:
            break
        rows.insert(0, above)
    return replace(table, rows=tuple(rows))


def _headings(table: Table) -> tuple[Line, ...]:
    """The lines right above the rows that head the columns: one, or two with units."""
    above = table.above
    if not above:
        return ()
    last = above[-1]
    if len(above) > 1 and _is_wide(last, table) and columns.is_unit_line(last.fields):
        return above[-2:] if _may_head(above[-2], table) else (last,)
    return (last,) if _may_head(last, table) else ()


def _is_wide(line: Line, table: Table) -> bool:
    fields, width = len(line.fields), table.width
    return fields >= 2 and abs(fields - width) <= 1 + width // 2


def _may_head(line: Line, table: Table) -> bool:
    words = [field for field in line.fields if field]
    is_words = len(words) >= 2 and not all(is_number(word) for word in words)
    return is_words and _is_wide(line, table)


def _labels(table: Table, headings: Sequence[Line]) -> tuple[str, ...]:
    labels = []
    for index in range(table.width):
        parts = [
            line.fields[index].lstrip("#/ ")
            for line in headings
            if index < len(line.fields) and line.fields[index]
        ]
        labels.append(" ".join(parts) or f"column {index + 1}")
    return tuple(labels)
