"""Golden: our own calendar file, kept to notice change; it proves nothing.

What the standard says is in tests/external. A change that is meant is renewed with
`python tests/golden/test_calendar_own_file.py`, with the reason in the commit.
"""

from datetime import UTC, date, datetime, time
from pathlib import Path

from lidclock.app.calendar_entries import (
    Group,
    Setting,
    last_day_entry,
    meal_entry,
    ready_entry,
)
from lidclock.app.thawing import Thawing
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.planning import Item, Meal
from lidclock.domain.snapshots import Snapshot
from lidclock.gateways.calendar import calendar_bytes

FILE = Path(__file__).parent / "data" / "calendar.ics"
NOW = datetime(2026, 10, 31, 22, 30, tzinfo=UTC)
SETTING = Setting(
    Kitchen("0190-home", "Home", "America/New_York"),
    time(7, 30),
    ("Keep it cold.",),
    NOW,
)


def box(code, food, index, **more):
    end = datetime(2026, 11, 6, 5, tzinfo=UTC)
    facts = {"place": "Fridge", "last_moment": end, "is_labelled": True, **more}
    return Snapshot(code, food, "dated", batch_number=1, index=index, of=6, **facts)


def drawn():
    stew = tuple(box(f"4F7K2M{n}", "bean stew, thick", n, mass_g=308) for n in range(3))
    dough = box("9CF9FP3", "bun dough", 1, is_house_rule=True)
    meal = Meal(
        *("dinner", datetime(2026, 11, 5, 18, 30), "America/New_York"),
        items=(Item("bean stew, thick", 2),),
        name="dinner",
        rule="FREQ=WEEKLY;BYDAY=TH;UNTIL=20261224",
        without=(date(2026, 11, 26),),
        eaters=2,
    )
    taken = datetime(2026, 11, 1, 3, 30, tzinfo=UTC)
    ready = datetime(2026, 11, 1, 11, 30, tzinfo=UTC)
    entries = (
        last_day_entry(Group(stew, stew[0], 4), SETTING),
        last_day_entry(Group((dough,), dough), SETTING),
        ready_entry(Thawing((dough,), taken, ready), SETTING),
        meal_entry(meal, SETTING),
    )
    return calendar_bytes("Home", entries, now=NOW, zone_name="America/New_York")


def test_the_file_is_as_it_was():
    assert drawn() == FILE.read_bytes()


if __name__ == "__main__":
    FILE.write_bytes(drawn())
