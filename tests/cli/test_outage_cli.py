"""`outage`: a kitchen after a power cut, and what its cook reads then.

On Sat 31 Oct 2026 in New York: soup, raw chicken and hard cheese in the fridge, stew in
the freezer. Two o'clock comes twice that night; every power cut here is after it or
before it, unless a test says otherwise.
"""

import json
import re

import pytest

MORNING = "2026-11-01T12:00"
FOODS = (
    ("soup", "soup-stew", "Fridge"),
    ("raw chicken", "raw-poultry", "Fridge"),
    ("frozen stew", "soup-stew", "Freezer"),
)


def put(cook, food, category, place, made="today 17:30"):
    cook.run(
        *("prep", food, "--category", category, "--no-allergens", "--count", "1"),
        *("--portion", "300g", "--made", made, "--place", place),
        "--no-labels",
    )


@pytest.fixture
def kitchen(cook):
    """The four containers of the story, on the next day at noon."""
    cook.begin("before the outage", lambda: fill(cook))
    cook.now = MORNING
    return cook


def fill(cook):
    for food, category, place in FOODS:
        put(cook, food, category, place)
    cook.run("open", "cheddar", "--category", "hard-cheese", "--place", "Fridge")


def decisions(cook, *args, **more):
    """What to do with each food."""
    rows = cook.data("outage", *args, **more)["rows"]
    return {row["food"]: row["decision"] for row in rows}


def test_three_hours_behind_a_shut_door_keep_everything(kitchen):
    seen = kitchen.see("outage", "--from", "today 09:00").splitlines()

    assert seen[:3] == [
        "Sun 1 Nov 09:00 to Sun 1 Nov 12:00: 3 h without power",
        "taken as so: doors kept shut, freezers half full",
        "keep 4",
    ]


def test_after_six_hours_the_chart_goes_food_by_food(kitchen):
    assert decisions(kitchen, "--from", "today 06:00") == {
        "soup": "discard",
        "raw chicken": "discard",
        "cheddar": "keep",
        "frozen stew": "keep",
    }


def test_six_hours_read_as_a_page(kitchen):
    seen = kitchen.see("outage", "--from", "today 06:00")

    assert "\ndiscard 2, keep 2\nwhat is known\n" in seen
    assert "\n  Fridge: not measured; a shut door holds for 4 h [1]\n" in seen
    assert seen.index("\ndiscard\n") < seen.index("\nkeep: its own last day holds\n")
    assert (
        "    6 h without power, not measured: counted as above 4.4 °C (40 °F)\n"
        "    casseroles, soups or stews: discard if above 4.4 °C (40 °F) for more "
        "than\n      2 h [2]\n"
    ) in seen
    assert "\n    6 h without power: within 24 h\n" in seen
    assert "[2] FoodSafety.gov, Food safety in a power outage" in seen
    assert "never taste" in seen
    assert "\nnothing was recorded\nto record what is thrown away, type\n" in seen
    for food in ("soup", "raw chicken"):
        (code,) = kitchen.codes(food)
        assert f"\n  lidclock scan {code} --discard 'power cut'\n" in seen


def test_the_strictest_stands_first(kitchen):
    rows = kitchen.data("outage", "--from", "today 06:00")["rows"]

    assert [row["decision"] for row in rows[:3]] == ["discard", "discard", "keep"]
    assert [row["place"] for row in rows] == ["Fridge"] * 3 + ["Freezer"]


def test_no_line_is_wider_than_eighty_columns(kitchen):
    seen = kitchen.see("outage", "--from", "31 Oct 2026 17:40", "--fridge", "Fridge=9C")

    assert max(map(len, seen.splitlines())) <= 80


def test_a_fridge_that_was_cold_at_the_end_keeps_everything(kitchen):
    found = decisions(kitchen, "--from", "today 06:00", "--fridge", "fridge=40F")

    assert set(found.values()) == {"keep"}


def test_a_warm_reading_is_said_with_its_number(kitchen):
    seen = kitchen.see("outage", "--from", "today 09:00", "--fridge", "Fridge=9C")

    assert "3 h without power, 9 °C (48 °F) at the end: counted as above" in seen


def test_a_freezer_after_a_day_has_to_be_looked_at(kitchen):
    kitchen.now = "2026-11-02T06:00"
    began = ("--from", "1 Nov 2026 05:30")

    assert decisions(kitchen, *began)["frozen stew"] == "check"
    assert decisions(kitchen, *began, "--freezer-full")["frozen stew"] == "keep"
    icy = decisions(kitchen, *began, "--found", "Freezer=ICY")
    assert icy["frozen stew"] == "refreeze"
    warm = decisions(kitchen, *began, "--found", "Freezer=warm")
    assert warm["frozen stew"] == "discard"


def test_what_is_frozen_again_loses_quality(kitchen):
    seen = kitchen.see("outage", "--from", "today 06:00", "--found", "Freezer=icy")

    assert "what is frozen again loses quality" in seen
    assert "refreeze 1" in seen


def test_the_hours_are_true_hours_when_clocks_go_back(kitchen):
    """From 23:00 to 03:00 that night five hours pass."""
    found = kitchen.data(
        *("outage", "--from", "31 Oct 2026 23:00", "--until", "1 Nov 2026 03:00")
    )

    assert "5 h without power" in found["rows"][0]["why"][0]


def test_what_is_over_by_its_own_clock_is_discarded_for_that(kitchen):
    kitchen.now = "2026-11-06T12:00"

    rows = kitchen.data("outage", "--from", "today 11:00")["rows"]
    soup = next(row for row in rows if row["food"] == "soup")

    assert soup["decision"] == "discard"
    assert soup["row"].startswith("past its own last moment: use by was Tue 3 Nov")
    assert soup["record"] == "us.home.soup.fridge"


def test_what_was_moved_since_is_judged_where_it_stood(kitchen):
    code = kitchen.codes("soup")[0]
    kitchen.run("scan", code, "--freeze")

    rows = kitchen.data("outage", "--from", "today 05:00", "--until", "today 11:00")
    soup = next(row for row in rows["rows"] if row["code"] == code)

    assert (soup["decision"], soup["place"]) == ("discard", "Fridge")
    assert "now in Freezer" in soup["why"]


def test_what_was_moved_meanwhile_is_judged_by_the_worse_place(kitchen):
    code = kitchen.codes("soup")[0]
    kitchen.run("scan", code, "--freeze")
    kitchen.now = "2026-11-01T14:00"

    rows = kitchen.data("outage", "--from", "today 05:00")["rows"]
    soup = next(row for row in rows if row["code"] == code)

    assert (soup["decision"], soup["place"]) == ("discard", "Fridge")


def test_what_was_moved_before_is_judged_where_it_then_was(kitchen):
    code = kitchen.codes("soup")[0]
    kitchen.run("scan", code, "--freeze")
    kitchen.now = "2026-11-01T20:00"

    rows = kitchen.data("outage", "--from", "today 13:00")["rows"]
    soup = next(row for row in rows if row["code"] == code)

    assert (soup["decision"], soup["place"]) == ("keep", "Freezer")


def test_what_was_made_afterwards_is_not_touched(kitchen):
    put(kitchen, "fresh soup", "soup-stew", "Fridge", made="today 11:30")

    found = decisions(kitchen, "--from", "today 05:00", "--until", "today 11:00")

    assert (found["soup"], found["fresh soup"]) == ("discard", "keep")


def test_what_was_made_afterwards_from_what_stood_there_is_to_check(kitchen):
    chicken = kitchen.codes("raw chicken")[0]
    kitchen.run(
        *("prep", "roast", "--category", "cooked-meat-poultry", "--no-allergens"),
        *("--count", "1", "--portion", "250g", "--made", "today 11:30"),
        *("--from", chicken, "--place", "Fridge", "--no-labels"),
    )

    found = decisions(kitchen, "--from", "today 05:00", "--until", "today 11:00")

    assert found["roast"] == "check"


def test_a_box_that_nobody_put_away_is_listed_to_check(kitchen):
    kitchen.run(
        *("prep", "bean dip", "--category", "vinegar-sauce", "--no-allergens"),
        *("--count", "1", "--portion", "200g", "--made", "today 11:00", "--no-labels"),
    )

    seen = kitchen.see("outage", "--from", "today 06:00")

    assert re.search(r"\n  .{8}  bean dip +no place\n", seen)
    assert "\ncheck: nobody knows; when in doubt, throw it out [" in seen
    assert "where it stood is not recorded" in seen


def test_what_stands_on_the_counter_is_not_asked_of_the_chart(kitchen):
    put(kitchen, "loaf", "bread-baked", "Counter", made="today 05:00")

    assert "loaf" not in decisions(kitchen, "--from", "today 06:00")


def test_a_set_that_never_freezes_again_what_thawed_is_stricter(newcomer):
    newcomer.run("init", "--yes", "--zone", "Europe/London", "--guidance", "uk-home")
    put(newcomer, "stew", "soup-stew", "Freezer")
    newcomer.now = MORNING

    rows = newcomer.data("outage", "--from", "today 06:00", "--found", "Freezer=icy")

    assert rows["rows"][0]["decision"] == "check"
    assert "is not frozen again" in rows["rows"][0]["notes"][0]


def test_nothing_is_recorded(kitchen):
    before = kitchen.event_count()
    kitchen.run("outage", "--from", "today 06:00")

    assert kitchen.event_count() == before


def test_an_empty_kitchen_has_nothing_to_judge(cook):
    seen = cook.see("outage", "--from", "today 10:00")

    assert "\nnothing recorded stood in a fridge or a freezer\n" in seen
    assert "warning" not in seen


def test_json_carries_the_source_of_each_decision(kitchen):
    found = json.loads(kitchen.see("outage", "--from", "today 06:00", "--json"))
    soup = next(row for row in found["rows"] if row["food"] == "soup")

    assert soup["record"] == "us.home.po.fridge.casseroles_soups_stews"
    assert soup["source"]["authority"] == "FoodSafety.gov"
    assert soup["source"]["section"] == "chart row"
    assert found["summary"] == {"keep": 2, "refreeze": 0, "discard": 2, "check": 0}
    assert (found["freezers"], found["recorded"]) == ("half full", False)


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["--from", "today 13:00"], "the beginning Sun 1 Nov 2026 13:00 is in the"),
        (["--from", "today 10:00", "--until", "today 13:00"], "the end Sun 1 Nov"),
        (["--from", "today 10:00", "--until", "today 09:00"], "ended before it began"),
        (["--from", "today 10:00", "--until", "today 10:00"], "ended when it began"),
        (["--from", "today 10:00", "--fridge", "Freezer=3C"], "Freezer is a freezer"),
        (["--from", "today 10:00", "--found", "Fridge=icy"], "Fridge is a fridge"),
        (["--from", "today 10:00", "--found", "Freezer=soft"], "say icy or warm"),
        (["--from", "today 10:00", "--found", "Freezer"], "write it Freezer=icy"),
        (["--from", "today 10:00", "--fridge", "Fridge=cold"], "not a temperature"),
    ],
)
def test_what_cannot_be_is_refused_with_what_to_do(kitchen, args, words):
    assert words in kitchen.fail(2, "outage", *args)


@pytest.mark.parametrize("twin", ["Fridge=4C", "fridge=4C"])
def test_a_place_that_is_given_twice_is_refused(kitchen, twin):
    args = ("--from", "today 10:00", "--fridge", "Fridge=3C", "--fridge", twin)

    assert "given twice" in kitchen.fail(2, "outage", *args)


def test_a_place_that_there_is_not_is_refused_with_those_there_are(kitchen):
    args = ("--from", "today 10:00", "--fridge", "Larder=3C")

    assert "there are Fridge, Freezer" in kitchen.fail(11, "outage", *args)


def typed(cook, place, *readings):
    """Readings typed by hand, each (time of today, temperature)."""
    for clock, temp in readings:
        cook.run("temp", "--", place, temp, "--at", f"today {clock}")


def place_of(found, name):
    return next(one for one in found["places"] if one["place"] == name)


def test_readings_of_the_time_decide_a_fridge(kitchen):
    typed(kitchen, "Fridge", ("09:00", "4C"), ("11:00", "7C"), ("12:00", "4C"))
    found = kitchen.data("outage", "--from", "today 06:00")
    read = place_of(found, "Fridge")["readings"]

    assert read["count"] == 3
    assert (read["peak_c"], read["above_chart_h"], read["unknown_h"]) == (7, 3, 0)
    assert read["chart_source"]["authority"] == "FoodSafety.gov"
    assert {row["food"]: row["decision"] for row in found["rows"]}["soup"] == "discard"


def test_readings_that_stayed_cold_keep_what_hours_alone_would_not(kitchen):
    typed(kitchen, "Fridge", ("09:00", "3C"), ("11:30", "4C"))

    seen = kitchen.see("outage", "--from", "today 06:00")

    assert "keep 4" in seen
    assert "  Fridge: 2 readings, at most 4 °C (39 °F); never above 4.4 °C" in seen
    assert "not measured in the last 30 min: not known" in " ".join(seen.split())


def test_silence_after_a_cold_reading_counts_as_warm(kitchen):
    typed(kitchen, "Fridge", ("06:30", "3C"))
    found = kitchen.data("outage", "--from", "today 06:00")

    assert place_of(found, "Fridge")["readings"]["unknown_h"] == 5.5
    assert {row["food"]: row["decision"] for row in found["rows"]}["soup"] == "discard"


def test_what_is_said_of_the_end_joins_the_readings(kitchen):
    typed(kitchen, "Fridge", ("06:30", "3C"))

    found = decisions(kitchen, "--from", "today 06:00", "--fridge", "Fridge=4C")
    assert found["soup"] == "keep"


def test_a_freezer_that_was_read_is_judged_by_that(kitchen):
    kitchen.now = "2026-11-02T18:00"
    began = ("--from", "1 Nov 2026 09:00")
    typed(kitchen, "Freezer", ("08:00", "-4C"), ("17:00", "2C"))

    assert decisions(kitchen, *began)["frozen stew"] == "refreeze"
    typed(kitchen, "Freezer", ("15:00", "6C"))
    assert decisions(kitchen, *began)["frozen stew"] == "discard"


def test_what_was_found_decides_the_chart_but_not_the_food_s_own_hours(kitchen):
    """Ice answers the chart; the hours of warm air are charged all the same."""
    kitchen.now = "2026-11-02T18:00"
    began = ("--from", "1 Nov 2026 09:00", "--found", "Freezer=icy")
    assert decisions(kitchen, *began)["frozen stew"] == "refreeze"

    typed(kitchen, "Freezer", ("08:00", "-4C"), ("15:00", "6C"), ("17:00", "2C"))

    assert decisions(kitchen, *began)["frozen stew"] == "discard"
    assert "past its own last moment" in kitchen.see("outage", *began)


def test_where_nobody_measured_an_estimate_may_only_warn_earlier(kitchen):
    found = kitchen.data("outage", "--from", "today 11:00")
    estimate = place_of(found, "Fridge")["estimate"]

    assert estimate["advisory"]
    assert estimate["warns"]
    early, late = estimate["hours"]
    assert 0 < early < late < 4
    assert found["summary"]["keep"] == 4
    seen = kitchen.see("outage", "--from", "today 11:00")
    assert "    warning: after " in seen
    assert "may be above 4.4 °C (40 °F), before those" in seen


def test_a_full_freezer_is_never_given_longer_by_an_estimate(kitchen):
    kitchen.run(
        *("prep", "stock", "--category", "soup-stew", "--no-allergens"),
        *("--count", "2", "--portion", "75kg", "--made", "today 01:10"),
        *("--place", "Freezer", "--no-labels"),
    )
    kitchen.now = "2026-11-03T08:00"
    args = ("outage", "--from", "1 Nov 2026 14:00", "--room", "20C")

    freezer = place_of(kitchen.data(*args), "Freezer")
    assert freezer["estimate"]["hours"][0] > freezer["hold_h"]
    assert not freezer["estimate"]["warns"]
    assert "estimate: not sooner than those 24 h, which stand" in kitchen.see(*args)
    assert decisions(kitchen, *args[1:])["frozen stew"] == "check"


def test_a_reading_leaves_nothing_to_estimate(kitchen):
    typed(kitchen, "Fridge", ("11:30", "4C"))
    found = kitchen.data("outage", "--from", "today 09:00")

    assert place_of(found, "Fridge")["estimate"] is None
    assert place_of(found, "Freezer")["estimate"]["from_c"] == -18


def test_while_it_is_still_out_the_page_says_when_doors_give_out(kitchen):
    seen = kitchen.see("outage", "--from", "today 09:00", "--still-out")

    assert ": 3 h without power, still out\n" in seen
    assert "a shut door holds until Sun 1 Nov 13:00 [1]" in seen
    assert "\nkeep for now: its own last day holds\n" in seen


def test_only_a_place_that_is_named_had_no_power(kitchen):
    found = kitchen.data("outage", "freezer", "--from", "today 06:00")

    assert [one["place"] for one in found["places"]] == ["Freezer"]
    assert [row["food"] for row in found["rows"]] == ["frozen stew"]


def test_what_was_moved_out_before_it_began_is_not_listed(kitchen):
    code = kitchen.codes("soup")[0]
    kitchen.run("scan", code, "--to", "Counter", "--at", "today 05:30")

    assert "soup" not in decisions(kitchen, "--from", "today 06:00")


def test_what_was_moved_out_soon_is_judged_by_the_hours_until_then(kitchen):
    code = kitchen.codes("soup")[0]
    kitchen.run("scan", code, "--freeze", "--at", "today 06:30")

    assert decisions(kitchen, "Fridge", "--from", "today 06:00")["soup"] == "keep"


def test_what_was_put_in_late_is_judged_by_the_hours_it_stood_there(kitchen):
    kitchen.now = "2026-11-01T11:00"
    put(kitchen, "late soup", "soup-stew", "Fridge", made="today 11:00")
    kitchen.now = MORNING

    found = kitchen.data("outage", "--from", "today 06:00")
    late = next(row for row in found["rows"] if row["food"] == "late soup")

    assert late["decision"] == "keep"
    assert "6 h without power, 1 h of them in there, not measured" in late["why"][0]


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["--until", "today 11:00", "--still-out"], "--until or --still-out"),
        (["Counter"], "Counter is a counter: name fridges and freezers only"),
        (["Freezer", "--fridge", "Fridge=4C"], "Fridge is not among the places named"),
        (["--room", "warm"], "not a temperature"),
    ],
)
def test_options_that_do_not_go_together_are_refused(kitchen, args, words):
    assert words in kitchen.fail(2, "outage", "--from", "today 06:00", *args)


def test_what_left_within_the_door_s_hours_is_kept(kitchen):
    """Three hours behind a shut door: the row's two hours do not begin before four."""
    code = kitchen.codes("soup")[0]
    kitchen.run("scan", code, "--freeze", "--at", "today 09:00")

    assert decisions(kitchen, "Fridge", "--from", "today 06:00")["soup"] == "keep"


def test_what_was_found_at_the_end_is_not_of_what_had_left(kitchen):
    (stew,), (soup,) = kitchen.codes("frozen stew"), kitchen.codes("soup")
    kitchen.run("scan", stew, "--to", "Fridge", "--at", "today 08:00")
    kitchen.run("scan", soup, "--to", "Freezer", "--at", "today 09:30")
    times = ("--from", "today 06:00", "--until", "today 11:00")

    of_freezer = decisions(kitchen, "Freezer", *times, "--found", "Freezer=warm")
    of_fridge = decisions(kitchen, "Fridge", *times, "--fridge", "Fridge=9C")

    assert (of_freezer["frozen stew"], of_freezer["soup"]) == ("keep", "discard")
    assert (of_fridge["soup"], of_fridge["raw chicken"]) == ("keep", "discard")


def test_an_estimate_starts_from_the_last_reading_before(kitchen):
    typed(kitchen, "Fridge", ("08:55", "1C"))
    estimate = place_of(kitchen.data("outage", "--from", "today 09:00"), "Fridge")

    assert estimate["estimate"]["from_c"] == 1
    assert estimate["estimate"]["from_is_read"]
    assert not estimate["measured"]


def test_an_estimate_counts_what_stood_there_when_the_power_went(kitchen):
    """Two boxes of 300 g; nobody weighed the cheese, and the third came later."""
    kitchen.now = "2026-11-01T11:00"
    put(kitchen, "late soup", "soup-stew", "Fridge", made="today 11:00")
    kitchen.now = MORNING
    estimate = place_of(kitchen.data("outage", "--from", "today 09:00"), "Fridge")

    assert estimate["estimate"]["mass_kg"] == 0.6
    assert estimate["estimate"]["unweighed"] == 1


def test_what_nobody_placed_is_listed_wherever_the_power_went(kitchen):
    kitchen.run(
        *("prep", "bean dip", "--category", "vinegar-sauce", "--no-allergens"),
        *("--count", "1", "--portion", "200g", "--made", "today 11:00", "--no-labels"),
    )
    put(kitchen, "loaf", "bread-baked", "Counter", made="today 12:00")

    found = decisions(kitchen, "Freezer", "--from", "today 06:00")

    assert found == {"bean dip": "check", "frozen stew": "keep"}


def test_the_strictest_comes_first_whatever_its_place(kitchen):
    args = ("--from", "today 06:00", "--fridge", "Fridge=3C", "--found", "Freezer=warm")
    rows = kitchen.data("outage", *args)["rows"]

    assert [row["place"] for row in rows] == ["Freezer", *["Fridge"] * 3]


def test_what_was_cold_at_the_end_was_cold_for_what_had_left(kitchen):
    (soup,) = kitchen.codes("soup")
    kitchen.run("scan", soup, "--to", "Counter", "--at", "today 11:30")
    kitchen.now = "2026-11-01T12:30"
    args = ("--from", "today 06:00", "--until", "today 12:00")

    assert decisions(kitchen, *args, "--fridge", "Fridge=4C")["soup"] == "keep"
    assert decisions(kitchen, *args, "--fridge", "Fridge=9C")["soup"] == "discard"
