"""Calendars by RFC 5545 and RFC 7986, and by two readers that are not ours.

Section numbers stand beside each check; the data with its source is in
data/calendar_rfc5545.json. python-dateutil reads the zones and expands the rules,
vobject reads the whole.
"""

from __future__ import annotations

import io
import json
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from dateutil import tz
from dateutil.rrule import rrulestr

from calendar_reader import read, unfolded
from lidclock.app.calendar_entries import Setting, meal_entry
from lidclock.app.meals import occurrences
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.planning import Item, Meal
from lidclock.gateways.calendar import Alarm, Entry, calendar_bytes, escaped
from lidclock.gateways.calendar_zone import observances

DATA = json.loads(
    (Path(__file__).parent / "data" / "calendar_rfc5545.json").read_text("utf-8")
)
NOW = datetime(2026, 10, 31, 22, 30, tzinfo=UTC)
KITCHEN = Kitchen("k", "Home", "America/New_York")
SETTING = Setting(KITCHEN, datetime(2026, 1, 1, 7, 30).time(), (), NOW)
ZONES = (
    *("America/New_York", "Europe/Berlin", "Europe/Dublin", "Africa/Casablanca"),
    *("Australia/Lord_Howe", "Asia/Kolkata", "America/Sao_Paulo", "Asia/Jerusalem"),
    *("Africa/Cairo", "Pacific/Apia", "Antarctica/Troll", "UTC"),
)


def written(*entries, zone_name="America/New_York"):
    return calendar_bytes("Home", entries, now=NOW, zone_name=zone_name)


def checked(identity):
    (found,) = (
        row
        for table in ("texts", "folds", "days", "refresh")
        for row in DATA[table]
        if row["id"] == identity
    )
    return found


def test_text_is_escaped_as_the_standard_says():
    one = checked("ics-esc")

    assert escaped(one["text"]) == one["written"]


def test_lines_are_folded_between_characters():
    one = checked("ics-fold")
    data = written(Entry("u", one["text"], ("x",), date(2026, 11, 5)))

    assert max(map(len, data.split(b"\r\n"))) <= one["most_octets"]
    assert f"SUMMARY:{one['text']}" in unfolded(data)


def test_a_day_ends_before_the_next():
    one = checked("ics-dtend")
    last = date.fromisoformat(one["last"])
    (event,) = read(written(Entry("u", "x", ("x",), last))).named("VEVENT")

    assert event.one("DTEND").value == one["dtend"]
    assert event.one("DTSTART").value == last.strftime("%Y%m%d")


def test_the_least_time_between_two_looks_says_that_it_is_a_duration():
    lines = unfolded(written())

    assert any(line.startswith(checked("ics-refresh")["begins_with"]) for line in lines)


def test_new_york_is_written_as_the_standard_writes_it():
    (zone,) = read(written()).named("VTIMEZONE")
    parts = {part.name: part for part in zone.parts if part.all("RRULE")}

    assert len(parts) == len(DATA["new_york"]["observances"])
    for one in DATA["new_york"]["observances"]:
        part = parts[one["part"]]
        pairs = part.one("RRULE").value.split(";")
        assert dict(pair.split("=") for pair in pairs) == one["rule"]
        assert part.one("TZOFFSETFROM").value == one["from"]
        assert part.one("TZOFFSETTO").value == one["to"]
        assert part.one("TZNAME").value == one["name"]
        onsets = rrulestr(
            part.one("RRULE").value, dtstart=datetime(2006, 1, 1, 2)
        ).between(datetime(2007, 1, 1), datetime(2008, 1, 1))
        assert [f"{at:%Y%m%dT%H%M%S}" for at in onsets] == [one["onset_2007"]]


@pytest.mark.parametrize("part", ["daylight", "standard"])
def test_new_york_changed_its_clocks_when_the_table_says(part):
    found = {
        f"{at:%Y%m%dT%H%M%S}"
        for one in observances(ZoneInfo("America/New_York"), 1967, 2010)
        if one.is_daylight == (part == "daylight")
        for at in one.onsets
    }

    assert set(DATA["new_york_since_1967"][part]) <= found


@pytest.mark.parametrize("zone_name", ZONES)
def test_another_reader_tells_the_same_hours_in_every_zone(zone_name):
    """dateutil reads the VTIMEZONE; zoneinfo is what it must agree with.

    Every twelve hours of three years, and each quarter about a change of clocks.
    """
    data = written(zone_name=zone_name).decode()
    zone = tz.tzical(io.StringIO(data)).get(zone_name)
    own = ZoneInfo(zone_name)
    moments = [
        datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=12 * n) for n in range(2200)
    ]
    changes = [
        before
        for before, after in pairwise(moments)
        if before.astimezone(own).utcoffset() != after.astimezone(own).utcoffset()
    ]
    moments += [at + timedelta(minutes=n) for at in changes for n in range(0, 721, 15)]

    different = [
        (at, at.astimezone(zone), at.astimezone(own))
        for at in moments
        if at.astimezone(zone).replace(tzinfo=None)
        != at.astimezone(own).replace(tzinfo=None)
    ]
    assert different == []


RULES = (
    "FREQ=DAILY",
    "FREQ=DAILY;INTERVAL=3;COUNT=9",
    "FREQ=WEEKLY;BYDAY=TU,TH",
    "FREQ=WEEKLY;INTERVAL=2;BYDAY=MO,SU;WKST=SU",
    "FREQ=WEEKLY;BYDAY=SA;UNTIL=20261219",
    "FREQ=WEEKLY;UNTIL=20261114T183000",
    "FREQ=WEEKLY;UNTIL=20261114T233000Z",
    "FREQ=MONTHLY;BYDAY=-1FR",
    "FREQ=MONTHLY;BYMONTHDAY=31",
    "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=1",
    "FREQ=YEARLY;BYMONTH=12;BYMONTHDAY=24,31",
)


@pytest.mark.parametrize("zone_name", ["America/New_York", "Asia/Tokyo"])
@pytest.mark.parametrize("rule", RULES)
def test_a_meal_repeats_for_others_as_it_does_here(rule, zone_name):
    """RFC 5545, 3.3.10 and 3.8.5: dateutil expands RRULE and EXDATE as written."""
    meal = Meal(
        *("m", datetime(2026, 10, 31, 18, 30), zone_name, (Item("stew"),)),
        rule=rule,
        without=(date(2026, 11, 7), date(2026, 11, 12), date(2026, 12, 24)),
    )
    last = datetime(2028, 2, 1, tzinfo=UTC)

    ours = [one.at for one in occurrences([meal], NOW - timedelta(days=9), last)]
    assert expanded(written(meal_entry(meal, SETTING)), last) == ours
    assert len(ours) > 1


def expanded(data, before):
    """The instants of the one event, by dateutil, in the zone as it is written."""
    (event,) = read(data).named("VEVENT")
    start = event.one("DTSTART")
    zone = tz.tzical(io.StringIO(data.decode())).get(start.params["TZID"])
    lines = [
        f"RRULE:{event.one('RRULE').value}",
        *(f"EXDATE:{one.value}" for one in event.all("EXDATE")),
    ]
    begins = datetime.fromisoformat(start.value)
    rules = rrulestr(
        "\n".join(lines).replace("EXDATE:", "EXDATE;TZID=Z:"),
        dtstart=begins.replace(tzinfo=zone),
        forceset=True,
        tzids={"Z": zone},
    )
    found = []
    for at in rules:
        if at >= before:
            break
        found.append(at.astimezone(UTC))
    return found


def test_another_reader_reads_the_whole_back():
    vobject = pytest.importorskip("vobject")
    title = "last day: soupe, à l'oignon; «x» \\ 面 x3 (Fridge)"
    lines = ("use by Thu 5 Nov 2026", "4F7 K2M0, box 1 of 3; 300 g \\N")
    data = written(
        Entry(
            "one",
            title,
            lines,
            date(2026, 11, 5),
            alarm=Alarm(title, datetime(2026, 11, 5, 12, 30, tzinfo=UTC)),
        ),
        Entry(
            "two",
            "ready 06:30",
            ("x",),
            datetime(2026, 11, 1, 11, 30, tzinfo=UTC),
            alarm=Alarm("ready", timedelta(minutes=10)),
        ),
        Entry(
            "three",
            "dinner",
            ("x",),
            datetime(2026, 11, 5, 18, 30),
            "America/New_York",
            "FREQ=WEEKLY;BYDAY=TH",
        ),
    )

    calendar = vobject.readOne(data.decode())
    first, third, second = calendar.vevent_list
    assert first.uid.value == "one"
    assert first.summary.value == title
    assert first.description.value == "\n".join(lines)
    assert first.dtstart.value == date(2026, 11, 5)
    assert first.dtend.value == date(2026, 11, 6)
    assert first.transp.value == "TRANSPARENT"
    assert first.valarm.trigger.value == datetime(2026, 11, 5, 12, 30, tzinfo=UTC)
    assert second.dtstart.value == datetime(2026, 11, 1, 11, 30, tzinfo=UTC)
    assert second.valarm.trigger.value == -timedelta(minutes=10)
    dinner = third.dtstart.value
    assert dinner.astimezone(UTC) == datetime(2026, 11, 5, 23, 30, tzinfo=UTC)
    assert third.rrule.value == "FREQ=WEEKLY;BYDAY=TH"
