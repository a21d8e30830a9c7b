"""Lines into rows, one by one: the reading that every quicker one must equal."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidclock.templog.logger_csv.columns import is_device_line
from lidclock.templog.logger_csv.fields import decoded, is_open, split
from lidclock.templog.logger_csv.findings import Findings, quoted
from lidclock.templog.logger_csv.layout import Layout
from lidclock.templog.logger_csv.months import month_of
from lidclock.templog.logger_csv.text import Lines
from lidclock.templog.logger_csv.times import Stamp

NO_OFFSET = np.iinfo(np.int64).min
# A quoted note may go on over some lines; beyond that the quote is a stray one.
_LONGEST_FIELD_LINES = 20
_LONGEST_CELL = 200
_MOST_NAMES = 1000
_WORD = re.compile(r"[^\W\d_]{2}")

# The offset that a word such as EST means at a local time; None if it means none.
ZoneWords = Callable[[int, str], int | None]


@dataclass(frozen=True, slots=True)
class Rows:
    """Rows of a block, in the order of the file.

    Attributes
    ----------
    lines : (n,) number of each row's line
    local_us : (n,) microseconds since 1970 on the clock that the row shows
    offset_us : (n,) the offset from UTC that the row gives, or NO_OFFSET
    raw : (n, k) temperature as written, in its unit; NaN where there is none
    temp_c : (n, k) the same in degrees Celsius
    names : (n,) number of the name in the row, in the order in which names occurred
    """

    lines: NDArray[np.int64]
    local_us: NDArray[np.int64]
    offset_us: NDArray[np.int64]
    raw: NDArray[np.float64]
    temp_c: NDArray[np.float64]
    names: NDArray[np.int64]

    def kept(self, keep: NDArray[np.bool_]) -> Rows:
        """Those of them that `keep` names."""
        return Rows(
            *(self.lines[keep], self.local_us[keep], self.offset_us[keep]),
            *(self.raw[keep], self.temp_c[keep], self.names[keep]),
        )


def joined(parts: Sequence[Rows]) -> Rows:
    """The rows of some blocks, one after the other."""
    if len(parts) == 1:
        return parts[0]
    return Rows(
        np.concatenate([part.lines for part in parts]),
        np.concatenate([part.local_us for part in parts]),
        np.concatenate([part.offset_us for part in parts]),
        np.concatenate([part.raw for part in parts]),
        np.concatenate([part.temp_c for part in parts]),
        np.concatenate([part.names for part in parts]),
    )


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its line, its moment, its temperatures."""

    line: int
    local_us: int
    offset_us: int
    raw: tuple[float, ...]
    temp_c: tuple[float, ...]
    name: int = 0


def no_word(local_us: int, word: str) -> int | None:  # noqa: ARG001
    """Where no zone is known, its words mean nothing."""
    return None


class RowReader:
    """Reads lines by one layout, and notes what is wrong with them."""

    def __init__(
        self, layout: Layout, findings: Findings, zone_words: ZoneWords = no_word
    ) -> None:
        self.layout = layout
        self.findings = findings
        self.names: dict[str, int] = {}
        self._zone_words = zone_words

    def read(self, lines: Lines) -> Rows:
        """The rows in a block of lines."""
        found = self.rows(lines.first, lines.split())
        return as_arrays(list(found), len(self.layout.temps))

    def rows(self, first: int, lines: Sequence[bytes]) -> Iterator[Row]:
        """The rows among `lines`, the first of which has the number `first`."""
        position = 0
        while position < len(lines):
            text, taken = self._whole(lines, position)
            row = self.row(first + position, text)
            if row is not None:
                yield row
            position += taken

    def _whole(self, lines: Sequence[bytes], position: int) -> tuple[str, int]:
        """One line, with those that a quoted field in it goes on over."""
        text = decoded(lines[position])
        if not is_open(text):
            return text, 1
        joined = text
        for taken, more in enumerate(
            lines[position + 1 : position + _LONGEST_FIELD_LINES], start=2
        ):
            joined = f"{joined}\n{decoded(more)}"
            if not is_open(joined):
                fields = split(joined, self.layout.delimiter)
                return (joined, taken) if self._has_width(fields) else (text, 1)
        return text, 1

    def row(self, line: int, text: str) -> Row | None:
        """The row in one line; None if it has none, which is noted unless blank."""
        layout = self.layout
        if line < layout.first_row or not text.strip():
            return None
        fields = split(text, layout.delimiter)
        if not any(fields):
            return None
        if text.strip() in layout.headings:
            self.findings.add("not-a-row", "the heading again", [line])
            return None
        stamp = self._stamp(line, text, fields)
        if stamp is None:
            return None
        numbers = self._numbers(line, fields)
        if numbers is None:
            return None
        offset = self._offset(line, stamp)
        if offset is None:
            return None
        raw, temp_c = numbers
        name = self._name(line, fields)
        local_us = stamp.local_us
        if name is None or local_us is None:
            return None
        return Row(line, local_us, offset, raw, temp_c, name)

    def _name(self, line: int, fields: list[str]) -> int | None:
        index = self.layout.name_index
        if index is None:
            return 0
        name = self.number_of(fields[index]) if index < len(fields) else None
        if name is None:
            self.findings.add("name", "no name, or more names than sensors", [line])
        return name

    def number_of(self, name: str) -> int | None:
        """The number of a name, given out as they occur; None beyond all reason."""
        if name not in self.names and len(self.names) >= _MOST_NAMES:
            return None
        return self.names.setdefault(name, len(self.names))

    def _has_width(self, fields: list[str]) -> bool:
        """Whether it has as many fields as other rows, but for empty ones behind."""
        width = self.layout.width
        return len(fields) == width or (len(fields) > width and not any(fields[width:]))

    def _stamp(self, line: int, text: str, fields: list[str]) -> Stamp | None:
        layout = self.layout
        wanted = [index for index, _ in layout.times]
        if max(wanted) >= len(fields):
            if self._tell_device(line, text):
                return None
            self.findings.add("not-a-row", f"no row: {quoted(text.strip())}", [line])
            return None
        stamp = layout.stamp(fields)
        if stamp is None:
            self._complain_of_time(line, text, [fields[index] for index in wanted])
            return None
        if len(fields) > layout.width and not self._has_width(fields):
            what = f"{len(fields)} fields, not {layout.width} as in other rows"
            self.findings.add("fields", what, [line])
            return None
        return stamp

    def _complain_of_time(self, line: int, text: str, said: list[str]) -> None:
        """A line that begins with a word, as summaries do, is no row that failed."""
        words = " ".join(said).strip()
        if self._tell_device(line, text):
            return
        if _WORD.match(words) and month_of(words.split()[0]) is None:
            self.findings.add("not-a-row", f"no row: {quoted(text.strip())}", [line])
        else:
            what = f"{quoted(words)} is no time" if words else "no time"
            self.findings.add("no-time", what, [line])

    def _tell_device(self, line: int, text: str) -> bool:
        """Whether the line says that the rows after it are another device's."""
        text = text.strip()
        if text in self.layout.devices or not is_device_line(text):
            return False
        self.findings.add("other-device", quoted(text), [line])
        return True

    def _numbers(
        self, line: int, fields: list[str]
    ) -> tuple[tuple[float, ...], tuple[float, ...]] | None:
        """Every temperature of the row, as written and in °C; None if it has none."""
        raw, temp_c, texts = [], [], []
        for column in self.layout.temps:
            # The last field of a line that breaks off may have lost its last digits.
            is_cut = len(fields) < self.layout.width and column.index >= len(fields) - 1
            text = "" if is_cut else fields[column.index]
            number = self.layout.number(text) if len(text) < _LONGEST_CELL else None
            texts.append(text)
            raw.append(float("nan") if number is None else number.value)
            temp_c.append(
                float("nan") if number is None else number.celsius(column.unit)
            )
            if is_cut:
                self.findings.add("fields", "the line breaks off", [line])
            elif text and number is None:
                what = f"{quoted(text)} is no temperature"
                self.findings.add("no-temperature", what, [line])
        if not any(texts):
            if len(fields) >= self.layout.width:
                self.findings.add("no-reading", "no temperature in the row", [line])
            return None
        return (tuple(raw), tuple(temp_c)) if any(t == t for t in temp_c) else None

    def _offset(self, line: int, stamp: Stamp) -> int | None:
        if stamp.zone:
            assert stamp.local_us is not None
            offset = self._zone_words(stamp.local_us, stamp.zone)
            if offset is None:
                what = f"{quoted(stamp.zone)} is no name of this zone's time then"
                self.findings.add("zone-word", what, [line])
            return offset
        if stamp.offset_us is not None:
            return stamp.offset_us
        default = self.layout.offset_us
        return int(NO_OFFSET) if default is None else default


def as_arrays(rows: Sequence[Row], columns: int) -> Rows:
    """The same rows as arrays; `columns` temperatures each."""
    count = len(rows)

    def whole(values: Iterator[int]) -> NDArray[np.int64]:
        return np.fromiter(values, np.int64, count)

    return Rows(
        whole(row.line for row in rows),
        whole(row.local_us for row in rows),
        whole(row.offset_us for row in rows),
        np.array([row.raw for row in rows], np.float64).reshape(count, columns),
        np.array([row.temp_c for row in rows], np.float64).reshape(count, columns),
        whole(row.name for row in rows),
    )
