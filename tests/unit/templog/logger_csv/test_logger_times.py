"""Moments as loggers write them."""

from datetime import UTC, datetime, timedelta

import pytest

from lidclock.templog.logger_csv.months import month_of
from lidclock.templog.logger_csv.times import Stamp, read_stamp

HOUR_US = 3_600_000_000


def us(*parts):
    moment = datetime(*parts, tzinfo=UTC) - datetime(1970, 1, 1, tzinfo=UTC)
    return moment // timedelta(microseconds=1)


@pytest.mark.parametrize(
    ("text", "order", "local"),
    [
        ("2026-10-26 00:01:02", "", us(2026, 10, 26, 0, 1, 2)),
        ("2026-10-26T00:01", "", us(2026, 10, 26, 0, 1)),
        ("2026/10/26 00:01:02.5", "", us(2026, 10, 26, 0, 1, 2, 500_000)),
        ("2026-10-26, 00:01:02,123456789", "", us(2026, 10, 26, 0, 1, 2, 123_456)),
        ("2026.10.26 0:01", "", us(2026, 10, 26, 0, 1)),
        ("26/10/2026 00:01", "dmy", us(2026, 10, 26, 0, 1)),
        ("05/10/2026 00:01", "dmy", us(2026, 10, 5, 0, 1)),
        ("05/10/2026 00:01", "mdy", us(2026, 5, 10, 0, 1)),
        ("5.10.26 14.30.00", "dmy", us(2026, 10, 5, 14, 30)),
        ("26-10-05 14:30", "ymd", us(2026, 10, 5, 14, 30)),
        ("26-10-05 14:30", "dmy", us(2005, 10, 26, 14, 30)),
        ("10/5/2026 12:00 AM", "mdy", us(2026, 10, 5)),
        ("10/5/2026 12:00:01 p.m.", "mdy", us(2026, 10, 5, 12, 0, 1)),
        ("10/5/2026 1:05:00PM", "mdy", us(2026, 10, 5, 13, 5)),
        ("05-Oct-2026 14:30", "", us(2026, 10, 5, 14, 30)),
        ("5 October 2026 14:30", "", us(2026, 10, 5, 14, 30)),
        ("Mon 5 Oct 2026 14:30:00", "", us(2026, 10, 5, 14, 30)),
        ("Oct 5, 2026 2:30:00 PM", "", us(2026, 10, 5, 14, 30)),
        ("5. März 2026 14:30", "", us(2026, 3, 5, 14, 30)),
        ("5 févr. 2026 14:30", "", us(2026, 2, 5, 14, 30)),
        ("2026-Oct-05 14:30", "", us(2026, 10, 5, 14, 30)),
        ("20261005T143000", "", us(2026, 10, 5, 14, 30)),
        ("20261005 1430", "", us(2026, 10, 5, 14, 30)),
        ("20261005143000", "", us(2026, 10, 5, 14, 30)),
        ("14:30:00 05/10/2026", "dmy", us(2026, 10, 5, 14, 30)),
        ("2026-10-05 24:00", "", us(2026, 10, 6)),
        ("2028-02-29 00:00", "", us(2028, 2, 29)),
    ],
)
def test_a_moment_is_read(text, order, local):
    stamp = read_stamp(text, "moment", order)

    assert stamp is not None
    assert stamp.local_us == local
    assert stamp.offset_us is None


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("2026-10-05 14:30Z", 0),
        ("2026-10-05T14:30:00+02:00", 2),
        ("2026-10-05T14:30:00.000-0500", -5),
        ("2026-10-05 14:30:00 +05:30", 5.5),
        ("2026-10-05 14:30 UTC", 0),
        ("2026-10-05 14:30 GMT+1", 1),
        ("20261005T143000Z", 0),
    ],
)
def test_an_offset_is_honoured(text, hours):
    stamp = read_stamp(text, "moment")

    assert stamp is not None
    assert stamp.local_us == us(2026, 10, 5, 14, 30)
    assert stamp.offset_us == hours * HOUR_US


def test_the_name_of_a_zones_time_is_kept():
    stamp = read_stamp("2026-10-05 14:30:00 EDT", "moment")

    assert stamp is not None
    assert (stamp.zone, stamp.offset_us) == ("EDT", None)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "2026-13-01 00:00",
        "2026-02-30 00:00",
        "2027-02-29 00:00",
        "2026-10-26 25:00",
        "2026-10-26 24:01",
        "2026-10-26 00:60",
        "2026-10-26 00:00:60",
        "2026-10-26",
        "00:00:00",
        "05/10/2026 00:00",
        "10/5/2026 13:00 PM",
        "10/5/2026 0:30 AM",
        "5 Frob 2026 00:00",
        "2026-10-05 14:30+25:00",
        "2026-10-5 ١٤:٣٠",
        "1850-10-05 14:30",
        "4.5",
    ],
)
def test_what_is_no_moment_is_none(text):
    """05/10 without an order is no moment either."""
    assert read_stamp(text, "moment") is None


@pytest.mark.parametrize(
    ("text", "local"),
    [
        ("1791210600", us(2026, 10, 5, 14, 30)),
        ("1791210600.25", us(2026, 10, 5, 14, 30, 0, 250_000)),
        ("1791210600123", us(2026, 10, 5, 14, 30, 0, 123_000)),
        ("1791210600123456", us(2026, 10, 5, 14, 30, 0, 123_456)),
    ],
)
def test_a_count_since_1970_is_in_utc(text, local):
    assert read_stamp(text, "epoch") == Stamp(*divmod(local, 24 * HOUR_US), offset_us=0)


@pytest.mark.parametrize(
    ("text", "local"),
    [
        ("46300", us(2026, 10, 5)),
        ("46300.5", us(2026, 10, 5, 12)),
        ("46300.60416667", us(2026, 10, 5, 14, 30)),
        ("46300,604166666664", us(2026, 10, 5, 14, 30)),
        ("46300.9999999", us(2026, 10, 6)),
    ],
)
def test_a_spreadsheets_serial_is_a_local_time_to_the_second(text, local):
    """Day 46300 after 30 December 1899 is 5 October 2026: 46300 - 25569 = 20731."""
    stamp = read_stamp(text, "serial")

    assert stamp is not None
    assert (stamp.local_us, stamp.offset_us) == (local, None)


def test_a_small_number_is_no_serial():
    assert read_stamp("12345", "serial") is None


@pytest.mark.parametrize(
    ("word", "month"),
    [
        *(("Jan", 1), ("MAY", 5), ("mai", 5), ("août", 8), ("Sept", 9), ("dic", 12)),
        *(("juin", 6), ("juillet", 7), ("Mär", 3), ("marras", 11), ("foo", None)),
        *(("lipiec", 7), ("listopad", 11), ("červenec", 7), ("červen", 6)),
    ],
)
def test_months_are_known_by_their_beginnings(word, month):
    assert month_of(word) == month
