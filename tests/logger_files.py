"""Invented data loggers: the same readings written in many dialects, for tests."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from hypothesis import strategies as st

EPOCH = datetime(1970, 1, 1)
SERIAL_DAY_0 = datetime(1899, 12, 30)
MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()


def iso(moment: datetime) -> str:
    return f"{moment:%Y-%m-%d %H:%M:%S}"


def half_day(moment: datetime, date: str) -> str:
    hour = moment.hour % 12 or 12
    half = "PM" if moment.hour >= 12 else "AM"
    return f"{date} {hour}:{moment:%M:%S} {half}"


def bare(moment: datetime, first: int, second: int, sign: str) -> str:
    return f"{first}{sign}{second}{sign}{moment.year} {moment:%H:%M:%S}"


def epoch(moment: datetime, scale: int) -> str:
    return str((moment - EPOCH) // timedelta(seconds=1) * scale)


def serial(moment: datetime) -> str:
    days = (moment - SERIAL_DAY_0) / timedelta(days=1)
    return f"{days:.10f}"


# Name of a dialect of times: how it writes a moment of local time, and whether numerals
# leave the order open (which --order then settles).
TIMES = {
    "iso": (iso, ""),
    "iso-t": (lambda m: m.isoformat(), ""),
    "slashes": (lambda m: f"{m:%Y/%m/%d %H:%M:%S}", ""),
    "day-dots": (lambda m: f"{m:%d.%m.%Y %H:%M:%S}", "dmy"),
    "day-bare": (lambda m: bare(m, m.day, m.month, "/"), "dmy"),
    "day-short-year": (lambda m: f"{m:%d-%m-%y %H:%M:%S}", "dmy"),
    "year-short": (lambda m: f"{m:%y-%m-%d %H:%M:%S}", "ymd"),
    "month-bare": (lambda m: bare(m, m.month, m.day, "/"), "mdy"),
    "month-am": (lambda m: half_day(m, f"{m:%m/%d/%Y}"), "mdy"),
    "named": (lambda m: f"{m.day:02} {MONTHS[m.month - 1]} {m:%Y %H:%M:%S}", ""),
    "named-first": (
        lambda m: half_day(m, f"{MONTHS[m.month - 1]} {m.day}, {m.year}"),
        "",
    ),
    "named-dashes": (lambda m: f"{m.day:02}-{MONTHS[m.month - 1]}-{m:%y %H:%M}", ""),
    "compact": (lambda m: f"{m:%Y%m%dT%H%M%S}", ""),
    "digits": (lambda m: f"{m:%Y%m%d%H%M%S}", ""),
    "clock-first": (lambda m: f"{m:%H:%M:%S %d/%m/%Y}", "dmy"),
    "serial": (serial, ""),
}
# Counts since 1970 are in UTC whatever the zone.
COUNTS = {
    "epoch": lambda m: epoch(m, 1),
    "epoch-ms": lambda m: epoch(m, 1000),
    "utc": lambda m: m.isoformat() + "Z",
    "offset": lambda m: (m + timedelta(hours=2)).isoformat(" ") + "+02:00",
    "offset-bare": lambda m: (m - timedelta(hours=5)).isoformat(" ") + "-0500",
}


@dataclass(frozen=True)
class Dialect:
    """One way in which a logger writes its file."""

    time: str = "iso"
    delimiter: str = ","
    mark: str = "."
    quoted: bool = False
    unit: str = "C"
    apart: bool = False
    line_end: str = "\n"
    encoding: str = "utf-8"
    preamble: tuple[str, ...] = ()
    unit_line: bool = False
    numbered: bool = False
    trailer: tuple[str, ...] = ()
    newest_first: bool = False
    blank_lines: bool = False

    @property
    def order(self) -> str:
        """The order of numerals, `` where they leave nothing open."""
        return TIMES[self.time][1] if self.time in TIMES else ""

    @property
    def is_local(self) -> bool:
        """Whether its times are those of a zone's clocks."""
        return self.time in TIMES


def write(moments: Sequence[datetime], temps: Sequence[str], dialect: Dialect) -> bytes:
    """The file: `temps` as decimal text with a point, `moments` as naive times."""
    rows = [
        _row(number, moment, temp.replace(".", dialect.mark), dialect)
        for number, (moment, temp) in enumerate(zip(moments, temps, strict=True), 1)
    ]
    if dialect.newest_first:
        rows.reverse()
    out = io.StringIO()
    style = csv.QUOTE_ALL if dialect.quoted else csv.QUOTE_MINIMAL
    writer = csv.writer(
        out, delimiter=dialect.delimiter, quoting=style, lineterminator="\n"
    )
    writer.writerows(_headings(dialect))
    writer.writerows(rows)
    lines = [*dialect.preamble, *out.getvalue().splitlines(), *dialect.trailer]
    if dialect.blank_lines:
        lines = [more for line in lines for more in (line, "")]
    text = dialect.line_end.join(lines) + dialect.line_end
    return text.encode(dialect.encoding)


def _row(number: int, moment: datetime, temp: str, dialect: Dialect) -> list[str]:
    form = TIMES[dialect.time][0] if dialect.is_local else COUNTS[dialect.time]
    said = form(moment)
    times = said.split(" ", 1) if dialect.apart else [said]
    return [*([str(number)] if dialect.numbered else []), *times, temp]


def _headings(dialect: Dialect) -> list[list[str]]:
    numbered = ["No."] if dialect.numbered else []
    times = ["Date", "Time"] if dialect.apart else ["Date/Time"]
    if dialect.unit_line:
        return [
            [*numbered, *times, "Temperature"],
            [
                *([""] if dialect.numbered else []),
                *[""] * len(times),
                f"°{dialect.unit}",
            ],
        ]
    return [[*numbered, *times, f"Temperature (°{dialect.unit})"]]


# Splits at a blank: only where date and time of day are two words.
_APART = ("iso", "slashes", "day-dots", "day-bare", "month-bare", "year-short")


@st.composite
def dialects(draw: st.DrawFn) -> Dialect:
    """Any dialect whose parts can stand together."""
    time = draw(st.sampled_from([*TIMES, *COUNTS]))
    delimiter = draw(st.sampled_from(",;\t|"))
    mark = draw(st.sampled_from(".,"))
    unit_line = draw(st.booleans())
    return Dialect(
        time=time,
        delimiter=delimiter,
        mark=mark,
        quoted=draw(st.booleans()),
        unit=draw(st.sampled_from("CF")),
        apart=time in _APART and draw(st.booleans()),
        line_end=draw(st.sampled_from(["\n", "\r\n", "\r"])),
        encoding=draw(
            st.sampled_from(
                ["utf-8", "utf-8-sig", "latin-1", "utf-16", "utf-16-le", "utf-16-be"]
            )
        ),
        preamble=draw(
            st.sampled_from(
                [
                    (),
                    ("Serial no.: 1234",),
                    ("Logger export", "", "Started: 2026-01-01 00:00", "Interval;60"),
                    ("sep=" + delimiter,),
                ]
            )
        ),
        unit_line=unit_line,
        numbered=draw(st.booleans()),
        trailer=draw(st.sampled_from([(), ("Max: 8.4", "End of file")])),
        newest_first=draw(st.booleans()),
        blank_lines=draw(st.booleans()),
    )


def utc_us(moment: datetime) -> int:
    """Microseconds since 1970 of a naive time taken as UTC."""
    return (moment.replace(tzinfo=UTC) - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(
        microseconds=1
    )
