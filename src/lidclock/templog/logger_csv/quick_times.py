"""Many texts of moments at once, by the places of their digits."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from lidclock.templog.logger_csv.fields import decoded
from lidclock.templog.logger_csv.months import month_of
from lidclock.templog.logger_csv.quick_text import (
    Bytes,
    Flags,
    Numbers,
    alike,
    number_at,
)
from lidclock.templog.logger_csv.rows import NO_OFFSET
from lidclock.templog.logger_csv.times import (
    CENTURY,
    DAY_US,
    EPOCH_UNITS_US,
    FARTHEST_OFFSET_US,
    FIRST_YEAR,
    LAST_YEAR,
    SECOND_US,
    matched,
    numerals,
    written_offset,
)

# A column has few forms: with and without leading zeros, AM and PM, months by name.
_MOST_FORMS = 48
_WIDEST = 40
_MONTHS = (LAST_YEAR - FIRST_YEAR + 1) * 12
_MONTH_STARTS = (
    np.arange(
        np.datetime64(f"{FIRST_YEAR}-01", "M"),
        np.datetime64(f"{LAST_YEAR + 1}-02", "M"),
    )
    .astype("datetime64[D]")
    .astype(np.int64)
)
_MONTH_LENGTHS = np.diff(_MONTH_STARTS)


@dataclass(frozen=True, slots=True)
class Moments:
    """Which texts were read; microseconds of each, and the offset or NO_OFFSET."""

    good: Flags
    us: Numbers
    offset_us: Numbers


def read_moments(
    buffer: Bytes, starts: Numbers, ends: Numbers, kind: str, order: str
) -> Moments:
    """The texts between `starts` and `ends`; those of an unheard-of form are not good.

    `us` is since 1970 for a moment, of the days alone for a date, of the day alone for
    a clock: a date and a clock add up.
    """
    found = Moments(
        np.zeros(starts.size, bool),
        np.zeros(starts.size, np.int64),
        np.full(starts.size, NO_OFFSET),
    )
    lengths = ends - starts
    left = np.flatnonzero((lengths > 0) & (lengths <= _WIDEST))
    for _ in range(_MOST_FORMS):
        if not left.size:
            break
        example = buffer[starts[left[0]] : ends[left[0]]].tobytes()
        match = matched(decoded(example), kind) if example.isascii() else None
        free = _free_places(match) if match is not None else ()
        is_equal, texts = alike(buffer, starts[left], lengths[left], example, free)
        taken = left[is_equal]
        left = left[~is_equal]
        if match is not None:
            form = _Form(texts, match, match.groupdict(), kind, order)
            form.fill(found, taken)
    return found


_NUMERALS = ("Y", "m", "d", "a", "b", "c", "H", "M", "S", "f", "count")


def _free_places(match: re.Match[str]) -> frozenset[int]:
    """The places of the digits that may differ from text to text."""
    found = match.groupdict()
    return frozenset(
        place
        for name in _NUMERALS
        if found.get(name) is not None
        for place in range(*match.span(name))
    )


@dataclass(frozen=True, slots=True)
class _Form:
    """Texts of one form, (width, n); `match` is that of one of them."""

    texts: Bytes
    match: re.Match[str]
    groups: dict[str, str | None]
    kind: str
    order: str

    def fill(self, found: Moments, taken: Numbers) -> None:
        """Put in what the texts say; what is out of range is not good."""
        offset = written_offset(self.groups)
        is_far = offset is not None and abs(offset) > FARTHEST_OFFSET_US
        if self.groups.get("zone") or is_far or self.kind == "serial":
            return
        if self.kind == "epoch":
            good, us = self._epoch()
            offset = 0
        else:
            good, us = self._of_calendar()
        found.good[taken] = good
        found.us[taken] = us
        found.offset_us[taken] = NO_OFFSET if offset is None else offset

    def _of_calendar(self) -> tuple[Flags, Numbers]:
        good, us = self._nothing()
        good = ~good
        if self.kind != "clock":
            is_date, days = self._days()
            good, us = good & is_date, us + days * DAY_US
        if self.kind != "date":
            is_clock, of_day = self._clock()
            good, us = good & is_clock, us + of_day
        return good, us

    def _nothing(self) -> tuple[Flags, Numbers]:
        count = self.texts.shape[1]
        return np.zeros(count, bool), np.zeros(count, np.int64)

    def _number(self, name: str) -> Numbers:
        """The numbers at the places of a group; 0 where the form has no such group."""
        if self.groups.get(name) is None:
            return self._nothing()[1]
        return number_at(self.texts, range(*self.match.span(name)))

    def _fraction_us(self) -> Numbers:
        if self.groups.get("f") is None:
            return self._nothing()[1]
        start, end = self.match.span("f")
        digits = range(start, min(end, start + 6))
        us: Numbers = number_at(self.texts, digits) * 10 ** (6 - len(digits))
        return us

    def _epoch(self) -> tuple[Flags, Numbers]:
        unit_us = EPOCH_UNITS_US.get(len(self.groups["count"] or ""))
        if unit_us is None:
            return self._nothing()
        us = self._number("count") * unit_us
        us = us + self._fraction_us() * unit_us // SECOND_US
        return np.ones(us.size, bool), us

    def _clock(self) -> tuple[Flags, Numbers]:
        hour, minute, second = (self._number(name) for name in "HMS")
        good = (minute < 60) & (second < 60)
        half = (self.groups.get("half") or "").lower()
        if half:
            good &= (hour >= 1) & (hour <= 12)
            hour = hour % 12 + (12 if half == "p" else 0)
        us = ((hour * 60 + minute) * 60 + second) * SECOND_US + self._fraction_us()
        return good & (us <= DAY_US), us

    def _days(self) -> tuple[Flags, Numbers]:
        names = ("Y", "m", "d")
        if "a" in self.groups:
            found = numerals(self.groups, self.order)
            if found is None:
                return self._nothing()
            names = found
        year, month, day = (self._number(name) for name in names)
        if len(self.groups[names[0]] or "") == 2:
            year = year + CENTURY
        if "mon" in self.groups:
            month = month + (month_of(self.groups["mon"] or "") or 0)
        good = (month >= 1) & (month <= 12) & (year >= FIRST_YEAR) & (year <= LAST_YEAR)
        index = np.where(good, (year - FIRST_YEAR) * 12 + month - 1, 0)
        good &= (day >= 1) & (day <= _MONTH_LENGTHS[index])
        return good, _MONTH_STARTS[index] + day - 1
