"""`due`, `alert`, `list`, `show`: what a cook reads."""

import platform
from datetime import datetime

from lidclock.app.alert_answers import answer_alert
from lidclock.app.alert_list import alerts_found
from lidclock.app.session import Session
from lidclock.domain.moments import from_local, zone_of


def test_due_groups_by_place_and_counts_the_frozen(stew):
    codes = stew.codes()
    stew.run("scan", codes[0], "--freeze")
    stew.now = "2026-11-02T09:00"

    seen = stew.see("due").splitlines()

    assert seen[1] == "Fridge"
    assert seen[2].endswith("stew  box 2 of 3  350 g  soon  use by Tue 3 Nov")
    assert seen[-1] == "frozen: 1 container"


def test_nothing_due_says_until_when(stew):
    seen = stew.see("due")

    assert seen == "Sat 31 Oct 17:40: due by Mon 2 Nov 16:40\nnothing\n"


def test_after_midnight_the_due_list_belongs_to_the_working_day_before(newcomer):
    newcomer.run("init", "--yes", "--day-start", "4")

    seen = newcomer.see("due", now="2026-11-01T00:30")

    assert seen.startswith("Sun 1 Nov 00:30 (working day Sat 31 Oct): due by")


def test_due_looks_as_far_ahead_as_asked(stew):
    assert len(stew.data("due", "--within", "5d")["due"]) == 3


def test_due_lists_what_is_unmarked(dough):
    seen = dough.see("due")

    assert "unmarked: give them a place or a date" in seen
    assert seen.count("no place") == 6


def test_unmarked_boxes_stand_in_the_order_of_their_numbers(dough):
    rows = dough.see("due").splitlines()[-6:]

    assert [row.split("  box ")[1][0] for row in rows] == ["1", "2", "3", "4", "5", "6"]


def test_an_unmarked_box_past_its_last_moment_says_so(dough):
    dough.now = "2026-11-01T09:00"

    assert dough.see("due").count("no place, past its last moment") == 6
    assert "6 labelled, no place\n" in dough.see("list")


def test_an_empty_kitchen_has_nothing_due(cook):
    assert cook.data("due")["due"] == []


def test_a_span_that_is_none_is_refused(stew):
    assert "is not a span" in stew.fail(2, "due", "--within", "soon")


def test_alert_is_silent_while_nothing_needs_a_voice(stew):
    assert stew.see("alert") == ""


def test_alert_exits_three_with_one_line_each_the_most_urgent_first(stew):
    stew.run("adopt", "old stew", "--category", "soup-stew", "--place", "Fridge")
    stew.now = "2026-11-03T09:00"

    lines = stew.see("alert", code=3).splitlines()

    assert [line.split()[0] for line in lines] == ["last-day"] * 3 + ["unknown"]


def test_alert_as_json_keeps_the_exit_code(stew):
    rows = stew.data("alert", "--within", "4d", code=3)

    assert {row["kind"] for row in rows} == {"soon"}


def test_list_counts_containers_and_grams(stew):
    seen = stew.see("list", "--place", "fridge")

    assert seen.startswith("Fridge\n  stew: 3 containers, 1050 g\n")


def test_list_can_be_narrowed_to_a_state(stew):
    code = stew.codes()[0]
    stew.run("scan", code, "--freeze")

    found = stew.data("list", "--state", "freezer")["containers"]

    assert [one["code"] for one in found] == [code]


def test_list_says_when_there_is_nothing(cook):
    assert cook.see("list") == "nothing here\n"


def test_list_names_the_places_there_are(stew):
    assert "there are Fridge, Freezer, Counter" in stew.fail(
        11, "list", "--place", "Attic"
    )


def test_json_instants_carry_an_offset_and_days_are_iso(stew):
    one = stew.data("list")["containers"][0]

    assert one["made_at"] == "2026-10-31T17:10:00-04:00"
    assert one["last_day"] == "2026-11-03"
    assert one["last_moment"] == "2026-11-04T00:00:00-05:00"


def test_show_names_every_limit_with_its_document(stew):
    seen = stew.see("show", stew.codes()[0])

    assert "why, the strictest first\n  " in seen
    assert "FoodSafety.gov, Cold Food Storage Chart" in seen
    assert "2-hour rule" in seen


def test_show_says_what_is_unknown_and_what_comes_next(stew):
    seen = stew.see("show", stew.codes()[0])

    assert "not known\n  time before the first place: 30 min" in seen
    assert "next: use, freeze, hand on, discard" in seen


def test_show_names_the_kitchens_own_rule_as_its_own(cook):
    cook.run("food", "add", "soup", "--category", "soup-stew", "--days", "2")
    cook.run("prep", "soup", "--place", "Fridge", "--no-labels")

    seen = cook.see("show", cook.codes()[0])

    assert "source: local rule of this kitchen" in seen


def test_show_marks_an_unverified_source(newcomer):
    """The 48 hours of a pack without air are from memory in the reference."""
    newcomer.run("init", "--yes", "--guidance", "us-food-code")
    newcomer.run(
        *("prep", "soup", "--category", "soup-stew", "--pack", "vacuum"),
        *("--place", "Fridge", "--no-labels"),
    )

    seen = newcomer.see("show", newcomer.codes()[0])

    assert "3-502.12(F), 2013-2022, unverified" in seen


def test_allergens_that_nobody_recorded_are_not_none(cook):
    cook.run("prep", "soup", "--category", "soup-stew", "--no-labels")

    assert "allergens: not recorded" in cook.see("show", cook.codes()[0])


def test_show_as_json_has_the_verdict_and_the_history(stew):
    seen = stew.data("show", stew.codes()[0])

    assert seen["verdict"]["binding"] == seen["verdict"]["limits"][0]["id"]
    assert [one["kind"] for one in seen["history"]] == ["made", "filled", "placed"]


def test_no_screen_calls_food_safe(stew):
    screens = [
        stew.see("show", stew.codes()[0]),
        stew.see("list"),
        stew.see("due", "--within", "9d"),
    ]

    words = " ".join(screens).lower().replace("foodsafety", "").split()

    assert not {"safe", "safe,", "safe."} & set(words)


def test_alert_tells_who_sees_to_it_and_ends_with_nothing_then(stew):
    """Until the next card hour, which is at 07:30; or until it changes."""
    stew.now = "2026-11-03T09:00"
    answered = answer_alerts(stew, "mine")
    lines = stew.see("alert").splitlines()
    rows = stew.data("alert")

    assert answered == len(lines) == 3
    assert lines[0].endswith(
        "[will be seen to by ann, Tue 3 Nov 09:00; if it is still so, again "
        "Wed 4 Nov 07:30]"
    )
    assert {row["answered_by"] for row in rows} == {"ann"}
    assert {row["answered_at"] for row in rows} == {"2026-11-03T09:00:00-05:00"}
    assert {row["answer"] for row in rows} == {"mine"}
    assert stew.see("undo") == "undone: the answer to an alert\n"
    assert len(stew.see("alert", code=3).splitlines()) == 3

    answer_alerts(stew, "seen-to")
    stew.now = "2026-11-04T00:00"
    assert {row["kind"] for row in stew.data("alert", code=3)} == {"over"}


def answer_alerts(cook, answer):
    """Say the same to every alert, as the page does; how many there are."""
    session = Session.open(
        cook.database, now=instant(cook.now), who="ann", device=platform.node()
    )
    keys = [one.key for one in alerts_found(session)]
    for key in keys:
        answer_alert(session, key, answer)
    session.close()
    return len(keys)


def instant(text):
    return from_local(datetime.fromisoformat(text), zone_of("America/New_York"))
