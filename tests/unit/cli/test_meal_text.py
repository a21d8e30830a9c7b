"""Meals, hours and days of the week as people write them."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.cli.meal_text import read_coming_day, read_items, read_meal
from lidclock.cli.weekly import every_text, read_clock, read_days, read_use_up, say_days
from lidclock.domain.moments import from_local, zone_of
from lidclock.domain.planning import Item
from lidclock.domain.rule_text import read_rule
from lidclock.errors import InputError

ZONE = zone_of("America/New_York")
NOW = datetime(2026, 11, 3, 13, tzinfo=UTC)  # Tue 3 Nov, 08:00 in New York


def at(text):
    return from_local(datetime.fromisoformat(text), ZONE)


@pytest.mark.parametrize(
    ("text", "when", "foods"),
    [
        ("Thu 18:30 buns x2, filling x2, radish", "2026-11-05T18:30", 3),
        ("Thu 18:30, buns", "2026-11-05T18:30", 1),
        ("18:30 Thu buns", "2026-11-05T18:30", 1),
        ("18:30 buns", "2026-11-03T18:30", 1),
        ("07:30 buns", "2026-11-04T07:30", 1),
        ("6pm buns", "2026-11-03T18:00", 1),
        ("6 pm buns", "2026-11-03T18:00", 1),
        ("tomorrow 12:00 buns", "2026-11-04T12:00", 1),
        ("Thu 24 Dec 2026 at 18:30 buns", "2026-12-24T18:30", 1),
        ("2026-12-24T18:30 buns", "2026-12-24T18:30", 1),
        ("in 12 h buns", "2026-11-03T20:00", 1),
        ("Thu 18:30", "2026-11-05T18:30", 0),
    ],
)
def test_the_time_comes_first_and_the_foods_after_it(text, when, foods):
    written = read_meal(text, ZONE, NOW)

    assert written.at == at(when)
    assert len(written.items or ()) == foods


def test_foods_without_a_time_are_foods_only():
    written = read_meal("buns x3, radish", ZONE, NOW)

    assert (written.at, written.clock) == (None, None)
    assert written.items == (Item("buns", 3), Item("radish"))


@pytest.mark.parametrize(
    ("text", "clock"),
    [("19:00", time(19)), ("7pm buns", time(19)), ("Thu 19:00", None)],
)
def test_an_hour_alone_is_told_from_a_day_with_an_hour(text, clock):
    assert read_meal(text, ZONE, NOW).clock == clock


@pytest.mark.parametrize(
    ("text", "items"),
    [
        ("buns", (Item("buns"),)),
        ("buns x2", (Item("buns", 2),)),
        ("buns X2", (Item("buns", 2),)),
        ("buns ×2", (Item("buns", 2),)),
        ("buns x 2", (Item("buns", 2),)),
        ("mix  of   beans x12", (Item("mix of beans", 12),)),
        ("boxx2", (Item("boxx2"),)),
        ("mix x", (Item("mix x"),)),
    ],
)
def test_portions_stand_behind_the_food(text, items):
    assert read_items(text) == items


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Thu 18:30 buns x2.5", "whole number"),
        ("Thu 18:30 buns x-2", "whole number"),
        ("Thu 18:30 buns x2x", "whole number"),
        ("Thu 18:30 buns x1234567", "whole number"),
        ("Thu 18:30 buns,, radish", "beside a comma"),
        ("Thu 18:30 buns,", "beside a comma"),
        ("Fri 5 Nov 18:30 buns", "is a Thursday"),
        ("3/4 18:30 buns", "month in letters"),
        ("31 Feb 18:30 buns", "no such day"),
        ("25:00 buns", "no such hour"),
        ("Sun 14 Mar 2027 02:30 buns", "does not exist"),
        ("a" * 2001, "longer than"),
    ],
)
def test_what_is_wrong_with_a_meal_is_said(text, words):
    with pytest.raises(InputError, match=words):
        read_meal(text, ZONE, NOW)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("Thu", "2026-11-05"),
        ("Tue", "2026-11-03"),
        ("today", "2026-11-03"),
        ("tomorrow", "2026-11-04"),
        ("24 Dec", "2026-12-24"),
        ("2026-12-24", "2026-12-24"),
    ],
)
def test_a_day_to_come_is_the_next_one(text, day):
    assert read_coming_day(text, ZONE, NOW) == date.fromisoformat(day)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Thu 18:30", "leave out the hour"),
        ("3/4", "month in letters"),
        ("Fri 5 Nov", "is a Thursday"),
        ("someday", "is not a day"),
        ("", "is not a day"),
    ],
)
def test_what_is_no_day_is_refused_without_an_hour_in_the_words(text, words):
    with pytest.raises(InputError, match=words) as caught:
        read_coming_day(text, ZONE, NOW)

    assert "23:59" not in str(caught.value)


@pytest.mark.parametrize(
    ("text", "clock"),
    [
        ("07:30", time(7, 30)),
        ("7.30", time(7, 30)),
        ("6pm", time(18)),
        ("12 am", time(0)),
        ("12:15 pm", time(12, 15)),
    ],
)
def test_hours_are_read_as_people_write_them(text, clock):
    assert read_clock(text) == clock


@pytest.mark.parametrize("text", ["", "7", "24:00", "07:60", "13 pm", "0 am", "x"])
def test_what_is_no_hour_is_refused(text):
    with pytest.raises(InputError):
        read_clock(text)


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("Tue,Thu", (1, 3)),
        ("thursday and tuesday", (1, 3)),
        ("day", tuple(range(7))),
        ("weekdays", tuple(range(5))),
        ("Mon", (0,)),
    ],
)
def test_days_of_the_week_are_read(text, days):
    assert read_days(text) == days


@pytest.mark.parametrize("text", ["", "T", "xyz", "Tue,xyz", "tuesdays off"])
def test_what_is_no_day_of_the_week_is_refused(text):
    with pytest.raises(InputError):
        read_days(text)


@pytest.mark.parametrize(
    ("words", "rule"),
    [
        ("day", "FREQ=DAILY"),
        ("week", "FREQ=WEEKLY"),
        ("weekday", "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR"),
        ("Thu,Tue", "FREQ=WEEKLY;BYDAY=TU,TH"),
    ],
)
def test_words_for_a_rule_become_one(words, rule):
    assert every_text(words) == rule
    assert read_rule(rule)


def test_days_and_an_hour_to_use_up_are_read_together():
    assert read_use_up("Tue,Fri 18:30") == ((1, 4), time(18, 30))
    assert read_use_up("18:30") == (tuple(range(7)), time(18, 30))
    assert read_use_up("weekday 6 pm") == (tuple(range(5)), time(18))
    with pytest.raises(InputError, match="days and the hour"):
        read_use_up("Mon")


def test_days_are_said_shortly():
    found = [say_days(days) for days in (tuple(range(7)), (1, 4), (0, 2, 4), (5,))]

    assert found == ["every day", "Tue and Fri", "Mon, Wed and Fri", "Sat"]


@given(st.text(max_size=80) | st.text("Thu 18:30,x2bunsin/am\u202e\x1b", max_size=60))
def test_any_text_is_read_as_a_meal_or_refused(text):
    try:
        written = read_meal(text, ZONE, NOW)
    except InputError:
        return

    assert written.items != ()
    assert all(one.food.strip() for one in written.items or ())
