"""Blocks of well-formed rows, many at once; other lines go to the plain reader.

A text of a moment is read once, by the plain reader's own pattern. All rows of the
block whose text has its digits at the same places, and is otherwise equal, are of the
same form then: their numbers are taken from those places, as arrays.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidclock.templog.logger_csv.fields import clean, decoded
from lidclock.templog.logger_csv.findings import Findings
from lidclock.templog.logger_csv.layout import Layout
from lidclock.templog.logger_csv.numbers import CELSIUS, PLACES_C
from lidclock.templog.logger_csv.quick_text import (
    Bytes,
    Flags,
    Numbers,
    alike,
    number_at,
)
from lidclock.templog.logger_csv.quick_times import read_moments
from lidclock.templog.logger_csv.rows import (
    NO_OFFSET,
    RowReader,
    Rows,
    ZoneWords,
    as_arrays,
    no_word,
)
from lidclock.templog.logger_csv.text import Lines

# A block with more odd lines than this share is read plainly: it is no slower.
MOST_ODD = 0.5
# Whole numbers up to 2**53 are exact as floats; 5 * (10**13 + 32 * 10**13) is one.
_MOST_DIGITS = 13
_WIDEST_NUMBER = 16
# Signs, digits before and after the mark: a column has few forms of numbers.
_MOST_FORMS = 48
_NUMBER = re.compile(rb"([+-]?)[0-9]+(?:([.,])([0-9]*))?")
_WIDEST_NAME = 64
_MOST_NAMES = 64

_LF, _QUOTE, _BLANK = (ord(sign) for sign in '\n" ')


class QuickReader:
    """Reads lines as `RowReader` does, and says the same about them, but faster."""

    def __init__(
        self, layout: Layout, findings: Findings, zone_words: ZoneWords = no_word
    ) -> None:
        self.layout = layout
        self._plain = RowReader(layout, findings, zone_words)

    @property
    def names(self) -> dict[str, int]:
        """The names that occurred, with their numbers."""
        return self._plain.names

    def read(self, lines: Lines) -> Rows:
        """The rows in a block of lines."""
        fields = cut(lines.data, self.layout)
        if fields is None:
            return self._plain.read(lines)
        good, local_us, offset_us = self._moments(fields)
        raw, temp_c = self._temps(fields, good)
        names = self._names(fields, good)
        numbers = lines.first + fields.lines
        good &= numbers >= self.layout.first_row
        is_odd = np.ones(fields.count, bool)
        is_odd[fields.lines[good]] = False
        if np.count_nonzero(is_odd) > MOST_ODD * fields.count:
            return self._plain.read(lines)
        quick = Rows(numbers, local_us, offset_us, raw, temp_c, names).kept(good)
        return self._with_odd(quick, lines, fields, np.flatnonzero(is_odd))

    def _moments(self, fields: Fields) -> tuple[Flags, Numbers, Numbers]:
        layout = self.layout
        good = np.ones(fields.size, bool)
        local_us = np.zeros(fields.size, np.int64)
        offset_us = np.full(fields.size, NO_OFFSET)
        if layout.offset_us is not None:
            offset_us[:] = layout.offset_us
        for index, kind in layout.times:
            found = read_moments(
                fields.buffer, *fields.bounds(index), kind, layout.order
            )
            good &= found.good
            local_us += found.us
            has_offset = found.offset_us != NO_OFFSET
            offset_us[has_offset] = found.offset_us[has_offset]
        return good, local_us, offset_us

    def _temps(
        self, fields: Fields, good: Flags
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Temperatures of every row; a row with one that is not plain is not good."""
        shape = (fields.size, len(self.layout.temps))
        raw, temp_c = np.empty(shape), np.empty(shape)
        for place, column in enumerate(self.layout.temps):
            starts, ends = fields.bounds(column.index)
            is_number, mantissa, scale = read_numbers(
                fields.buffer, starts, ends, self.layout.mark
            )
            good &= is_number
            # Both are whole and below 2**53, so each division rounds once.
            raw[:, place] = mantissa / scale
            if column.unit == CELSIUS:
                temp_c[:, place] = raw[:, place]
            else:
                exact = (5.0 * (mantissa - 32.0 * scale)) / (9.0 * scale)
                temp_c[:, place] = np.rint(exact * 10**PLACES_C) / 10**PLACES_C
        return raw, temp_c

    def _names(self, fields: Fields, good: Flags) -> Numbers:
        """The number of each row's name; a row with a name of its own is not good."""
        names = np.zeros(fields.size, np.int64)
        if self.layout.name_index is None:
            return names
        starts, ends = fields.bounds(self.layout.name_index)
        lengths = ends - starts
        left = np.flatnonzero(good & (lengths > 0) & (lengths <= _WIDEST_NAME))
        is_named = np.zeros(fields.size, bool)
        for _ in range(_MOST_NAMES):
            if not left.size:
                break
            name = fields.buffer[starts[left[0]] : ends[left[0]]].tobytes()
            is_equal, _ = alike(fields.buffer, starts[left], lengths[left], name)
            taken, left = left[is_equal], left[~is_equal]
            # Only what needs no cleaning is the name that the plain reader sees.
            text = decoded(name)
            number = self._plain.number_of(text) if clean(text) == text else None
            if number is not None:
                names[taken], is_named[taken] = number, True
        good &= is_named
        return names

    def _with_odd(
        self, quick: Rows, lines: Lines, fields: Fields, odd: Numbers
    ) -> Rows:
        """The rows, with those of the odd lines put between them."""
        if not odd.size:
            return quick
        found = [
            row
            for line in odd.tolist()
            for row in self._plain.rows(lines.first + line, [fields.line(line)])
        ]
        if not found:
            return quick
        plain = as_arrays(found, len(self.layout.temps))
        at = np.searchsorted(quick.lines, plain.lines)
        return Rows(
            np.insert(quick.lines, at, plain.lines),
            np.insert(quick.local_us, at, plain.local_us),
            np.insert(quick.offset_us, at, plain.offset_us),
            np.insert(quick.raw, at, plain.raw, axis=0),
            np.insert(quick.temp_c, at, plain.temp_c, axis=0),
            np.insert(quick.names, at, plain.names),
        )


@dataclass(frozen=True, slots=True)
class Fields:
    """The lines of a block that have as many fields as they should.

    `lines` are their places in the block, from 0; `marks` is (n, width + 1): where the
    line begins less one, each delimiter, the line's end.
    """

    buffer: Bytes
    lines: Numbers
    marks: Numbers
    count: int
    starts: Numbers

    @property
    def size(self) -> int:
        """How many lines these are."""
        return int(self.lines.size)

    def bounds(self, index: int) -> tuple[Numbers, Numbers]:
        """Where field `index` begins and ends, without blanks and quotes around it."""
        buffer = self.buffer
        starts, ends = trimmed(
            buffer, self.marks[:, index] + 1, self.marks[:, index + 1]
        )
        is_quoted = (buffer[starts] == _QUOTE) & (ends - starts >= 2)
        if is_quoted.any():
            is_quoted &= buffer[ends - 1] == _QUOTE
            starts, ends = trimmed(buffer, starts + is_quoted, ends - is_quoted)
        return starts, ends

    def line(self, number: int) -> bytes:
        """One line of the block, without its end."""
        start, end = int(self.starts[number]), int(self.starts[number + 1]) - 1
        return self.buffer[start:end].tobytes()


def trimmed(buffer: Bytes, starts: Numbers, ends: Numbers) -> tuple[Numbers, Numbers]:
    """The bounds without blanks at both ends, as long as any row has one there."""
    while (blank := (starts < ends) & (buffer[starts] == _BLANK)).any():
        starts = starts + blank
    while (blank := (starts < ends) & (buffer[ends - 1] == _BLANK)).any():
        ends = ends - blank
    return starts, ends


def cut(data: bytes, layout: Layout) -> Fields | None:
    """The block as fields; None where quotes make that more than finding delimiters."""
    buffer = np.frombuffer(data, np.uint8)
    ends = np.flatnonzero(buffer == _LF)
    count = int(ends.size)
    before = np.empty(count, np.int64)
    before[0], before[1:] = -1, ends[:-1]
    delimiters = np.flatnonzero(buffer == ord(layout.delimiter))
    if b'"' in data:
        outside = _outside_quotes(buffer, ends, delimiters)
        if outside is None:
            return None
        delimiters = outside
    starts = np.append(before + 1, ends[-1] + 1)
    if delimiters.size == count * (layout.width - 1):
        grid = delimiters.reshape(count, layout.width - 1)
        if (grid[:, 0] > before).all() and (grid[:, -1] < ends).all():
            marks = np.column_stack((before, grid, ends))
            return Fields(buffer, np.arange(count), marks, count, starts)
    first = np.searchsorted(delimiters, before, side="right")
    last = np.append(first[1:], delimiters.size)
    is_whole = last - first == layout.width - 1
    lines = np.flatnonzero(is_whole)
    marks = np.empty((lines.size, layout.width + 1), np.int64)
    marks[:, 0], marks[:, -1] = before[lines], ends[lines]
    for index in range(layout.width - 1):
        marks[:, index + 1] = delimiters[first[lines] + index]
    return Fields(buffer, lines, marks, count, starts)


def _outside_quotes(
    buffer: Bytes, ends: Numbers, delimiters: Numbers
) -> Numbers | None:
    """The delimiters that are not in quotes; None where quotes are not plain pairs.

    Plain are pairs around whole fields of one line, with no quote between them.
    """
    quotes = np.flatnonzero(buffer == _QUOTE)
    if quotes.size % 2:
        return None
    opening, closing = quotes[0::2], quotes[1::2]
    edges = np.zeros(buffer.size + 1, bool)
    edges[ends] = edges[delimiters] = edges[-1] = True
    is_field = edges[opening - 1] & edges[closing + 1]
    is_one_line = np.searchsorted(ends, opening) == np.searchsorted(ends, closing)
    if not (is_field & is_one_line).all():
        return None
    outside: Numbers = delimiters[np.searchsorted(quotes, delimiters) % 2 == 0]
    return outside


def read_numbers(
    buffer: Bytes, starts: Numbers, ends: Numbers, mark: str
) -> tuple[Flags, NDArray[np.float64], NDArray[np.float64]]:
    """Which fields are plain numbers; mantissa and scale of each, whole floats."""
    good = np.zeros(starts.size, bool)
    mantissa, scale = np.ones(starts.size), np.ones(starts.size)
    lengths = ends - starts
    left = np.flatnonzero((lengths > 0) & (lengths <= _WIDEST_NUMBER))
    for _ in range(_MOST_FORMS):
        if not left.size:
            break
        example = buffer[starts[left[0]] : ends[left[0]]].tobytes()
        form = _NUMBER.fullmatch(example)
        digits = [place for place, sign in enumerate(example) if 48 <= sign <= 57]
        is_equal, texts = alike(buffer, starts[left], lengths[left], example, digits)
        taken, left = left[is_equal], left[~is_equal]
        if form is None or len(digits) > _MOST_DIGITS or form[2] not in _marks(mark):
            continue
        numbers = number_at(texts, digits).astype(np.float64)
        good[taken] = True
        # Adding 0 makes of -0, which only floats have, what was meant.
        mantissa[taken] = (-numbers if form[1] == b"-" else numbers) + 0.0
        scale[taken] = 10.0 ** len(form[3] or b"")
    return good, mantissa, scale


def _marks(mark: str) -> tuple[bytes | None, ...]:
    return (None, mark.encode()) if mark else (None, b".", b",")
