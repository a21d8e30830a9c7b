"""Rules of recurrence: own edge cases; the published ones are under tests/external."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from lidclock.domain.moments import zone_of
from lidclock.domain.recurrence import Rule, falls, first_fall, instant_of
from lidclock.domain.rule_text import read_rule
from lidclock.errors import InputError

NEW_YORK = zone_of("America/New_York")
THURSDAY = datetime(2026, 11, 5, 18, 30)


def days(text, begins=THURSDAY, first=None, last=None):
    first_on = first or begins.date()
    last_on = last or begins.date() + timedelta(days=40)
    found = falls(read_rule(text), begins, NEW_YORK, first_on, last_on)
    return [one.date() for one in found]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "no part of a rule"),
        ("FREQ", "no part of a rule"),
        ("FREQ=", "no part of a rule"),
        ("FREQ=DAILY;", "no part of a rule"),
        ("INTERVAL=2", "lacks FREQ"),
        ("FREQ=OFTEN", "is not known"),
        ("FREQ=SECONDLY", "too often"),
        ("FREQ=MINUTELY", "too often"),
        ("FREQ=HOURLY", "too often"),
        ("FREQ=DAILY;FREQ=DAILY", "twice"),
        ("FREQ=DAILY;INTERVAL=0", "within 1 and 1000"),
        ("FREQ=DAILY;INTERVAL=-1", "within 1 and 1000"),
        ("FREQ=DAILY;INTERVAL=1001", "within 1 and 1000"),
        ("FREQ=DAILY;COUNT=0", "within 1 and 10000"),
        ("FREQ=DAILY;COUNT=10001", "within 1 and 10000"),
        ("FREQ=DAILY;COUNT=" + "9" * 400, "within 1 and 10000"),
        ("FREQ=DAILY;COUNT=\u0663", "within 1 and 10000"),
        ("FREQ=DAILY;COUNT=3;UNTIL=20261224", "not both"),
        ("FREQ=DAILY;UNTIL=tomorrow", "is no day"),
        ("FREQ=DAILY;UNTIL=20261332", "is no day"),
        ("FREQ=DAILY;UNTIL=20261224T250000Z", "is no day"),
        ("FREQ=DAILY;BYHOUR=9", "leave out BYHOUR"),
        ("FREQ=DAILY;BYMINUTE=9", "leave out BYMINUTE"),
        ("FREQ=YEARLY;BYWEEKNO=20", "are not read"),
        ("FREQ=DAILY;X-OWN=1", "are not read"),
        ("FREQ=WEEKLY;BYDAY=XX", "takes days such as"),
        ("FREQ=WEEKLY;BYDAY=", "no part"),
        ("FREQ=WEEKLY;BYDAY=1MO", "does not go with FREQ=WEEKLY"),
        ("FREQ=DAILY;BYDAY=1MO", "does not go with FREQ=DAILY"),
        ("FREQ=MONTHLY;BYDAY=0MO", "takes days such as"),
        ("FREQ=MONTHLY;BYDAY=54MO", "takes days such as"),
        ("FREQ=WEEKLY;BYMONTHDAY=1", "does not go with FREQ=WEEKLY"),
        ("FREQ=MONTHLY;BYMONTHDAY=0", "within 1 to 31"),
        ("FREQ=MONTHLY;BYMONTHDAY=-32", "within 1 to 31"),
        ("FREQ=MONTHLY;BYMONTH=13", "within 1 to 12"),
        ("FREQ=MONTHLY;BYYEARDAY=1", "goes with FREQ=YEARLY"),
        ("FREQ=MONTHLY;BYSETPOS=1", "BYSETPOS needs"),
        ("FREQ=DAILY;WKST=1", "is a day"),
        ("FREQ=DAILY;" + "BYMONTH=" + ",".join(["1"] * 400), "longer than"),
    ],
)
def test_what_is_wrong_with_a_rule_is_said(text, words):
    with pytest.raises(InputError, match=words):
        read_rule(text)


def test_small_letters_and_the_property_s_name_are_read():
    assert read_rule(" rrule:freq=weekly;byday=th ") == Rule("WEEKLY", by_day=((0, 3),))


@pytest.mark.parametrize(
    "text",
    [
        "FREQ=DAILY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=MONTHLY;BYMONTH=4;BYMONTHDAY=31",
        "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30",
        "FREQ=DAILY;INTERVAL=7;BYDAY=FR",
        "FREQ=WEEKLY;BYDAY=TH;BYSETPOS=2",
        "FREQ=DAILY;UNTIL=20261104",
        "FREQ=DAILY;UNTIL=20261105T232959Z",
    ],
)
def test_a_rule_that_never_falls_is_found_out(text):
    assert first_fall(read_rule(text), THURSDAY, NEW_YORK) is None


def test_a_leap_day_on_one_weekday_is_found_after_forty_years():
    """After Mon 29 Feb 2072 it takes 40 years, for 2100 has none: 2112."""
    rule = read_rule("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29;BYDAY=MO")

    assert first_fall(rule, datetime(2072, 3, 1, 9), NEW_YORK) == datetime(
        2112, 2, 29, 9
    )


@pytest.mark.parametrize(
    ("until", "last"),
    [
        ("20261107", 7),  # the whole day
        ("20261107T183000", 7),  # the hour itself, in local time
        ("20261107T182959", 6),
        ("20261107T233000Z", 7),  # 18:30 in New York in winter
        ("20261107T232959Z", 6),
    ],
)
def test_until_is_inclusive_as_a_day_a_local_time_and_in_utc(until, last):
    found = days(f"FREQ=DAILY;UNTIL={until}")

    assert found[-1] == date(2026, 11, last)


def test_count_counts_from_the_first_time_not_from_the_days_asked_for():
    found = days("FREQ=WEEKLY;COUNT=3", first=date(2026, 11, 13))

    assert found == [date(2026, 11, 19)]


def test_a_first_time_off_the_rule_is_no_day_of_it():
    assert days("FREQ=WEEKLY;BYDAY=MO")[0] == date(2026, 11, 9)


def test_numbered_and_bare_weekdays_stand_side_by_side():
    """Every Monday, and the first Tuesday: RFC 5545, 3.3.10, lists them together."""
    found = days("FREQ=MONTHLY;BYDAY=MO,1TU", datetime(2026, 12, 1, 9))

    assert [one.day for one in found] == [1, 7, 14, 21, 28, 4, 5]


def test_a_position_in_a_week_counts_from_the_start_of_that_week():
    """The first of Mon and Thu in the week of Thu 5 Nov was Monday, before it began."""
    assert days("FREQ=WEEKLY;BYDAY=MO,TH;BYSETPOS=1")[0] == date(2026, 11, 9)


def test_a_rule_of_the_last_year_ends_there():
    last = datetime(2200, 12, 30, 9)
    for freq in ("DAILY", "WEEKLY", "MONTHLY", "YEARLY"):
        found = days(f"FREQ={freq}", last, last=date(2300, 1, 1))
        assert {one.year for one in found} == {2200}


def test_half_past_six_stays_so_over_both_changes_of_clocks():
    """New York 2026: back on 1 Nov, forward on 8 Mar; 18:30 is 22:30 or 23:30 UTC."""
    for day, hours in [((10, 31), 22), ((11, 1), 23), ((3, 7), 23), ((3, 8), 22)]:
        local = datetime(2026, *day, 18, 30)

        assert instant_of(local, NEW_YORK) == datetime(
            2026, *day, hours, 30, tzinfo=UTC
        )
