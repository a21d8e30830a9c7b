"""What loggers write against other readers of the same: dateutil, zoneinfo, decimal.

- python-dateutil reads the same texts of moments (its `dayfirst` and `yearfirst`).
- The IANA time zone database, as Python's zoneinfo reads it, gives every zone that
  changes its clocks in 2026, and what those clocks show.
- Python's decimal arithmetic converts °F: exactly (F - 32) * 5/9, to four places.
- ISO/IEC 29500-1, 18.17.4.1: serial 39448 is 1 January 2008 where day 1 is 1 Jan 1900.
"""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo, available_timezones

import numpy as np
import pytest
from dateutil import parser

from lidclock.templog.logger_csv.findings import Findings
from lidclock.templog.logger_csv.numbers import read_number
from lidclock.templog.logger_csv.rows import NO_OFFSET, Rows
from lidclock.templog.logger_csv.times import read_stamp
from lidclock.templog.logger_csv.words import say_local
from lidclock.templog.logger_csv.zones import Localiser, ZoneClock, offset_at

EPOCH = datetime(1970, 1, 1)
US = timedelta(microseconds=1)
MINUTE_US = 60_000_000
ORDERS = {
    "dmy": {"dayfirst": True},
    "mdy": {},
    "ymd": {"yearfirst": True},
    "": {},
}
# Formats as datetime writes them, with the order of their numerals.
FORMATS = [
    ("%Y-%m-%d %H:%M:%S", ""),
    ("%Y-%m-%dT%H:%M:%S", ""),
    ("%Y-%m-%dT%H:%M:%S.%f", ""),
    ("%Y/%m/%d %H:%M", ""),
    ("%Y%m%dT%H%M%S", ""),
    ("%Y%m%d%H%M%S", ""),
    ("%d/%m/%Y %H:%M:%S", "dmy"),
    ("%d.%m.%Y %H:%M", "dmy"),
    ("%d-%m-%Y %H:%M", "dmy"),
    ("%d/%m/%y %H:%M:%S", "dmy"),
    ("%m/%d/%Y %H:%M:%S", "mdy"),
    ("%m/%d/%Y %I:%M:%S %p", "mdy"),
    ("%m/%d/%y %I:%M %p", "mdy"),
    ("%m-%d-%Y %H:%M", "mdy"),
    ("%y/%m/%d %H:%M", "ymd"),
    ("%d %b %Y %H:%M:%S", ""),
    ("%d-%b-%Y %H:%M", ""),
    ("%d-%b-%y %H:%M", ""),
    ("%b %d, %Y %I:%M:%S %p", ""),
    ("%A, %d %B %Y %H:%M", ""),
    ("%a %d %b %Y %H:%M:%S", ""),
    ("%H:%M:%S %d/%m/%Y", "dmy"),
]
OFFSETS = ["Z", "+00:00", "+02:00", "-0500", "+05:30", "-09:30", " UTC", " +0100"]


@pytest.mark.parametrize(("form", "order"), FORMATS)
def test_dateutil_reads_the_same_moment(form, order):
    chance = random.Random(form)
    for _ in range(300):
        seconds = chance.randrange(int(timedelta(days=365 * 40).total_seconds()))
        moment = datetime(2001, 1, 1) + timedelta(seconds=seconds)
        text = moment.strftime(form)
        stamp = read_stamp(text, "moment", order)

        theirs = parser.parse(text, **ORDERS[order])
        assert stamp is not None, text
        assert stamp.local_us == (theirs - EPOCH) // US, text


@pytest.mark.parametrize("offset", OFFSETS)
def test_dateutil_reads_the_same_offset(offset):
    text = f"2026-10-26 14:30:15{offset}"
    stamp = read_stamp(text, "moment")

    theirs = parser.parse(text)
    assert stamp is not None
    assert stamp.local_us is not None
    assert stamp.offset_us is not None
    ours = EPOCH.replace(tzinfo=UTC) + (stamp.local_us - stamp.offset_us) * US
    assert ours == theirs.astimezone(UTC)


def test_the_serial_of_the_standards_example():
    stamp = read_stamp("39448", "serial")

    assert stamp is not None
    assert stamp.local_us == (datetime(2008, 1, 1) - EPOCH) // US


def changes_of(name):
    """The instants of 2026 at which a zone changes its clocks, to the minute."""
    zone, found = ZoneInfo(name), []
    start = datetime(2026, 1, 1, tzinfo=UTC)
    hours = [start + timedelta(hours=hour) for hour in range(365 * 24)]
    offsets = [hour.astimezone(zone).utcoffset() for hour in hours]
    for place, hour in enumerate(hours[1:], start=1):
        if offsets[place] != offsets[place - 1]:
            minutes = [hour - timedelta(minutes=m) for m in range(60, -1, -1)]
            found.append(
                next(
                    m
                    for m in minutes
                    if m.astimezone(zone).utcoffset() == offsets[place]
                )
            )
    return found


def zones_that_change():
    """One zone for each way in which clocks change in 2026."""
    ways = {}
    for name in sorted(available_timezones()):
        zone = ZoneInfo(name)
        offsets = tuple(
            datetime(2026, month, day, tzinfo=UTC).astimezone(zone).utcoffset()
            for month in range(1, 13)
            for day in (1, 8, 15, 22)
        )
        if len(set(offsets)) > 1:
            ways.setdefault(offsets, name)
    return sorted(ways.values())


ZONES = zones_that_change()


def test_there_are_zones_of_many_ways():
    """Whole hours and the half hour of Lord Howe, north and south, Ramadan's pauses."""
    assert len(ZONES) >= 15
    assert any("Lord_Howe" in name or "LHI" in name for name in ZONES)


@pytest.mark.parametrize("name", ZONES)
@pytest.mark.parametrize("minutes", [1, 10, 60])
def test_a_log_through_every_change_of_2026_is_told_apart(name, minutes):
    """The clock of the zone is read every so often from a day before to a day after."""
    zone = ZoneInfo(name)
    for change in changes_of(name):
        first = change - timedelta(days=1)
        instants = [
            first + timedelta(minutes=minutes * place)
            for place in range(2 * 24 * 60 // minutes)
        ]
        local = [
            (one.astimezone(zone).replace(tzinfo=None) - EPOCH) // US
            for one in instants
        ]
        count = len(local)
        rows = Rows(
            np.arange(count),
            np.array(local),
            np.full(count, NO_OFFSET),
            np.zeros((count, 1)),
            np.zeros((count, 1)),
            np.zeros(count, np.int64),
        )
        findings = Findings()
        at_us, good = Localiser(ZoneClock(zone), findings, say_local).instants(rows)

        theirs = [(one.replace(tzinfo=None) - EPOCH) // US for one in instants]
        assert good.all()
        assert at_us.tolist() == theirs
        assert findings.all() == ()


@pytest.mark.parametrize("name", ZONES)
def test_every_change_of_2026_is_found_where_zoneinfo_has_it(name):
    clock = ZoneClock(ZoneInfo(name))
    year = (datetime(2026, 1, 1) - EPOCH) // US, (datetime(2027, 1, 1) - EPOCH) // US
    ours = [one.at_us for one in clock.changes(*year) if year[0] < one.at_us < year[1]]

    theirs = [(one.replace(tzinfo=None) - EPOCH) // US for one in changes_of(name)]
    assert ours == theirs
    for at_us in theirs:
        before, after = offset_at(clock.zone, at_us - 1), offset_at(clock.zone, at_us)
        assert before != after


def test_fahrenheit_is_converted_as_decimal_arithmetic_does():
    """Every tenth from -60 to 400 °F, and every hundredth around freezing."""
    tenths = [Decimal(n) / 10 for n in range(-600, 4001)]
    hundredths = [Decimal(n) / 100 for n in range(2800, 5001)]
    for degrees in (*tenths, *hundredths):
        number = read_number(str(degrees))
        exact = ((degrees - 32) * 5 / 9).quantize(Decimal("0.0001"))

        assert number is not None
        assert number.celsius("F") == float(exact), degrees


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    [(32, 0), (41, 5), (135, 57.2222), (70, 21.1111), (-40, -40)],
)
def test_known_pairs_of_both_scales(fahrenheit, celsius):
    """FDA Food Code 2022, 3-501.14-16, has 41 °F as 5, 135 °F as 57, 70 °F as 21 °C."""
    number = read_number(str(fahrenheit))

    assert number is not None
    assert number.celsius("F") == celsius
