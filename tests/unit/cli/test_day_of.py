"""The day a list is for, as people write it."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from lidclock.cli.when import day_of
from lidclock.domain.moments import read_iso
from lidclock.errors import InputError

ZONE = ZoneInfo("America/New_York")
NOW = read_iso("2026-10-31T23:30", ZONE)  # a Saturday; Sunday already in UTC


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("today", date(2026, 10, 31)),
        ("tomorrow", date(2026, 11, 1)),
        ("Sat", date(2026, 10, 31)),
        ("sunday", date(2026, 11, 1)),
        ("Fri", date(2026, 11, 6)),
        ("5 Nov", date(2026, 11, 5)),
        ("Thu 5 Nov 2026", date(2026, 11, 5)),
        ("2026-11-05", date(2026, 11, 5)),
        ("2 Jan", date(2027, 1, 2)),
    ],
)
def test_a_day_is_read(text, day):
    assert day_of(text, ZONE, NOW) == day


def test_nothing_written_is_no_day():
    assert day_of(None, ZONE, NOW) is None


@pytest.mark.parametrize(
    "text", ["", "05/11", "Fri 5 Nov", "5 Nov 18:00", "\x00", "31 Nov"]
)
def test_what_is_no_day_is_refused(text):
    with pytest.raises(InputError):
        day_of(text, ZONE, NOW)


def test_the_day_is_that_of_the_kitchens_clock():
    assert isinstance(NOW, datetime)
    assert day_of("today", ZoneInfo("UTC"), NOW) == date(2026, 11, 1)
