"""A name is text and stays text: none can end a line of a calendar or begin another."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calendar_reader import read
from lidclock.app.calendar_entries import Group, Setting, last_day_entry, meal_entry
from lidclock.app.meals import occurrences
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.planning import Item, Meal
from lidclock.domain.snapshots import Snapshot
from lidclock.gateways.calendar import Alarm, Entry, calendar_bytes

NOW = datetime(2026, 10, 31, 22, 30, tzinfo=UTC)
NASTY = (
    "stew\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nUID:x",
    "stew\nATTACH:file:///etc/passwd",
    "a,b;c\\d:e",
    "\\",
    "\\n\\N\\;",
    "stew\\",
    '";VALUE=URI:x',
    "x\x00\x07\x1b[2J\x85\u2028\u2029\x0b\x0c",
    "\u202estew\u2066",
    "面包" * 60,
    "é" * 200,
    "👩‍🍳" * 40,
    "\ud800",
    "",
    " ",
    "BEGIN:VALARM",
)
names = st.one_of(
    st.sampled_from(NASTY),
    st.text(max_size=300),
    st.text(alphabet='\r\n\t\\;,:" N\u202eé\x00', max_size=60),
)


def written(*entries, name="Home"):
    return calendar_bytes(name, entries, now=NOW, zone_name="America/New_York")


@given(names, names, names, names)
def test_no_name_gets_out_of_its_line(kitchen, title, line, alarm):
    """The strict reader finds one event and one alarm, whatever the words."""
    data = written(
        Entry(*("u", title, (line, "end"), date(2026, 11, 5)), alarm=Alarm(alarm, NOW)),
        name=kitchen,
    )

    calendar = read(data)
    (event,) = calendar.named("VEVENT")
    assert [one.name for one in calendar.properties].count("NAME") == 1
    assert len(event.named("VALARM")) == 1
    assert len(event.one("DESCRIPTION").text.split("\n")) == 2
    assert "\n" not in event.one("SUMMARY").text
    assert "\u202e" not in data.decode()


@given(st.text(alphabet=st.characters(codec="utf-8", categories=("L", "N", "P", "S"))))
def test_plain_words_come_back_to_the_letter(title):
    (event,) = read(written(Entry("u", title, ("x",), date(2026, 11, 5)))).named(
        "VEVENT"
    )

    assert event.one("SUMMARY").text == title


@given(names, names)
def test_food_and_place_of_any_name_make_one_entry(food, place):
    end = datetime(2026, 11, 6, 5, tzinfo=UTC)
    one = Snapshot("4F7K2M0", food, "dated", place=place, last_moment=end)
    setting = Setting(
        Kitchen("k", "Home", "America/New_York"), time(7, 30), ("keep cold",), NOW
    )

    (event,) = read(written(last_day_entry(Group((one,), one), setting))).named(
        "VEVENT"
    )
    assert event.one("DTSTART").value == "20261105"


days = st.dates(date(2026, 1, 1), date(2027, 12, 31))
rules = st.one_of(
    st.builds("FREQ=DAILY;INTERVAL={}".format, st.integers(1, 9)),
    st.builds(
        "FREQ=WEEKLY;INTERVAL={};BYDAY={}".format,
        st.integers(1, 3),
        st.lists(
            st.sampled_from("MO TU WE TH FR SA SU".split()), min_size=1, unique=True
        ).map(",".join),
    ),
    st.builds("FREQ=MONTHLY;BYDAY={}".format, st.sampled_from(("1MO", "-1FR", "3SU"))),
    st.builds("FREQ=WEEKLY;UNTIL={:%Y%m%d}".format, days),
)


@given(days, rules, st.sets(days, max_size=5), st.times())
def test_the_first_time_is_one_at_which_the_meal_happens_or_is_left_out(
    begins, rule, without, clock
):
    """RFC 5545, 3.8.5.3: a start that its rule does not name leaves it undefined."""
    clock = clock.replace(second=0, microsecond=0, fold=0)
    meal = Meal(
        *("m", datetime.combine(begins, clock), "Asia/Tokyo", (Item("stew"),)),
        rule=rule,
        without=tuple(without),
    )
    setting = Setting(Kitchen("k", "Home", "Asia/Tokyo"), time(7, 30), (), NOW)
    entry = meal_entry(meal, setting)
    if entry is None:
        before = datetime(2060, 1, 1, tzinfo=UTC)
        assert occurrences([meal], NOW - timedelta(days=999), before) == []
        return

    read(written(entry))
    first = entry.begins.replace(tzinfo=None)
    whole = Meal(*("m", meal.begins, "Asia/Tokyo", meal.items), rule=rule)
    (found, *_) = occurrences(
        *([whole], datetime(2020, 1, 1, tzinfo=UTC), datetime(2040, 1, 1, tzinfo=UTC))
    )
    assert found.at == first.replace(tzinfo=UTC) - timedelta(hours=9)


@pytest.mark.parametrize("name", NASTY)
def test_each_nasty_name_is_tried(name):
    read(written(Entry("u", name, (name,), NOW), name=name))
