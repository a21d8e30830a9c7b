"""`calendar`: what a cook's calendar shows, on real databases at fixed moments."""

from __future__ import annotations

import pytest

from calendar_reader import read


def events(cook, **more):
    """The entries of the calendar by title."""
    data = cook.run("calendar", "-", **more).stdout_bytes
    found = {one.one("SUMMARY").text: one for one in read(data).named("VEVENT")}
    assert len(found) == len(read(data).named("VEVENT"))
    return found


def uid(event):
    return event.one("UID").value


def test_boxes_that_end_together_are_one_entry_of_their_last_day(stew):
    """Soups: 3 to 4 days, day 1 is Sat 31 Oct, so the last day is Tue 3 Nov."""
    (title,) = found = events(stew)
    event = found[title]

    assert title == "last day: stew x3 (Fridge)"
    assert event.one("DTSTART").value == "20261103"
    assert event.one("DTEND").value == "20261104"
    text = event.one("DESCRIPTION").text
    assert text.startswith("use by Tue 3 Nov 2026\n")
    for code in stew.codes():
        assert f"{code[:3]} {code[3:]}, box " in text
    assert "The date holds only if the food stayed cold" in text


def test_the_alarm_is_at_the_cards_hour_by_the_kitchens_clock(stew):
    """07:30 in New York after the clocks went back is 12:30 UTC."""
    (event,) = events(stew).values()
    (alarm,) = event.named("VALARM")

    assert alarm.one("TRIGGER").value == "20261103T123000Z"
    assert alarm.one("TRIGGER").params == {"VALUE": "DATE-TIME"}


def test_on_the_night_that_clocks_go_back_the_alarm_is_at_the_same_hour(cook):
    """Made Thu 29 Oct, 4 days: the last is Sun 1 Nov, of 25 hours; 07:30 is 12:30 UTC.

    Seven and a half hours after midnight would be 06:30 by the clock.
    """
    cook.run(
        *("prep", "stew", "--category", "soup-stew", "--no-allergens", "--count", "1"),
        *("--place", "Fridge", "--no-labels"),
        now="2026-10-29T18:00",
    )
    (event,) = events(cook, now="2026-10-29T18:00").values()

    assert event.one("DTSTART").value == "20261101"
    assert event.named("VALARM")[0].one("TRIGGER").value == "20261101T123000Z"


def test_a_house_rule_is_never_called_use_by(dough):
    dough.run("scan", given="TO=Fridge\n" + "\n".join(dough.codes()) + "\n")
    ((title, event),) = events(dough).items()

    assert title == (
        "last day: bun dough x6 (Fridge), best by, house rule, no authority"
    )
    text = event.one("DESCRIPTION").text
    assert text.startswith("best by Thu 5 Nov 2026, house rule, no authority\n")
    assert "use by" not in text + title


def test_taken_out_at_2330_for_eight_hours_is_ready_at_0630(dough):
    """The walk-through: clocks go back at 02:00, so 8 hours end at 06:30, not 07:30.

    The alarm comes ten minutes before, at 06:20; 06:30 in New York is 11:30 UTC.
    """
    code = dough.codes()[0]
    dough.run("scan", code, "--freeze")
    dough.run("scan", code, "--thaw", "--ready", "in 8 h", now="2026-10-31T23:30")
    event = events(dough, now="2026-10-31T23:31")["ready 06:30: bun dough (Fridge)"]

    assert event.one("DTSTART").value == "20261101T113000Z"
    assert event.named("VALARM")[0].one("TRIGGER").value == "-PT10M"
    assert "ready Sun 1 Nov 2026 06:30" in event.one("DESCRIPTION").text


def test_what_was_agreed_to_be_taken_out_is_an_entry_until_it_is_out(cook):
    """Out the evening before: 20:00 in New York on 3 Nov is 01:00 UTC of 4 Nov."""
    cook.run(
        *("prep", "soup", "--category", "soup-stew", "--no-allergens", "--count", "1"),
        *("--place", "Freezer", "--no-labels"),
    )
    cook.run("meal", "add", "Wed 4 Nov 18:30 soup x1", "--name", "dinner")
    cook.now = "2026-11-03T07:30"
    before = set(events(cook))
    cook.run("today")
    cook.run("accept", "1")
    (title,) = set(events(cook)) - before
    event = events(cook)[title]

    assert title == "20:00: take soup out to Fridge for dinner Wed 4 Nov 18:30"
    assert event.one("DTSTART").value == "20261104T010000Z"
    assert event.named("VALARM")[0].one("TRIGGER").value == "-PT10M"
    cook.run("scan", cook.codes()[0], "--thaw")
    assert title not in events(cook)


def test_a_meal_that_comes_again_is_one_entry_with_its_rule(stew):
    """It is Sat 31 Oct 2026: the next Tuesday is 3 Nov."""
    stew.run("meal", "add", "Tue 18:30 stew x2", "--name", "supper", "--every", "Tue")
    event = events(stew)["supper: stew x2"]

    assert event.one("DTSTART").value == "20261103T183000"
    assert event.one("DTSTART").params == {"TZID": "America/New_York"}
    assert event.one("RRULE").value == "FREQ=WEEKLY;BYDAY=TU"
    assert event.all("EXDATE") == []


def test_an_hour_that_binds_is_an_entry_at_that_hour(cook):
    """Two hours in all out of the cold from 17:40 in New York: 19:40, 23:40 UTC."""
    cook.run(
        *("prep", "rice", "--category", "cooked-rice", "--no-allergens"),
        *("--count", "1", "--place", "Counter", "--no-labels"),
    )
    ((title, event),) = events(cook).items()

    assert title == "until 19:40: rice (Counter)"
    assert event.one("DTSTART").value == "20261031T234000Z"
    assert event.all("DTEND") == []


def test_an_entry_keeps_its_identity_and_rises_when_its_date_changes(stew):
    """Day 2 is that of freezing, so day 3 is Fri 20 Nov, the last one Sat 21 Nov."""
    before = events(stew)["last day: stew x3 (Fridge)"]
    for code in stew.codes():
        stew.run("scan", code, "--freeze", now="2026-11-01T12:00")
    assert events(stew, now="2026-11-01T12:00") == {}
    for code in stew.codes():
        stew.run("scan", code, "--thaw", now="2026-11-20T12:00")
    after = events(stew, now="2026-11-20T12:05")["last day: stew x3 (Fridge)"]

    assert after.one("DTSTART").value == "20261121"
    assert uid(after) == uid(before)
    revisions = [int(one.one("SEQUENCE").value) for one in (before, after)]
    assert revisions[0] < revisions[1]


def test_a_box_that_is_used_up_leaves_the_entry_what_it_is(stew):
    before = events(stew)["last day: stew x3 (Fridge)"]
    stew.run("scan", stew.codes()[0], "--use")

    assert uid(events(stew)["last day: stew x2 (Fridge)"]) == uid(before)


def test_the_same_kitchen_gives_the_same_bytes_whenever_it_is_asked(stew):
    one, other = (stew.run("calendar", "-").stdout_bytes for _ in range(2))

    assert one == other
    later = events(stew, now="2026-11-02T09:00")
    assert [uid(x) for x in later.values()] == [uid(x) for x in events(stew).values()]


def test_a_box_made_apart_has_an_entry_of_its_own(stew):
    stew.run("scan", stew.codes()[2], "--freeze")
    stew.run("scan", stew.codes()[2], "--thaw", now="2026-11-01T12:00")
    found = events(stew, now="2026-11-01T12:05")

    assert len({uid(one) for one in found.values()}) == len(found)


def test_an_empty_kitchen_is_still_a_calendar(cook):
    """RFC 5545, 3.6: at least one component, so the kitchen's zone is there."""
    calendar = read(cook.run("calendar", "-").stdout_bytes)

    assert [part.name for part in calendar.parts] == ["VTIMEZONE"]
    assert calendar.one("NAME").text == "Home"


def test_the_file_is_written_and_told(stew):
    assert stew.see("calendar", "kitchen.ics") == "wrote: kitchen.ics, 1 entry\n"

    data = (stew.folder / "kitchen.ics").read_bytes()
    assert data == stew.run("calendar", "-").stdout_bytes


@pytest.mark.parametrize("name", ["kitchen.txt", "kitchen"])
def test_a_file_that_no_calendar_would_open_is_refused(stew, name):
    assert ".ics" in stew.fail(2, "calendar", name)
    assert not (stew.folder / name).exists()


def test_the_address_for_programs_is_made_ended_and_told_once(cook):
    assert "no address yet" in cook.see("calendar", "--feed", "since")
    first, hint = cook.see("calendar", "--feed", "make").splitlines()
    second, _ = cook.see("calendar", "--feed", "make").splitlines()

    path, _, token = first.partition("?token=")
    assert path == "/calendar.ics"
    assert len(token) >= 43
    assert second != first
    assert "`lidclock serve`" in hint
    assert cook.see("calendar", "--feed", "since") == (
        "there is an address since Sat 31 Oct 17:40\n"
    )
    assert cook.see("calendar", "--feed", "end") == "ended: it reads nothing more\n"
    assert cook.see("calendar", "--feed", "end") == "there is no address\n"


@pytest.mark.parametrize("words", [[], ["kitchen.ics", "--feed", "make"]])
def test_a_file_or_the_address_is_named_and_not_both(cook, words):
    result = cook.run("calendar", *words, code=2)

    assert "name a file, or say --feed" in result.stderr
    assert "no address yet" in cook.see("calendar", "--feed", "since")
