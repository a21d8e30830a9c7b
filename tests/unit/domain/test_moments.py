from datetime import UTC, date, datetime, timedelta

import pytest

from lidclock.domain.moments import (
    end_of_day,
    from_local,
    last_date,
    local_date,
    read_iso,
    say_day,
    say_hours,
    say_moment,
    say_short_day,
    zone_of,
)
from lidclock.errors import InputError

NEW_YORK = zone_of("America/New_York")


def test_a_time_in_the_spring_gap_is_refused_with_both_neighbours():
    with pytest.raises(InputError, match=r"2026-03-08 01:59 or 2026-03-08 03:00"):
        from_local(datetime(2026, 3, 8, 2, 30), NEW_YORK)


def test_a_time_that_occurs_twice_is_the_earlier_instant():
    assert from_local(datetime(2026, 11, 1, 1, 30), NEW_YORK) == datetime(
        2026, 11, 1, 5, 30, tzinfo=UTC
    )


def test_an_offset_decides_which_of_two_times_is_meant():
    assert read_iso("2026-11-01T01:30-05:00", NEW_YORK) == datetime(
        2026, 11, 1, 6, 30, tzinfo=UTC
    )


def test_a_time_without_an_offset_is_in_the_kitchens_zone():
    assert read_iso("2026-10-31T17:10", NEW_YORK) == datetime(
        2026, 10, 31, 21, 10, tzinfo=UTC
    )


@pytest.mark.parametrize("name", ["Mars/Olympus", "", "../etc/passwd", "America"])
def test_an_unknown_zone_is_named_in_the_refusal(name):
    with pytest.raises(InputError, match="unknown time zone"):
        zone_of(name)


@pytest.mark.parametrize("text", ["yesterday", "03/04/2026", "2026-13-01T10:00", ""])
def test_what_is_not_an_iso_time_is_refused(text):
    with pytest.raises(InputError, match="not an ISO 8601 time"):
        read_iso(text, NEW_YORK)


@pytest.mark.parametrize("text", ["0001-01-01T00:00+14:00", "9999-12-31T23:59-12:00"])
def test_a_year_nobody_cooks_in_is_refused(text):
    with pytest.raises(InputError, match="cannot be right"):
        read_iso(text, NEW_YORK)


def test_the_local_day_is_that_of_the_kitchen():
    assert local_date(datetime(2026, 11, 3, 4, 59, tzinfo=UTC), NEW_YORK) == date(
        2026, 11, 2
    )


def test_a_day_ends_at_the_next_local_midnight():
    assert end_of_day(date(2026, 11, 2), NEW_YORK) == datetime(
        2026, 11, 3, 5, tzinfo=UTC
    )


def test_the_end_of_a_day_falls_on_that_day():
    day = date(2026, 11, 2)

    assert last_date(end_of_day(day, NEW_YORK), NEW_YORK) == day


def test_days_are_said_in_letters():
    assert say_day(date(2026, 11, 3)) == "Tue 3 Nov 2026"
    assert say_short_day(date(2026, 11, 3)) == "Tue 3 Nov"


def test_moments_are_said_in_the_kitchens_zone():
    moment = datetime(2026, 11, 3, 22, 10, tzinfo=UTC)

    assert say_moment(moment, NEW_YORK) == "Tue 3 Nov 2026 17:10"


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(0, "0 min"), (45, "45 min"), (110, "1 h 50 min"), (120, "2 h")],
)
def test_spans_are_said_in_hours_and_minutes(minutes, said):
    assert say_hours(timedelta(minutes=minutes)) == said
