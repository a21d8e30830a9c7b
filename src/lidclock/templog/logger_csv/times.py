"""A moment as a logger wrote it: numerals in some order, month names, counts.

The first form that fits a text decides, and which one fits depends only on where its
digits stand. So every text with its digits at the same places, and otherwise equal, is
of the same form: the quick reader rests on that.
"""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date
from functools import lru_cache
from typing import NamedTuple

from lidclock.templog.logger_csv.months import month_of

DAY_FIRST, MONTH_FIRST, YEAR_FIRST = "dmy", "mdy", "ymd"
ORDERS = (DAY_FIRST, MONTH_FIRST, YEAR_FIRST)
SECOND_US = 1_000_000
DAY_US = 86_400 * SECOND_US
# Two digits of a year are of this century: no logger with a clock is older.
CENTURY = 2000
FIRST_YEAR, LAST_YEAR = 1900, 2199
# No zone ever lay farther from UTC than 16 hours (IANA tz, Asia/Manila before 1845).
FARTHEST_OFFSET_US = 16 * 3600 * SECOND_US
_EPOCH_DAY = date(1970, 1, 1).toordinal()

_YEAR_FIRST = r"(?P<Y>[0-9]{4})(?P<s>[-/.])(?P<m>[0-9]{1,2})(?P=s)(?P<d>[0-9]{1,2})\.?"
_NUMERALS = (
    r"(?P<a>[0-9]{1,2})(?P<s>[-/. ])(?P<b>[0-9]{1,2})(?P=s)(?P<c>[0-9]{4}|[0-9]{2})\.?"
)
_WEEKDAY = r"(?:[^\W\d_]{2,10}\.?,?[ ]+)?"
_NAMED = (
    _WEEKDAY
    + r"(?P<d>[0-9]{1,2})\.?[-/ ]?(?P<mon>[^\W\d_]{3,10})\.?[-/ ,]{1,2}"
    + r"(?P<Y>[0-9]{4}|[0-9]{2})"
)
_NAMED_FIRST = (
    _WEEKDAY
    + r"(?P<mon>[^\W\d_]{3,10})\.?[-/ ]?(?P<d>[0-9]{1,2})(?:st|nd|rd|th)?,?[-/ ]"
    + r"(?P<Y>[0-9]{4}|[0-9]{2})"
)
_NAMED_YEAR_FIRST = (
    r"(?P<Y>[0-9]{4})[-/ ](?P<mon>[^\W\d_]{3,10})\.?[-/ ](?P<d>[0-9]{1,2})"
)
_COMPACT = r"(?P<Y>[0-9]{4})(?P<m>[0-9]{2})(?P<d>[0-9]{2})"
_DATES = (_YEAR_FIRST, _NUMERALS, _NAMED, _NAMED_FIRST, _NAMED_YEAR_FIRST, _COMPACT)

_OFFSET = (
    r"(?P<off>Z|(?:UTC|GMT)?[+\-−][0-9]{1,2}(?::?[0-9]{2})?|UTC|GMT)"
    r"|(?P<zone>(?!AM$|PM$)[A-Z]{2,5})"
)
_CLOCK = (
    r"(?P<H>[0-9]{1,2})[:.h](?P<M>[0-9]{2})(?:[:.m](?P<S>[0-9]{2})s?(?:[.,:](?P<f>[0-9]{1,9}))?)?"
    r"(?:[ \u00a0\u202f]?(?P<half>[AaPp])\.?[ ]?[Mm]\.?)?"
    rf"(?:[ ]?(?:{_OFFSET}))?"
)
_COMPACT_CLOCK = (
    r"(?P<H>[0-9]{2})(?P<M>[0-9]{2})(?:(?P<S>[0-9]{2})(?:[.,](?P<f>[0-9]{1,9}))?)?"
    rf"(?:[ ]?(?:{_OFFSET}))?"
)
_CLOCKS = (_CLOCK, _COMPACT_CLOCK)
_BETWEEN = r"(?:[Tt]|,?[ \u00a0]+|,|-(?=[0-9]{1,2}:))"

_MOMENT_FORMS = tuple(
    re.compile(pattern)
    for pattern in (
        *(f"{day}{_BETWEEN}{clock}" for day in _DATES for clock in _CLOCKS),
        *(f"{_CLOCK},?[ ]+{day}" for day in _DATES),
        f"{_COMPACT}{_COMPACT_CLOCK}",
    )
)
_DATE_FORMS = tuple(map(re.compile, _DATES))
_CLOCK_FORMS = tuple(map(re.compile, _CLOCKS))
_EPOCH_FORM = re.compile(r"(?P<count>[0-9]{9,19})(?:[.,](?P<f>[0-9]{1,9}))?")
_SERIAL_FORM = re.compile(r"(?P<days>[0-9]{5})(?:[.,](?P<part>[0-9]{1,15}))?")

FORMS = {
    "moment": _MOMENT_FORMS,
    "date": _DATE_FORMS,
    "clock": _CLOCK_FORMS,
    "epoch": (_EPOCH_FORM,),
    "serial": (_SERIAL_FORM,),
}
# Digits of a count since 1970, and how many microseconds one of them is.
EPOCH_UNITS_US = {9: 10**6, 10: 10**6, 12: 1000, 13: 1000, 15: 1, 16: 1}
# Day 0 of spreadsheets that count from 1900, as ISO/IEC 29500-1, 18.17.4.1 has it for
# dates from March 1900 on.
_SERIAL_DAY_0 = date(1899, 12, 30).toordinal() - _EPOCH_DAY
# A count of days is one of this range: the years 2000 to 2119.
SERIAL_DAYS = range(36_526, 80_000)


class Stamp(NamedTuple):
    """What one text says: `days` since 1970 and `us` of the day, as far as it does.

    `offset_us` is the offset from UTC if one is written; `zone` a word such as EST.
    """

    days: int | None
    us: int | None
    offset_us: int | None = None
    zone: str = ""

    @property
    def local_us(self) -> int | None:
        """Microseconds since 1970 on the clock that was read; None if incomplete."""
        if self.days is None or self.us is None:
            return None
        return self.days * DAY_US + self.us


def matched(text: str, kind: str) -> re.Match[str] | None:
    """The match of the form that `text` has; None if it has none of this kind."""
    for form in FORMS[kind]:
        if match := form.fullmatch(text):
            return match
    return None


def read_stamp(text: str, kind: str, order: str = "") -> Stamp | None:
    """The stamp in `text`; `order` is that of numerals. None if there is none."""
    match = matched(text, kind)
    return None if match is None else stamp_of(match, kind, order)


def stamp_of(match: re.Match[str], kind: str, order: str) -> Stamp | None:
    """The stamp that a matched form says; None if its numbers are impossible."""
    found = match.groupdict()
    if kind == "epoch":
        return _epoch(found)
    if kind == "serial":
        return _serial(found)
    days = None if kind == "clock" else _days(found, order)
    us = None if kind == "date" else _us(found)
    if (kind != "clock" and days is None) or (kind != "date" and us is None):
        return None
    offset = written_offset(found)
    if offset is not None and abs(offset) > FARTHEST_OFFSET_US:
        return None
    return Stamp(days, us, offset, found.get("zone") or "")


def written_offset(found: dict[str, str | None]) -> int | None:
    """Microseconds ahead of UTC that a matched form gives, or None if it gives none."""
    text = found.get("off")
    return None if text is None else offset_us(text)


def _epoch(found: dict[str, str | None]) -> Stamp | None:
    count = found["count"] or ""
    unit_us = EPOCH_UNITS_US.get(len(count))
    if unit_us is None:
        return None
    part = found["f"]
    us = int(count) * unit_us + (
        fraction_us(part) * unit_us // SECOND_US if part else 0
    )
    return Stamp(*divmod(us, DAY_US), offset_us=0)


def _serial(found: dict[str, str | None]) -> Stamp | None:
    """Rounded to a second: what a spreadsheet prints holds no more."""
    days, part = int(found["days"] or 0), found["part"] or "0"
    if days not in SERIAL_DAYS:
        return None
    scale = 10 ** len(part)
    seconds = (2 * int(part) * 86_400 + scale) // (2 * scale)
    return Stamp(_SERIAL_DAY_0 + days + seconds // 86_400, seconds % 86_400 * SECOND_US)


def _us(found: dict[str, str | None]) -> int | None:
    """Microseconds of the day; 24:00 is the end of it (ISO 8601:2004, 4.2.3)."""
    hour, minute = int(found["H"] or 0), int(found["M"] or 0)
    second, half = int(found["S"] or 0), (found.get("half") or "").lower()
    if half:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half == "p" else 0)
    us = ((hour * 60 + minute) * 60 + second) * SECOND_US + fraction_us(found["f"])
    if minute > 59 or second > 59 or us > DAY_US:
        return None
    return us


def fraction_us(digits: str | None) -> int:
    """Microseconds of the digits behind a second's decimal mark, cut to whole ones."""
    return int((digits or "0")[:6].ljust(6, "0"))


def _days(found: dict[str, str | None], order: str) -> int | None:
    if "a" in found:
        named = triple(found, order)
        return None if named is None else days_of(*named)
    year, day = int(found["Y"] or 0), int(found["d"] or 0)
    year += CENTURY if len(found["Y"] or "") == 2 else 0
    month = int(found["m"] or 0) if "m" in found else month_of(found["mon"] or "")
    return None if month is None else days_of(year, month, day)


def triple(found: dict[str, str | None], order: str) -> tuple[int, int, int] | None:
    """Year, month and day of three numerals."""
    names = numerals(found, order)
    if names is None:
        return None
    year, month, day = (found[name] or "" for name in names)
    return int(year) + (CENTURY if len(year) == 2 else 0), int(month), int(day)


def numerals(found: dict[str, str | None], order: str) -> tuple[str, str, str] | None:
    """The groups of year, month and day; a year of four digits is always the last."""
    if order == YEAR_FIRST:
        has_short_year = len(found["a"] or "") == 2 == len(found["c"] or "")
        return ("a", "b", "c") if has_short_year else None
    if order == DAY_FIRST:
        return ("c", "b", "a")
    return ("c", "a", "b") if order == MONTH_FIRST else None


@lru_cache(maxsize=8192)
def days_of(year: int, month: int, day: int) -> int | None:
    """Days from 1970 to a date; None if there is no such date."""
    if not (FIRST_YEAR <= year <= LAST_YEAR and 1 <= month <= 12):
        return None
    if not 1 <= day <= monthrange(year, month)[1]:
        return None
    return date(year, month, day).toordinal() - _EPOCH_DAY


def offset_us(text: str) -> int:
    """Microseconds that a written offset lies ahead of UTC: `Z`, `+02:00`, `GMT-5`."""
    bare = text.replace("−", "-").removeprefix("UTC").removeprefix("GMT")
    if bare in ("", "Z"):
        return 0
    digits = bare[1:].replace(":", "")
    hours, minutes = (digits[:-2], digits[-2:]) if len(digits) > 2 else (digits, "0")
    us = (int(hours) * 60 + int(minutes)) * 60 * SECOND_US
    return -us if bare[0] == "-" else us
