"""`pull` and `prep-list` on real databases, on the screen and on paper."""

from __future__ import annotations

import json
import re
from datetime import date, datetime
from pathlib import Path

import pypdfium2
import pytest

from lidclock.app.now import now
from lidclock.app.pull import pull_list
from lidclock.app.session import Fact, Session
from lidclock.domain.moments import read_iso
from lidclock.domain.planning import MEAL_SUBJECT, Item, Meal
from lidclock.plan.lists import PullLine

DOUGH = Path(__file__).parents[2] / "sample_inventory" / "bun-dough.toml"
ZONE = "America/New_York"


def text_of(path):
    """The words of all pages without blanks, and each page's size in points."""
    document = pypdfium2.PdfDocument(path)
    pages = [page.get_textpage().get_text_range() for page in document]
    sizes = [page.get_size() for page in document]
    document.close()
    return re.sub(r"\s", "", "".join(pages)), sizes


def bare(text):
    return re.sub(r"\s", "", text)


def plan(cook, *meals):
    """Put meals on the kitchen's list."""
    session = Session.open(cook.database, now=now())
    with session.write() as unit:
        unit.record(
            Fact("noted", f"{MEAL_SUBJECT}{one.id}", {"meal": one.as_dict()})
            for one in meals
        )
    session.close()


def dinner(begins, *items, **more):
    return Meal("d", datetime.fromisoformat(begins), ZONE, items, name="dinner", **more)


@pytest.fixture
def kitchen(stew):
    """Stew in the fridge (last day Tue 3 Nov), two boxes of soup frozen on day 1."""
    stew.run(
        *("prep", "soup", "--category", "soup-stew", "--no-allergens", "--count", "2"),
        *("--portion", "400g", "--place", "Freezer", "--no-labels"),
    )
    return stew


def section(screen, head):
    """The lines below a head, up to the next blank line."""
    return screen.partition(f"\n{head}\n")[2].partition("\n\n")[0]


def test_the_morning_of_the_last_day(kitchen):
    screen = kitchen.see("pull", now="2026-11-03T06:10")

    assert screen.startswith("Pull list for Tue 3 Nov 2026, Home\n")
    last = section(screen, "Last day")
    for code in kitchen.codes("stew"):
        assert f"{code[:3]} {code[3:]}" in last
    assert last.count("use by Tue 3 Nov 2026") == 3
    assert "soup x2" in section(screen, "Frozen")
    assert max(map(len, screen.splitlines())) <= 100


def test_frozen_boxes_say_how_many_days_are_left_if_thawed_that_day(kitchen):
    """4 days, the first of them the day of making and freezing: 3 are left."""
    found = kitchen.data("pull", now="2026-11-03T06:10")

    assert [one["days_left"] for one in found["frozen"]] == [3, 3]


def test_what_is_over_must_go_and_is_in_no_other_group(kitchen):
    found = kitchen.data("pull", now="2026-11-04T06:10")

    assert [one["code"] for one in found["over"]] == kitchen.codes("stew")
    assert found["last_day"] == []


def test_a_later_day_is_judged_at_the_cards_hour_of_that_day(kitchen):
    found = kitchen.data("pull", "--on", "Tue")
    today = kitchen.data("pull")

    assert found["at"] == "2026-11-03T07:30:00-05:00"
    assert [one["code"] for one in found["last_day"]] == kitchen.codes("stew")
    assert today["at"] == "2026-10-31T17:40:00-04:00"
    assert today["last_day"] == today["over"] == []


def test_what_has_no_last_day_is_listed_for_a_look(cook):
    """No authority has a figure for raw dough, and this kitchen gave none."""
    cook.run(
        *("prep", "dough", "--category", "yeast-dough-raw", "--no-allergens"),
        *("--count", "2", "--place", "Fridge", "--no-labels"),
    )
    found = cook.data("pull")

    assert [one["code"] for one in found["no_last_day_or_place"]] == cook.codes()
    assert "no last day: check, or discard" in cook.see("pull")


def test_what_nobody_put_away_is_on_the_list_without_a_place(dough):
    """Two hours out of the cold end today: six boxes, and none of them has a place."""
    found = dough.data("pull")

    assert [one["place"] for one in found["last_day"]] == [None] * 6
    assert dough.see("pull").count("no place") >= 6


def test_what_is_out_already_says_when_it_is_ready(kitchen):
    code = kitchen.codes("soup")[0]
    kitchen.run(
        "scan", code, "--thaw", "--ready", "3 Nov 15:00", now="2026-11-02T20:00"
    )
    screen = kitchen.see("pull", now="2026-11-03T06:10")
    out = section(screen, "Out already, to be ready")

    assert "15:00  soup\n" in out
    assert "taken out Mon 2 Nov 20:00 · from Freezer · to Fridge" in out
    assert kitchen.data("pull", now="2026-11-04T06:10")["out"] == []


def test_parts_of_what_thaws_are_on_the_list_together(kitchen):
    code = kitchen.codes("soup")[0]
    kitchen.run(
        "scan", code, "--thaw", "--ready", "3 Nov 15:00", now="2026-11-02T20:00"
    )
    kitchen.run("split", code, "200g", "200g", now="2026-11-02T21:00")
    (line,) = kitchen.data("pull", now="2026-11-03T06:10")["out"]

    assert line["says"] == "soup x2"
    assert code not in line["codes"]


@pytest.mark.parametrize(
    ("at", "is_listed"),
    [
        ("2026-11-03T05:00", True),
        ("2026-11-03T23:59", True),
        ("2026-11-04T11:59", True),  # tomorrow early
        ("2026-11-04T12:00", False),
    ],
)
def test_what_is_to_be_taken_out_today_and_tomorrow_early(kitchen, at, is_listed):
    session = Session.open(kitchen.database, now=now())
    session.now = read_iso("2026-11-03T06:00", session.kitchen.zone)
    line = PullLine(read_iso(at, session.kitchen.zone), "soup", ("4F7K2M0",))
    found = pull_list(session, date(2026, 11, 3), [line])
    session.close()

    assert (line in found.take_out) == is_listed


@pytest.fixture
def soup_for_wednesday(kitchen):
    """Wednesday's dinner wants one of two frozen boxes; out the evening before."""
    kitchen.run("meal", "add", "Wed 4 Nov 18:30 soup x1", "--name", "dinner")
    kitchen.now = "2026-11-03T07:30"
    return kitchen


def test_what_a_meal_needs_out_of_the_freezer_has_its_hour_and_its_meal(
    soup_for_wednesday,
):
    cook = soup_for_wednesday
    (line,) = cook.data("pull")["take_out"]

    assert line["codes"] == [cook.codes("soup")[0]]
    assert (line["from"], line["to"]) == ("Freezer", "Fridge")
    assert line["for_meal"] == "dinner, Wed 4 Nov 18:30"
    assert line["at"] == "2026-11-03T20:00:00-05:00"
    assert "20:00  soup box 1\n" in cook.see("pull")


def test_an_evening_before_is_on_that_days_list_and_on_no_other(soup_for_wednesday):
    cook = soup_for_wednesday

    assert len(cook.data("pull", now="2026-11-02T07:30")["take_out"]) == 0
    found = cook.data("pull", "--on", "3 Nov", now="2026-11-02T07:30")
    assert [one["at"] for one in found["take_out"]] == ["2026-11-03T20:00:00-05:00"]


def test_what_was_agreed_stays_and_what_was_declined_goes(soup_for_wednesday):
    cook = soup_for_wednesday
    before = cook.data("pull")["take_out"]
    (number,) = (
        number
        for number, one in enumerate(cook.data("today")["proposals"], start=1)
        if one["kind"] == "take-out"
    )
    cook.run("accept", str(number))
    assert cook.data("pull")["take_out"] == before
    cook.run("undo")
    cook.run("today")
    cook.run("decline", str(number))

    assert cook.data("pull")["take_out"] == []


def test_what_is_taken_out_is_out_and_no_more_to_do(soup_for_wednesday):
    cook = soup_for_wednesday
    code = cook.codes("soup")[0]
    cook.run("scan", code, "--thaw", "--ready", "in 12 h")
    found = cook.data("pull")

    assert found["take_out"] == []
    assert [one["codes"] for one in found["out"]] == [[code]]


def test_the_list_records_nothing(soup_for_wednesday):
    cook = soup_for_wednesday
    before = cook.event_count()
    for command in ("pull", "prep-list"):
        cook.run(command, "--on", "tomorrow")

    assert cook.event_count() == before


def test_the_page_holds_every_line_of_the_screen(kitchen):
    kitchen.run("pull", "--out", "pull.pdf", now="2026-11-03T06:10")
    screen = kitchen.see("pull", now="2026-11-03T06:10")
    said, sizes = text_of(kitchen.folder / "pull.pdf")

    lines = screen.partition("\n\n")[2].splitlines()
    told = [one for one in lines if not one.startswith("nothing under")]
    missing = [
        part
        for line in told
        for part in re.split(r" · |(?<=[.;]) |  +|(?<=not)$", line)
        if bare(part) not in said
    ]
    assert missing == []
    assert bare("Tue 3 Nov 2026") in said
    assert bare("page 1 of 1") in said
    assert sizes == [pytest.approx((595.28, 841.89), abs=0.1)]


def test_a_kitchen_of_us_units_gets_letter_and_fahrenheit(newcomer):
    newcomer.run("init", "--yes", "--zone", ZONE, "--units", "us")
    newcomer.run(
        *("prep", "stew", "--category", "soup-stew", "--no-allergens"),
        *("--count", "1", "--place", "Fridge", "--no-labels"),
    )
    newcomer.run("pull", "--out", "pull.pdf", now="2026-11-03T06:10")
    said, sizes = text_of(newcomer.folder / "pull.pdf")

    assert sizes == [pytest.approx((612, 792), abs=0.1)]
    assert "Hour°FInitials" in said


def test_what_is_missing_for_the_meals_is_to_be_made(stew):
    """Wanted: 5 on Mon, 2 on Wed. There: 3 of Tue 3 Nov, so 2 lack on Mon, 2 on Wed."""
    plan(
        stew,
        dinner("2026-11-02T18:30", Item("Stew", 5)),
        Meal("w", datetime(2026, 11, 4, 18, 30), ZONE, (Item("stew", 2),)),
    )
    found = stew.data("prep-list", now="2026-11-02T08:00")

    (line,) = found["make"]
    assert line["portions"] == 4
    assert line["mass"] == "1400 g"  # 4 x 350 g
    assert line["for_meals"] == [
        "dinner, Mon 2 Nov 18:30: 2 of 5 missing",
        "meal, Wed 4 Nov 18:30: 2 of 2 missing",
    ]
    assert line["notes"][0] == "7 wanted, 3 there that count"


def test_what_is_over_by_the_meal_does_not_count(stew):
    """Last day Tue 3 Nov: by Wed nothing of it is there."""
    plan(stew, dinner("2026-11-04T18:30", Item("stew", 2)))

    assert stew.data("prep-list", now="2026-11-02T08:00")["make"][0]["portions"] == 2


def test_what_nobody_put_away_does_not_count(cook):
    """It is still within its two hours at supper, and nobody knows where it is."""
    cook.run(
        *("prep", "stew", "--category", "soup-stew", "--no-allergens", "--count", "2"),
        "--no-labels",
    )
    plan(cook, dinner("2026-10-31T18:30", Item("stew", 2)))

    assert cook.data("prep-list")["make"][0]["portions"] == 2


def test_frozen_portions_count_and_are_to_be_taken_out(kitchen):
    plan(kitchen, dinner("2026-11-02T18:30", Item("soup", 3)))
    (line,) = kitchen.data("prep-list", now="2026-11-02T08:00")["make"]

    assert line["portions"] == 1
    assert line["notes"][0] == (
        "3 wanted, 2 there that count, 2 of them frozen: take out in time"
    )


def test_meals_beyond_the_days_that_one_making_lasts_wait(stew):
    """Three days: Mon, Tue, Wed."""
    plan(stew, dinner("2026-11-05T18:30", Item("stew", 9)))
    found = stew.data("prep-list", now="2026-11-02T08:00")

    assert found["last_on"] == "2026-11-04"
    assert found["make"] == []


def test_a_recipe_of_that_name_is_scaled_to_what_is_missing(cook):
    """Four more of 300 g: 1200 / 0.975 is 1230.8, so 1231 g; / 1.695 is 726.3 g."""
    cook.run("recipe", "add", str(DOUGH))
    cook.run(
        *("prep", "bun dough", "--category", "yeast-dough-raw", "--days", "6"),
        *("--allergens", "wheat, milk", "--count", "2", "--portion", "300g"),
        *("--place", "Fridge", "--no-labels"),
    )
    plan(cook, dinner("2026-11-01T18:30", Item("bun dough", 6)))
    (line,) = cook.data("prep-list", now="2026-11-01T08:00")["make"]

    assert (line["portions"], line["mass"]) == (4, "1200 g")
    assert line["recipe"]["name"] == "bun dough, version 1"
    assert ["wheat flour", "726.3 g"] in line["recipe"]["inputs"]
    assert line["recipe"]["total"] == "1231 g"
    assert line["recipe"]["allergens"] == "wheat, milk"

    cook.run("prep-list", "--out", "prep.pdf", now="2026-11-01T08:00")
    said, _ = text_of(cook.folder / "prep.pdf")
    for name, amount in line["recipe"]["inputs"]:
        assert bare(name) + bare(amount) in said


def test_without_meals_the_list_says_so(cook):
    screen = cook.see("prep-list")

    assert "nothing under: make" in screen
    assert json.loads(cook.run("prep-list", "--json").stdout)["make"] == []


@pytest.mark.parametrize("command", ["pull", "prep-list"])
@pytest.mark.parametrize(
    ("options", "why"),
    [
        (("--on", "30 Oct 2026"), "is past"),
        (("--on", "5 Nov 2027"), "more than 60 days ahead"),
        (("--on", "05/11"), "write the month in letters"),
        (("--on", "today 18:00"), "a list is for a day"),
        (("--out", "list.txt"), "must end in .pdf"),
    ],
)
def test_what_cannot_be_is_refused(cook, command, options, why):
    assert why in cook.fail(2, command, *options)
    assert list(cook.folder.glob("list*")) == []


def test_a_name_of_control_characters_is_shown_as_signs(cook):
    plan(cook, dinner("2026-11-01T18:30", Item("rice", 2)))
    cook.import_with({"rice": "rice\x1b[2J\u202e"})
    screen = cook.see("prep-list")

    assert "\x1b" not in screen
    assert "\u202e" not in screen
    assert "U+001B" in cook.fail(17, "prep-list", "--out", "prep.pdf")
