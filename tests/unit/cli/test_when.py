"""Times, days, spans and temperatures as people write them."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from lidclock.cli.when import (
    read_coming_time,
    read_day,
    read_span,
    read_time,
)
from lidclock.domain.readings import read_temp
from lidclock.errors import InputError

NEW_YORK = ZoneInfo("America/New_York")
# Sat 31 Oct 2026 17:40 in New York, four hours behind UTC until Sun 1 Nov 02:00.
NOW = datetime(2026, 10, 31, 21, 40, tzinfo=UTC)


def new_york(*parts):
    return datetime(*parts, tzinfo=NEW_YORK).astimezone(UTC)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("now", NOW),
        ("Sat 31 Oct 17:10", new_york(2026, 10, 31, 17, 10)),
        ("sat 31 oct, 17:10", new_york(2026, 10, 31, 17, 10)),
        ("31 Oct 2026 5:10pm", new_york(2026, 10, 31, 17, 10)),
        ("Oct 31st 5pm", new_york(2026, 10, 31, 17)),
        ("31-Oct-2026 17:10", new_york(2026, 10, 31, 17, 10)),
        ("17:10 on 31 October", new_york(2026, 10, 31, 17, 10)),
        ("yesterday 18:00", new_york(2026, 10, 30, 18)),
        ("yesterday at 18:00", new_york(2026, 10, 30, 18)),
        ("today 17:10", new_york(2026, 10, 31, 17, 10)),
        ("17:10", new_york(2026, 10, 31, 17, 10)),
        ("12:05 am", new_york(2026, 10, 31, 0, 5)),
        ("12:05 pm", new_york(2026, 10, 31, 12, 5)),
        ("2026-10-31T17:10", new_york(2026, 10, 31, 17, 10)),
        ("2026-10-31 17:10", new_york(2026, 10, 31, 17, 10)),
        ("2026-10-31T17:10+01:00", datetime(2026, 10, 31, 16, 10, tzinfo=UTC)),
        ("2026-10-31T21:10Z", datetime(2026, 10, 31, 21, 10, tzinfo=UTC)),
        ("2 h ago", NOW - timedelta(hours=2)),
        ("1h 30min ago", NOW - timedelta(minutes=90)),
        ("3 days ago", NOW - timedelta(days=3)),
    ],
)
def test_times_are_read_as_people_write_them(text, meant):
    assert read_time(text, NEW_YORK, NOW) == meant


def test_a_year_left_out_is_the_most_recent():
    assert read_time("2 Dec 12:00", NEW_YORK, NOW) == new_york(2025, 12, 2, 12)


def test_a_day_of_the_coming_month_is_asked_about():
    """On 31 Oct 2026, 20 Nov is more likely a slip than last year's."""
    with pytest.raises(InputError, match="if you mean Thu 20 Nov 2025, write the year"):
        read_time("20 Nov 12:00", NEW_YORK, NOW)


def test_a_leap_day_without_a_year_is_the_last_one():
    assert read_time("29 Feb 12:00", NEW_YORK, NOW) == new_york(2024, 2, 29, 12)


def test_a_bare_weekday_is_the_most_recent():
    assert read_time("Thu 18:00", NEW_YORK, NOW) == new_york(2026, 10, 29, 18)


def test_todays_weekday_with_an_hour_to_come_is_last_weeks():
    assert read_time("Sat 18:00", NEW_YORK, NOW) == new_york(2026, 10, 24, 18)


def test_an_hour_that_occurs_twice_is_the_earlier():
    later = NOW + timedelta(days=1)

    assert read_time("1 Nov 01:30", NEW_YORK, later) == datetime(
        2026, 11, 1, 5, 30, tzinfo=UTC
    )


def test_an_hour_that_does_not_occur_is_refused_with_its_neighbours():
    with pytest.raises(InputError, match=r"did you mean 2026-03-08 01:59 or .* 03:00"):
        read_time("8 Mar 2026 02:30", NEW_YORK, NOW)


@pytest.mark.parametrize(
    ("text", "readings"),
    [
        ("3/4 17:10", "3 Apr or 4 Mar 2026"),
        ("03/04/2026 17:10", "3 Apr or 4 Mar 2026"),
        ("03-04-26 17:10", "3 Apr or 4 Mar 2026"),
        ("31.10. 17:10", "31 Oct 2026"),
        ("10/31 17:10", "31 Oct 2026"),
        ("5/5 17:10", "5 May 2026"),
    ],
)
def test_dates_in_numbers_only_are_refused_with_their_readings(text, readings):
    with pytest.raises(InputError, match=f"could be {readings}: write the month in"):
        read_time(text, NEW_YORK, NOW)


def test_a_weekday_that_does_not_match_is_refused():
    with pytest.raises(InputError, match="31 Oct 2026 is a Saturday, not a Sunday"):
        read_time("Sun 31 Oct 2026 17:10", NEW_YORK, NOW)


@pytest.mark.parametrize(
    "text",
    [
        *("banana", "12", "May", "", " ", "17", "half past five", "31 Oct 17", "1710"),
        *("32 Oct 17:10", "30 Feb 2026 17:10", "25:10", "17:60", "13pm", "0 am"),
        *("Oct 17:10", "2026 17:10", "31 Oct 26 17:10", "17:10 18:10", "-1:30"),
        *("2026-13-01T10:00", "2026-02-30 10:00", "2026-10-31", "ago", "x ago"),
        *("Saturday", "tomorrow", "17:10 banana", "5pmish", "10:00:00:00", "99/99 1pm"),
    ],
)
def test_nothing_else_passes_as_a_time(text):
    with pytest.raises(InputError):
        read_time(text, NEW_YORK, NOW)


def test_a_day_without_an_hour_says_what_to_write():
    with pytest.raises(InputError, match="names no hour on Fri 30 Oct 2026"):
        read_time("30 Oct", NEW_YORK, NOW)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("5 Nov", date(2026, 11, 5)),
        ("Thu 5 Nov 2026", date(2026, 11, 5)),
        ("2026-11-05", date(2026, 11, 5)),
        ("2 Jan", date(2027, 1, 2)),
        ("20 May", date(2026, 5, 20)),
        ("tomorrow", date(2026, 11, 1)),
    ],
)
def test_a_makers_date_without_a_year_is_the_nearest(text, meant):
    assert read_day(text, NEW_YORK, NOW) == meant


@pytest.mark.parametrize(
    "text", ["5/11", "Nov", "Nov 2026", "banana", "5 Nov 17:00", "Thu", "5", ""]
)
def test_nothing_else_passes_as_a_makers_date(text):
    with pytest.raises(InputError):
        read_day(text, NEW_YORK, NOW)


@pytest.mark.parametrize(
    ("text", "hours"),
    [("36h", 36), ("2d", 48), ("90min", 1.5), ("1h 30min", 1.5), ("2 days", 48)],
)
def test_spans_are_read(text, hours):
    assert read_span(text) == timedelta(hours=hours)


@pytest.mark.parametrize(
    "text", ["", "2", "h", "-2h", "two days", "99999d", "9" * 400 + "d", "1w"]
)
def test_nothing_else_passes_as_a_span(text):
    with pytest.raises(InputError):
        read_span(text)


@pytest.mark.parametrize(
    ("text", "celsius"),
    [("6.5C", 6.5), ("41F", 5.0), ("5 °C", 5.0), ("-18c", -18.0), ("6,5C", 6.5)],
)
def test_temperatures_are_read_into_celsius(text, celsius):
    assert read_temp(text) == celsius


@pytest.mark.parametrize("text", ["", "5", "C", "warm", "5K", "900C", "-400F"])
def test_nothing_else_passes_as_a_temperature(text):
    with pytest.raises(InputError):
        read_temp(text)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("18:30", new_york(2026, 10, 31, 18, 30)),
        ("08:00", new_york(2026, 11, 1, 8)),
        ("Sat 18:30", new_york(2026, 10, 31, 18, 30)),
        ("Sat 08:00", new_york(2026, 11, 7, 8)),
        ("Thu 18:30", new_york(2026, 11, 5, 18, 30)),
        ("tomorrow 08:00", new_york(2026, 11, 1, 8)),
        ("2 Jan 08:00", new_york(2027, 1, 2, 8)),
        ("2026-11-01T08:00", new_york(2026, 11, 1, 8)),
        ("in 36h", NOW + timedelta(hours=36)),
    ],
)
def test_times_to_come_are_the_next_ones(text, meant):
    assert read_coming_time(text, NEW_YORK, NOW) == meant


def test_a_time_to_come_needs_an_hour():
    with pytest.raises(InputError, match="'tomorrow' names no hour; write it like"):
        read_coming_time("tomorrow", NEW_YORK, NOW)
