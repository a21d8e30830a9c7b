"""Evenings of cooling in New York, as a cook types them and as she sees them.

The pans lie on exact curves, T = 3 + (80 - 3) exp(-k t), unless a test says otherwise:
with k = 0.9 per hour 21 °C comes after 1.61 h and 5 °C after 4.06 h; with k = 0.5 after
2.91 h and 7.30 h, too late for both stages of the Food Code.
"""

import math
import re

import pytest

FAST, SLOW = 0.9, 0.5


def clock(minutes, day="2026-11-05"):
    """The time of day `minutes` after 17:10."""
    hour, minute = divmod(17 * 60 + 10 + minutes, 60)
    return f"{day}T{hour:02}:{minute:02}"


def curve(rate, minutes):
    """What the probe shows then, to a tenth of a degree."""
    return f"{3 + 77 * math.exp(-rate * minutes / 60):.1f}C"


@pytest.fixture
def kitchen(newcomer):
    words = ("init", "--yes", "--zone", "America/New_York", "--guidance")
    newcomer.begin("food code", lambda: newcomer.run(*words, "us-food-code"))
    newcomer.now = clock(0)
    return newcomer


def prep(cook, food="stew", count=3, made="today 17:10"):
    cook.run(
        *("prep", food, "--category", "soup-stew", "--no-allergens"),
        *("--count", str(count), "--portion", "900g", "--made", made, "--no-labels"),
    )
    return cook.codes(food)


def start(cook, *more, batch="1"):
    return cook.see(
        *("cool", "start", batch, "--depth", "50mm", "--temp", "80C"),
        *("--place", "Fridge", "--medium", "3C", *more),
    )


@pytest.fixture
def batch(kitchen):
    """Three boxes of stew, made at 17:10 and cooling in a fridge of 3 °C since."""
    kitchen.begin("stew that cools", lambda: (prep(kitchen), start(kitchen)))
    return kitchen


def read(cook, minutes, rate, *more):
    cook.now = clock(minutes)
    return cook.see("cool", "read", "1", curve(rate, minutes), *more)


def flat(text):
    return " ".join(text.split())


def log_of(cook):
    (one,) = cook.data("cool", "list")
    return one


def states(cook):
    return [one["state"] for one in log_of(cook)["stages"]]


# Starting.


def test_a_start_says_what_is_due_when(kitchen):
    prep(kitchen)

    seen = start(kitchen)

    assert seen.startswith("batch 1 (stew), 3 boxes: 80 °C at 17:10\n")
    assert "21 °C by 19:10: too early to tell (us.fc.cool1)" in seen
    assert "5 °C by 23:10: too early to tell (us.fc.cool2)" in seen
    assert "counted from 17:10 (made), under us-food-code" in seen


def test_a_start_puts_the_boxes_where_they_cool(batch):
    assert {one["place"] for one in batch.data("list")["containers"]} == {"Fridge"}


def test_without_a_depth_and_a_person_it_goes_on_and_says_so(kitchen):
    prep(kitchen)

    seen = kitchen.see("cool", "start", "1")

    assert seen.startswith("depth: not known; with --depth (50mm, 2in)")
    assert "depth not known: taken as 100 mm" in seen
    assert log_of(kitchen)["depth_mm"] is None


def test_a_person_is_asked_for_the_depth_once(kitchen, monkeypatch):
    prep(kitchen)
    monkeypatch.setattr("lidclock.cli.cool._is_person", lambda: True)

    seen = kitchen.see("cool", "start", "1", given="2in\n")

    assert seen.count("How deep does it lie") == 1
    assert log_of(kitchen)["depth_mm"] == 50.8


def test_a_person_may_not_know_the_depth(kitchen, monkeypatch):
    prep(kitchen)
    monkeypatch.setattr("lidclock.cli.cool._is_person", lambda: True)

    kitchen.see("cool", "start", "1", given="\n")

    assert log_of(kitchen)["depth_mm"] is None


def test_on_a_counter_nothing_is_foretold_until_it_is_measured(kitchen):
    prep(kitchen)

    seen = kitchen.see("cool", "start", "1", "--depth", "50mm", "--temp", "80C")

    assert "21 °C by 19:10: no forecast, the place is not known to be colder" in seen
    assert "not measured; give it with --medium" in seen


def test_an_unmeasured_fridge_is_taken_at_its_limit_and_said_to_be(kitchen):
    prep(kitchen)

    seen = kitchen.see(
        *("cool", "start", "1", "--depth", "50mm", "--temp", "80C", "--place", "Fridge")
    )

    assert "temperature Fridge: not measured, taken as 5 °C, the limit" in seen
    assert "21 °C by 19:10: too early to tell" in seen
    assert "5 °C by 23:10: no forecast" in seen


def test_a_fridge_at_the_limit_is_told_that_it_can_never_do_it(kitchen):
    prep(kitchen)

    seen = start(kitchen, "--medium", "5C")

    assert "5 °C by 23:10: cannot be met there, the place is not colder" in seen
    assert "do now:" in seen


def test_depths_are_read_in_inches_and_checked(kitchen):
    prep(kitchen)

    assert "is not a depth" in kitchen.fail(2, "cool", "start", "1", "--depth", "deep")
    assert "must lie within 3 and 600 mm" in kitchen.fail(
        2, "cool", "start", "1", "--depth", "2000mm"
    )


def test_a_batch_that_is_not_there_is_refused(kitchen):
    assert "no batch 9 in this kitchen" in kitchen.fail(11, "cool", "start", "9")


def test_starting_again_adds_to_the_open_log(batch):
    seen = batch.see("cool", "start", "1", "--depth", "30mm", "--uncovered")

    assert "its log is open since Thu 5 Nov 2026 17:10: this is added to it" in seen
    assert log_of(batch)["depth_mm"] == 30


# A good evening.


def test_a_fast_pan_is_on_course_but_not_met_until_it_is_measured(batch):
    read(batch, 30, FAST)

    seen = flat(read(batch, 50, FAST))

    assert re.search(
        r"21 °C by 19:10: on course, at the latest 18:5\d \(estimate\); "
        r"not met until measured",
        seen,
    )
    assert states(batch) == ["open", "open"]


def test_a_whole_good_evening_closes_the_log(batch):
    for minutes in (30, 50, 98):
        read(batch, minutes, FAST)
    assert states(batch) == ["met", "open"]
    batch.now = clock(250)

    seen = batch.see("cool", "finish", "1", "4.5C")

    assert "batch 1 (stew), 3 boxes: 4.5 °C at 21:20; the log is closed" in seen
    assert "21 °C by 19:10: met at 18:48" in seen
    assert "5 °C by 23:10: met at 21:20" in seen
    assert batch.see("cool", "list") == "nothing is cooling\n"


def test_its_readings_count_in_the_verdict_of_every_box(batch):
    for minutes in (30, 98):
        read(batch, minutes, FAST)
    batch.run("cool", "finish", "1", "4.5C", now=clock(250))
    batch.now = clock(251)

    for code in batch.codes():
        verdict = batch.data("show", code)["verdict"]
        limits = {one["id"]: one for one in verdict["limits"]}

        assert "cooled in time" in limits["us.fc.cool1"]["why"]
        assert "cooled in time" in limits["us.fc.cool2"]["why"]
        assert not any("cooling" in line for line in verdict["unknown"])


def test_readings_of_a_log_and_plain_facts_make_the_same_verdict(kitchen):
    logged, plain = prep(kitchen, "soup", 1)[0], prep(kitchen, "stew", 1)[0]
    kitchen.run("scan", given=f"TO=Fridge\n{logged}\n{plain}\n")
    for minutes, temp in ((60, "30C"), (110, "20C"), (300, "4C")):
        kitchen.now = clock(minutes)
        kitchen.run("cool", "read", logged, temp)
        kitchen.run("cooled", plain, "--temp", temp)

    verdicts = [kitchen.data("show", code)["verdict"] for code in (logged, plain)]

    assert verdicts[0] == verdicts[1]


def test_cold_but_never_looked_at_in_time_closes_and_says_what_is_not_known(batch):
    seen = batch.see("cool", "finish", "1", "4C", now=clock(300))

    assert "21 °C by 19:10: nobody measured it by then, so not known" in seen
    assert "the log is closed" in seen
    unknown = batch.data("show", batch.codes()[0], now=clock(301))["verdict"]["unknown"]
    assert "cooling: only its end was recorded, not the stage before" in unknown


def test_not_cold_yet_the_reading_is_kept_and_the_log_stays_open(batch):
    for minutes in (30, 98):
        read(batch, minutes, FAST)
    batch.now = clock(200)

    refused = batch.fail(13, "cool", "finish", "1", "7C")

    assert "7 °C is recorded, but not 5 °C yet, so its log stays open" in refused
    assert log_of(batch)["last_c"] == 7


# A slow evening.


@pytest.fixture
def slow(batch):
    """Read at 17:40 and 18:10: it cannot make 21 °C by 19:10."""
    read(batch, 30, SLOW)
    read(batch, 60, SLOW)
    return batch


def test_a_slow_pan_is_told_in_time_with_what_to_do(batch):
    read(batch, 30, SLOW)

    seen = flat(read(batch, 60, SLOW))

    assert re.search(r"21 °C by 19:10: too slow, 19:\d\d to 20:\d\d \(estimate\)", seen)
    for what in (
        "split it into shallower pans",
        "set it in an ice bath and stir",
        "uncovered in the coldest place",
        "or reheat it to 73.9 °C by 19:10: its hours start again, once",
    ):
        assert what in seen
    assert "measure again at 18:25" in seen


def test_a_deep_covered_pan_is_told_to_be_made_shallow_and_uncovered(kitchen):
    prep(kitchen)
    start(kitchen, "--covered", "--depth", "100mm")
    for minutes in (70, 85):
        seen = read(kitchen, minutes, SLOW)

    assert "take the lid off" in seen
    assert "split it into pans at most 51 mm (2 in) deep" in seen


def test_what_missed_a_stage_does_not_close_without_a_choice(slow):
    slow.now = clock(121)

    refused = slow.fail(13, "cool", "finish", "1", "31C")

    assert "was not 21 °C by 19:10 (us.fc.cool1)" in refused
    assert "reheated in time (--reheat TEMP) or discarded (--discard REASON)" in refused
    assert "us-food-code gives none back for a reheating that comes later" in refused
    assert (states(slow)[0], log_of(slow)["last_c"]) == ("missed", 31)


def test_once_a_stage_was_missed_even_cold_food_does_not_close(slow):
    slow.fail(13, "cool", "finish", "1", "31C", now=clock(121))

    refused = slow.fail(13, "cool", "finish", "1", "4C", now=clock(300))

    assert "its log does not close" in refused
    assert slow.data("show", slow.codes()[0], now=clock(301))["verdict"]["status"] == (
        "over"
    )


def test_discarding_closes_it_and_keeps_reading_and_reason(slow):
    codes = slow.codes()
    slow.now = clock(121)

    seen = slow.see("cool", "finish", "1", "31C", "--discard", "too slow")

    assert "discarded (too slow)" in seen
    assert slow.see("cool", "list") == "nothing is cooling\n"
    shown = slow.data("show", codes[0])
    assert (shown["ended"], shown["ended_reason"]) == ("discarded", "too slow")
    assert shown["history"][-2]["body"] == {"phase": "read", "temp_c": 31.0}


def test_reheating_in_time_starts_the_hours_again(slow):
    slow.now = clock(110)

    seen = slow.see("cool", "finish", "1", "33C", "--reheat", "75C")

    assert "21 °C by 21:00: too early to tell (us.fc.cool1)" in seen
    assert "counted from 19:00 (reheated)" in seen
    assert "reheated: cooling starts again" in seen


def test_what_was_read_before_a_reheating_says_nothing_about_the_time_after(slow):
    slow.run("cool", "finish", "1", "33C", "--reheat", "75C", now=clock(110))

    seen = slow.see("cool", "read", "1", "60C", now=clock(140))

    assert "21 °C by 21:00: too early to tell" in seen
    assert "a forecast takes two readings since 19:00" in seen


def test_what_was_measured_in_one_place_is_not_taken_for_another(batch):
    read(batch, 30, FAST)
    for code in batch.codes():
        batch.run("scan", code, "--to", "Counter", now=clock(40))

    seen = batch.see("cool", "read", "1", "48C", now=clock(41))

    assert "temperature Counter: not measured; give it with --medium" in seen
    assert "no forecast" in seen


def test_the_reheated_pan_can_be_finished(slow):
    slow.run("cool", "finish", "1", "33C", "--reheat", "75C", now=clock(110))
    slow.run("cool", "read", "1", "20C", "--medium", "0C", now=clock(180))

    seen = slow.see("cool", "finish", "1", "4C", now=clock(330))

    assert "21 °C by 21:00: met at 20:10" in seen
    assert "the log is closed" in seen
    verdict = slow.data("show", slow.codes()[0], now=clock(331))["verdict"]
    assert verdict["status"] == "keep"


def test_reheating_at_the_very_end_is_in_time_and_a_minute_later_is_not(slow):
    late = slow.fail(
        13, "cool", "finish", "1", "31C", "--reheat", "75C", now=clock(121)
    )

    assert "the reheating is recorded, but us-food-code gives no hours back" in late
    assert "discard it with --discard REASON" in late
    slow.run("undo", now=clock(122))
    assert "cooling starts again" in slow.see(
        *("cool", "finish", "1", "31C", "--reheat", "75C", "--at", "19:10"),
        now=clock(122),
    )


def test_a_reheating_that_is_not_hot_enough_starts_nothing(slow):
    slow.now = clock(110)

    seen = slow.see("cool", "finish", "1", "33C", "--reheat", "60C")

    assert "60 °C is not the 73.9 °C at which it counts: the hours go on" in seen
    assert log_of(slow)["since"] == "made"


def test_a_second_reheating_gives_no_hours_again(slow):
    slow.run("cool", "finish", "1", "33C", "--reheat", "75C", now=clock(110))
    slow.now = clock(200)

    seen = slow.see("cool", "finish", "1", "40C", "--reheat", "75C")

    assert "gives no hours back for it: the hours go on" in seen
    assert "counted from 19:00 (reheated)" in seen


def test_one_of_reheating_and_discarding_is_chosen(slow):
    refused = slow.fail(
        2, "cool", "finish", "1", "31C", "--reheat", "75C", "--discard", "x"
    )

    assert "reheat it or discard it: give one of the two" in refused


def test_a_finish_without_anything_asks_for_the_thermometer(slow):
    assert "say what the thermometer shows" in slow.fail(2, "cool", "finish", "1")


def test_half_a_pan_keeps_its_start_and_is_measured_anew(slow):
    first, *_ = slow.codes()
    slow.run("split", first, "400g", now=clock(62))
    slow.now = clock(80)

    half = next(one for one in slow.data("list")["containers"] if one["mass_g"] == 400)
    seen = slow.see("cool", "read", half["code"], "40C")

    assert "21 °C by 19:10: too early to tell" in seen
    assert "counted from 17:10 (made)" in seen
    assert "a forecast takes two readings since 18:12" in seen


# Several at once, and one of several.


def test_two_batches_cool_side_by_side(kitchen):
    prep(kitchen)
    kitchen.now = clock(20)
    prep(kitchen, "soup", 1, made="today 17:30")
    kitchen.run("cool", "start", "1", "2", "--depth", "50mm", "--place", "Fridge")

    found = kitchen.data("cool", "list")
    lines = kitchen.see("cool", "list").splitlines()

    assert [(one["batch"], len(one["codes"])) for one in found] == [(1, 3), (2, 1)]
    assert [one["stages"][0]["due_at"][11:16] for one in found] == ["19:10", "19:30"]
    assert [re.split(r"  +", line)[1:3] for line in lines] == [
        ["batch 1", "stew, 3 boxes"],
        ["batch 2", "soup, 1 box"],
    ]


def test_what_was_missed_comes_first_then_what_is_overdue(kitchen):
    for number, food in enumerate(("bisque", "chowder", "dal"), start=1):
        kitchen.now = clock(10 * number)
        prep(kitchen, food, 1, made=f"today 17:{number}0")
    kitchen.run("cool", "start", "1", "2", "3", "--depth", "50mm", "--place", "Fridge")
    kitchen.run("cool", "read", "2", "30C", now=clock(131))
    kitchen.now = clock(132)

    found = kitchen.data("cool", "list")

    assert [(one["food"], one["state"]) for one in found] == [
        ("chowder", "missed"),
        ("bisque", "overdue"),
        ("dal", "overdue"),
    ]


def test_one_box_may_be_measured_on_its_own(batch):
    codes = batch.codes()
    batch.now = clock(40)
    batch.run("cool", "read", codes[0], "60C")

    seen = batch.see("cool", "read", "1", "50C")

    assert "batch 1 (stew), 2 boxes: 50 °C at 17:50" in seen
    assert f"measured on its own, so not with the batch: {codes[0][:3]}" in seen
    assert [one["last_c"] for one in batch.data("cool", "list")] == [60, 50]


def test_a_batch_whose_boxes_are_all_measured_alone_takes_codes(batch):
    for code in batch.codes():
        batch.run("cool", "read", code, "60C", now=clock(40))

    refused = batch.fail(13, "cool", "read", "1", "50C", now=clock(41))

    assert "every box of batch 1 (stew) is measured on its own" in refused


def test_a_code_may_be_typed_with_its_gap(batch):
    code = batch.codes()[0]
    batch.now = clock(40)

    seen = batch.see("cool", "read", code[:3], code[3:], "60", "C")

    assert seen.startswith(f"{code[:3]} {code[3:]} (stew): 60 °C at 17:50")


def test_a_box_that_was_used_is_no_longer_cooling(batch):
    for code in batch.codes():
        batch.run("scan", code, "--use", "--anyway", now=clock(40))

    assert batch.see("cool", "list", now=clock(41)) == "nothing is cooling\n"
    assert "nothing is left of batch 1" in batch.fail(
        13, "cool", "read", "1", "50C", now=clock(41)
    )


# Odd readings.


def test_a_reading_warmer_than_before_is_odd_and_recorded_with_anyway(batch):
    read(batch, 30, FAST)
    batch.now = clock(50)

    odd = batch.fail(12, "cool", "read", "1", "70C")

    assert "in Fridge: 70 °C after 52.1 °C would mean that it warmed by 17.9 °C" in odd
    assert log_of(batch)["last_c"] == 52.1
    batch.run("cool", "read", "1", "70C", "--anyway")
    assert log_of(batch)["last_c"] == 70


def test_a_reading_within_the_noise_of_the_probe_is_not_odd(batch):
    read(batch, 30, FAST)

    assert "53 °C at 17:41" in batch.see("cool", "read", "1", "53C", now=clock(31))


def test_readings_may_be_told_in_the_wrong_order(batch):
    batch.now = clock(98)
    batch.run("cool", "read", "1", curve(FAST, 98))

    batch.run("cool", "read", "1", curve(FAST, 30), "--at", "17:40")

    assert (states(batch), log_of(batch)["last_c"]) == (["met", "open"], 20.7)


def test_a_reading_told_later_that_is_colder_than_one_after_it_is_odd(batch):
    batch.run("cool", "read", "1", "50C", now=clock(60))
    batch.now = clock(61)

    odd = batch.fail(12, "cool", "read", "1", "30C", "--at", "17:40")

    assert "30 °C before 50 °C would mean that it warmed by 20.0 °C" in odd


def test_a_reading_from_before_it_was_made_is_refused(batch):
    batch.now = clock(30)

    assert "is before" in batch.fail(2, "cool", "read", "1", "50C", "--at", "17:00")


def test_a_reading_in_the_future_is_refused(batch):
    refused = batch.fail(2, "cool", "read", "1", "50C", "--at", "23:00")

    assert "is in the future" in refused


def test_a_reading_without_a_start_opens_a_log(kitchen):
    prep(kitchen)

    seen = kitchen.see("cool", "read", "1", "60C", now=clock(10))

    assert "no log was open: this reading opens one" in seen
    assert log_of(kitchen)["last_c"] == 60


def test_a_reading_after_the_close_is_recorded_and_opens_nothing(batch):
    batch.run("cool", "finish", "1", "4C", now=clock(110))

    seen = batch.see("cool", "read", "1", "4C", now=clock(120))

    assert "was closed: the reading is recorded all the same" in seen
    assert batch.see("cool", "list", now=clock(121)) == "nothing is cooling\n"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("1",), "say what the thermometer shows"),
        (("1", "34"), "give one batch or code and a temperature"),
        (("1", "2", "34C"), "give one batch or code and a temperature"),
        (("1", "9000C"), "lies outside"),
        (("1", "34X"), "give one batch or code and a temperature"),
    ],
)
def test_a_reading_that_is_not_understood_says_how_to_write_it(batch, words, says):
    assert says in batch.fail(2, "cool", "read", *words)


def test_undoing_takes_a_reading_back(batch):
    batch.run("cool", "read", "1", "60C", now=clock(20))
    batch.run("undo", now=clock(21))

    assert log_of(batch)["last_c"] == 80


def test_one_undo_takes_back_a_whole_finish(slow):
    slow.run("cool", "finish", "1", "31C", "--discard", "slow", now=clock(121))
    slow.run("undo", now=clock(122))
    slow.now = clock(123)

    assert (len(slow.codes()), log_of(slow)["last_c"]) == (3, 49.7)


# Alerts and lists.


def alerts(cook, code=3):
    found = cook.data("alert", "--within", "1h", code=code)
    return [one["note"] for one in found if one["kind"] == "cooling"]


def test_half_an_hour_before_a_stage_there_is_an_alert(batch):
    read(batch, 30, FAST)
    batch.now = clock(89)
    assert alerts(batch, code=0) == []
    batch.now = clock(90)

    (note,) = alerts(batch)

    assert note == "21 °C by 19:10, 30 min left: measure it"


def test_a_stage_that_passed_without_a_reading_is_an_alert(batch):
    batch.now = clock(121)

    assert alerts(batch) == ["21 °C by 19:10 passed without a reading: measure it now"]
    assert batch.run("alert", "--within", "1h", code=3).stdout.startswith("cooling  ")


def test_a_missed_stage_stays_an_alert_until_somebody_chooses(slow):
    slow.fail(13, "cool", "finish", "1", "31C", now=clock(121))
    slow.now = clock(400)

    assert alerts(slow) == ["21 °C missed: discard"]


def test_a_stage_that_was_met_is_quiet(batch):
    for minutes in (30, 98):
        read(batch, minutes, FAST)
    batch.now = clock(110)

    assert alerts(batch, code=0) == []


def test_due_names_what_is_cooling(batch):
    seen = batch.see("due", now=clock(10))

    assert "cooling\n" in seen
    assert "batch 1  stew, 3 boxes  80 °C at 17:10  21 °C by 19:10" in seen
    assert [one["batch"] for one in batch.data("due")["cooling"]] == [1]


def test_the_history_tells_the_log(batch):
    read(batch, 30, FAST)

    seen = batch.see("show", batch.codes()[0])

    assert "cooled (log start, 50 mm deep, around it 3 °C) at 80 °C" in seen
    assert "cooled (log read) at 52.1 °C" in seen


# Units, clocks, other sets.


def test_temperatures_in_fahrenheit_are_those_of_the_code(newcomer):
    """Walk-through: 135 F at 14:05, 68 F at 15:55, 40 F at 19:40."""
    newcomer.run(
        *("init", "--yes", "--zone", "America/New_York", "--units", "us"),
        *("--guidance", "us-food-code"),
    )
    newcomer.now = "2026-11-05T14:05"
    prep(newcomer, "beans", 1, made="today 14:05")
    newcomer.run(
        *("cool", "start", "1", "--depth", "2in", "--temp", "135F"),
        *("--place", "Fridge", "--medium", "37F"),
    )

    seen = newcomer.see("cool", "read", "1", "100F", now="2026-11-05T14:50")
    assert "beans), 1 box: 37.8 °C (100 °F) at 14:50" in seen
    assert re.search(r"21 °C \(70 °F\) by 16:05: on course, at the latest 16:0", seen)
    seen = newcomer.see("cool", "read", "1", "68F", now="2026-11-05T15:55")
    assert "21 °C (70 °F) by 16:05: met at 15:55" in seen
    seen = newcomer.see("cool", "finish", "1", "40F", now="2026-11-05T19:40")
    assert "5 °C (41 °F) by 20:05: met at 19:40" in seen


def test_a_slow_pan_in_fahrenheit_fails_at_72_and_passes_at_70(newcomer):
    """Walk-through: 112 F after 45 minutes is slow; 72 F at two hours has failed."""
    newcomer.run(
        *("init", "--yes", "--zone", "America/New_York", "--guidance", "us-food-code")
    )
    newcomer.now = "2026-11-05T14:05"
    prep(newcomer, "beans", 2, made="today 14:05")
    one, other = newcomer.codes()
    newcomer.run(
        *("cool", "start", one, other, "--depth", "2in", "--temp", "135F"),
        *("--place", "Fridge", "--medium", "37F"),
    )

    seen = newcomer.see("cool", "read", one, "112F", now="2026-11-05T14:50")
    assert "21 °C by 16:05: too slow, 16:5" in seen
    newcomer.now = "2026-11-05T16:05"
    assert "21 °C by 16:05: missed" in newcomer.see("cool", "read", one, "72F")
    assert "21 °C by 16:05: met at 16:05" in newcomer.see("cool", "read", other, "70F")


def test_on_the_night_that_clocks_go_back_hours_are_hours(kitchen):
    """Made 23:00 summer time: 6 h later clocks show 04:00, not 05:00."""
    kitchen.now = "2026-10-31T23:00"
    prep(kitchen, made="today 23:00")

    seen = start(kitchen)

    assert "21 °C by Sun 1 Nov 01:00: too early" in seen
    assert "5 °C by Sun 1 Nov 04:00 EST: too early" in seen


def test_an_hour_that_comes_twice_is_told_apart(kitchen):
    kitchen.now = "2026-10-31T23:30"
    prep(kitchen, made="today 23:30")
    start(kitchen)

    seen = kitchen.see("cool", "read", "1", "30C", now="2026-11-01T01:20-05:00")

    assert "21 °C by 01:30 EDT: missed" in seen


def test_australia_counts_a_further_four_hours(newcomer):
    newcomer.run("init", "--yes", "--zone", "Australia/Sydney", "--guidance", "au")
    newcomer.now = clock(0)
    prep(newcomer)

    seen = start(newcomer)
    assert "21 °C by 19:10: too early to tell (au.cool1)" in seen
    assert "5 °C by 23:10 at the latest: too early to tell (au.cool2)" in seen
    newcomer.run("cool", "read", "1", "35C", now=clock(40))
    seen = newcomer.see("cool", "read", "1", "20C", now=clock(60))
    assert "21 °C by 19:10: met at 18:10" in seen
    assert "5 °C by 21:50:" in seen


def test_britain_at_home_asks_for_the_fridge_and_closes_when_cold(newcomer):
    newcomer.run("init", "--yes", "--zone", "Europe/London", "--guidance", "uk-home")
    newcomer.now = clock(0)
    prep(newcomer)

    seen = newcomer.see("cool", "start", "1", "--depth", "50mm")
    assert "in a fridge or freezer, or at 5 °C by 19:10 (uk.cool)" in seen
    newcomer.now = clock(30)
    start(newcomer)
    assert states(newcomer) == ["met"]
    assert "the log is closed" in newcomer.see("cool", "finish", "1", "5C")


def test_a_set_without_stages_says_so_and_how_long_it_may_be_out(cook):
    cook.now = clock(0)
    prep(cook)

    seen = cook.see("cool", "start", "1", "--depth", "50mm")

    assert "us-home publishes no stages of cooling for it" in seen
    assert "out of the cold until 19:10 at the latest (us.home.2h)" in seen


def test_unverified_stages_are_marked(newcomer):
    newcomer.run("init", "--yes", "--zone", "America/Toronto", "--guidance", "ca")
    newcomer.now = clock(0)
    prep(newcomer)

    assert "(ca.cool.1, unverified)" in start(newcomer)


def test_what_was_taken_in_without_its_age_cannot_be_counted(kitchen):
    kitchen.run("adopt", "stew", "--category", "soup-stew", "--place", "Fridge")
    code = kitchen.codes()[0]

    seen = kitchen.see("cool", "start", code, "--depth", "50mm")

    assert "its hours cannot be counted yet" in seen
    assert "making time: not recorded" in seen


def test_what_is_held_hot_has_not_begun_to_cool(kitchen):
    kitchen.run("place", "add", "Bain-marie", "--state", "hot")
    (code,) = prep(kitchen, count=1)
    kitchen.run("scan", code, "--to", "Bain-marie")

    seen = kitchen.see("cool", "start", code, "--depth", "50mm", now=clock(60))
    assert "held hot: the hours begin when it leaves the hot hold" in seen
    kitchen.run("scan", code, "--to", "Fridge", now=clock(120))
    seen = kitchen.see("cool", "read", code, "70C", now=clock(130))
    assert "21 °C by 21:10" in seen
    assert "counted from 19:10 (out of the hot hold)" in seen


def test_a_log_travels_with_an_export(batch, tmp_path):
    read(batch, 30, FAST)
    lines = batch.run("export").stdout
    path = tmp_path / "copy.jsonl"
    path.write_text(lines, encoding="utf-8")
    before = batch.data("cool", "list")
    batch.database = tmp_path / "other.db"
    batch.run("import", str(path))

    assert batch.data("cool", "list") == before


def test_rebuilding_finds_the_open_logs_again(batch):
    before = batch.data("cool", "list")

    assert batch.run("rebuild").exit_code == 0
    assert batch.data("cool", "list") == before


@pytest.mark.parametrize("name", ["c.png", "c.svg", "c.pdf"])
def test_the_curve_is_drawn_with_its_stages(batch, name):
    for minutes in (30, 60, 75, 90):
        read(batch, minutes, FAST)
    before = batch.event_count()

    seen = batch.see("cool", "draw", "1", "--out", name)

    assert seen == f"drawing: {name} (batch 1 (stew))\n"
    drawn = (batch.folder / name).read_bytes()
    assert drawn[:5] in (b"\x89PNG\r", b"<?xml", b"%PDF-")
    assert len(drawn) > 5_000
    assert batch.event_count() == before


def test_nothing_to_draw_is_told(kitchen):
    prep(kitchen)

    assert "has no cooling log" in kitchen.fail(
        13, "cool", "draw", "1", "--out", "c.png"
    )
    kitchen.see("cool", "start", "1", "--depth", "50mm")
    refused = kitchen.fail(13, "cool", "draw", "1", "--out", "c.png")
    assert "nothing was measured of batch 1 (stew) yet" in refused
    assert "must end in one of" in kitchen.fail(
        2, "cool", "draw", "1", "--out", "c.gif"
    )
    assert not (kitchen.folder / "c.png").exists()


def test_the_readings_of_a_fridge_tell_what_is_around_the_pan(kitchen):
    """A fridge that reads 5 °C cannot cool to 5 °C, whatever its limit."""
    prep(kitchen)
    kitchen.run("cool", "start", "1", *("--depth", "50mm", "--place", "Fridge"))
    for minutes in (5, 60, 90):
        kitchen.now = clock(minutes)
        kitchen.run("temp", "Fridge", "5.5C")
        kitchen.run("cool", "read", "1", curve(FAST, minutes))

    (found,) = kitchen.data("cool", "list")

    assert found["medium_c"] == pytest.approx(5.5)
    assert found["medium_measured_at"].startswith("2026-11-05T18:40")
