"""Readings on the command line: typed, listed, put right, alarming."""

import re
import subprocess
import sys

import pytest

MONDAY = "2026-11-02T12:00"


@pytest.fixture
def fridges(cook):
    """A kitchen at noon on Monday with a second fridge and a hot hold."""
    cook.now = MONDAY
    cook.run("place", "add", "Fridge 2", "--state", "fridge")
    cook.run("place", "add", "Bar", "--state", "hot")
    return cook


def add_sensor(cook, name, *more):
    cook.run("temp", "sensor", "add", name, "--place", "Fridge", *more)


def of_place(cook, place, **more):
    return cook.data("temp", "list", place, **more)


def test_a_reading_is_typed_as_the_place_and_what_it_said(fridges):
    seen = fridges.see("temp", "Fridge 2", "6.5C").splitlines()

    assert seen[0] == "Fridge 2: 6.5 °C, Mon 2 Nov 12:00"
    assert seen[1] == (
        "above its limit of 4.4 °C: door? power? check again, and move food if it "
        "stays so"
    )
    assert "US home storage charts" in seen[2]
    assert "expected every 12 h" in seen[3]
    assert of_place(fridges, "Fridge 2")["latest"]["temp_c"] == 6.5


def test_the_long_way_is_the_same(fridges):
    short = fridges.see("temp", "Fridge", "3.5C", "--at", "today 8:00")
    long = fridges.see("temp", "add", "Fridge", "3.5C", "--at", "today 8:00")

    assert long.splitlines()[0] == short.splitlines()[0] + " (already recorded)"


def test_below_zero_needs_no_tricks(fridges):
    assert fridges.see("temp", "Freezer", "-18C").startswith("Freezer: -18 °C")
    assert fridges.see("temp", "add", "Freezer", "-19.5C", "--at", "today 8:00")


def test_fahrenheit_is_read_and_said(newcomer):
    newcomer.run("init", "--yes", "--zone", "America/New_York", "--units", "us")
    seen = newcomer.see("temp", "Fridge", "40F").splitlines()

    assert seen[0].startswith("Fridge: 40 °F")
    assert seen[1].startswith("limit: at most 40 °F")


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("Fridge", "41"), 2, "'41' is not a temperature; write it like 4C or 40F"),
        (("Fridge", "38C"), 12, "38 °F would be 3.3 °C; record it as it is with --any"),
        (("Fridge", "85C"), 12, "says when it was just switched on"),
        (("Fridge", "-127C"), 2, "lies outside -100 to 200 °C"),
        (("Cellar", "4C"), 11, "no place 'Cellar' in this kitchen; there are Fridge"),
        (("list", "4C"), 2, "'list' is a command here; for a place of that name write"),
        (("Fridge", "4C", "--at", "tomorrow 8:00"), 2, "is in the future"),
        (("Fridge", "4C", "--sensor", "X"), 11, "no sensor 'X' in this kitchen"),
        (("Fridge", "nanC"), 2, "is not a temperature"),
        (("Fridge",), 2, "Missing argument 'TEMP'"),
        (("list", "--since", "soon"), 2, "'soon' is not a span"),
        (("stats", "Cellar"), 11, "no place 'Cellar'"),
        (("sensor", "add", "P", "--place", "Cellar"), 11, "no place 'Cellar'"),
        (("sensor", "add", "", "--place", "Fridge"), 2, "is not a name"),
        (("sensor", "move", "P"), 2, "say --nowhere"),
        (("sensor", "move", "P", "Fridge"), 11, "no sensor 'P'"),
        (("sensor", "interval", "P", "5min"), 11, "no sensor 'P'"),
        (("offset", "P"), 2, "give either --ice-point or --boiling-point"),
        (("offset", "P", "--ice-point", "0.4C"), 11, "no sensor 'P'"),
        (
            ("offset", "P", "--ice-point", "0.4C", "--altitude", "5000ft"),
            2,
            "--altitude goes with --boiling-point",
        ),
        (("correct", "Fridge", "--at", "today 8:00"), 2, "give the right temperature"),
        (("lag", "Fridge", "2d"), 2, "a lag must lie within 0 and 24 h"),
        (("export", "readings.txt"), 2, "ends in neither .csv nor .parquet"),
        (("load", "missing.csv"), 2, "cannot read missing.csv"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(fridges, words, code, says):
    assert says in fridges.fail(code, "temp", *words)
    assert fridges.data("temp", "sensor", "list") == []


def test_a_place_named_like_a_command_is_reached_by_add(fridges):
    fridges.run("place", "add", "list", "--state", "fridge")

    assert fridges.see("temp", "add", "list", "4C").startswith("list: 4 °C")


def test_an_odd_reading_is_recorded_anyway(fridges):
    fridges.run("temp", "Fridge", "38C", "--anyway")

    assert of_place(fridges, "Fridge")["latest"]["temp_c"] == 38


def test_every_place_is_listed_also_those_nobody_measures(fridges):
    fridges.run("temp", "Fridge 2", "3.5C", "--at", "today 8:00")
    fridges.run("temp", "Fridge 2", "6.5C")
    lines = fridges.see("temp", "list").splitlines()

    assert len(lines) == 5
    assert re.split(r"\s{2,}", lines[3]) == [
        *("Fridge 2", "6.5 °C now", "3.5 °C to 6.5 °C", "1 excursion"),
        "above 4.4 °C since Mon 2 Nov 09:15",
    ]
    assert re.split(r"\s{2,}", lines[2]) == ["Counter", "nobody measures it"]


def test_one_place_is_told_in_full(fridges):
    """3.5 at 8:00 to 6.5 at 12:00 crosses 40 °F, 4.444 °C, after 1 h 15.6 min.

    (6.5 - 4.444) / 2 over 2.741 h is 2.817 °C h.
    """
    fridges.run("temp", "Fridge 2", "3.5C", "--at", "today 8:00")
    fridges.run("temp", "Fridge 2", "6.5C")
    found = of_place(fridges, "Fridge 2")
    (beyond,) = found["excursions"]

    assert beyond["began"] == "2026-11-02T09:15:33-05:00"
    assert beyond["minutes"] == pytest.approx(164.4, abs=0.1)
    assert beyond["degree_hours"] == pytest.approx(2.817, abs=0.002)
    assert beyond["peak_c"] == 6.5
    assert beyond["open"]
    assert found["limit_c"] == pytest.approx(4.4444)
    assert found["measured_hours"] == 4
    assert found["share_beyond"] == pytest.approx(0.6852, abs=0.0001)
    assert found["sensors"][0]["silent_minutes"] == 0


def test_the_screen_says_the_same(fridges):
    fridges.run("temp", "Fridge 2", "3.5C", "--at", "today 8:00")
    fridges.run("temp", "Fridge 2", "6.5C")

    assert fridges.see("temp", "list", "Fridge 2").splitlines() == [
        "Fridge 2 (fridge): at most 4.4 °C",
        "  the cold limit of US home storage charts "
        "(USDA FSIS, FDA and state extension services)",
        "now: above 4.4 °C since Mon 2 Nov 09:15",
        "Fridge 2, typed: 6.5 °C Mon 2 Nov 12:00, heard just now",
        "since Mon 26 Oct 13:00: 3.5 °C to 6.5 °C, mean 5 °C over time, "
        "4 h measured of 7 d",
        "68.5% of it above 4.4 °C, 1 excursion, 2.8 °C h",
        "excursions",
        "  Mon 2 Nov 09:15 to now  2 h 44 min  highest 6.5 °C  mean 5.5 °C  2.8 °C h",
    ]


def test_stats_tell_what_the_mean_kinetic_temperature_is_not(fridges):
    for place, degrees in (("Fridge", "4C"), ("Freezer", "-18C")):
        fridges.run("temp", place, degrees, "--at", "today 8:00")
    lines = fridges.see("temp", "stats", "Fridge").splitlines()

    assert lines[1] == "0.0% of it above 4.4 °C"
    assert lines[2] == "mean kinetic temperature 4 °C"
    assert "Not a safety criterion" in lines[3]
    assert "kinetic" not in fridges.see("temp", "stats", "Freezer")
    for words in (("stats",), ("list",)):
        facts = fridges.data("temp", *words, "Fridge")
        assert facts["mean_kinetic_c"] == pytest.approx(4.0)
        assert "Not a safety criterion" in facts["mean_kinetic_says"]
        freezer = fridges.data("temp", *words, "Freezer")
        assert freezer["mean_kinetic_c"] is freezer["mean_kinetic_says"] is None


def test_silence_is_said_and_is_an_alarm(fridges):
    add_sensor(fridges, "Probe", "--every", "5min")
    fridges.run("temp", "Fridge", "3.5C", "--sensor", "Probe")
    fridges.now = "2026-11-02T15:10"
    alert = fridges.run("alert", code=3).stdout
    listed = fridges.see("temp", "list", "Fridge").splitlines()

    assert alert.splitlines()[0] == (
        "silent  Fridge  Probe silent for 3 h 10 min: last 3.5 °C Mon 2 Nov 12:00; "
        "nobody knows how warm it is"
    )
    assert listed[2] == (
        "Probe: 3.5 °C Mon 2 Nov 12:00, silent for 3 h 10 min, expected every 5 min"
    )
    assert "Probe silent for 3 h 10 min" in fridges.see("temp", "list")


def test_an_excursion_comes_before_containers_and_ends_with_3(stew):
    stew.now = "2026-11-03T12:00"
    stew.run("temp", "Fridge", "9C", "--at", "today 11:00")
    stew.run("temp", "Fridge", "9.5C")
    lines = stew.run("alert", code=3).stdout.splitlines()
    rows = stew.data("alert", code=3)

    assert lines[0] == (
        "excursion  Fridge  9.5 °C Tue 3 Nov 12:00: above 4.4 °C for 1 h, "
        "highest 9.5 °C; door? power? move the food?"
    )
    assert len(lines) == 4
    assert [row["kind"] for row in rows][:2] == ["excursion", "last-day"]
    assert rows[0]["place"] == "Fridge"
    assert rows[0]["excursion"]["peak_c"] == 9.5


def test_a_hot_hold_alarms_when_it_cools(fridges):
    fridges.run("temp", "Bar", "58C")

    assert fridges.run("alert", code=3).stdout == (
        "excursion  Bar  58 °C Mon 2 Nov 12:00: below 60 °C\n"
    )


def test_nothing_wrong_alarms_nobody(fridges):
    fridges.run("temp", "Fridge", "3C")
    fridges.run("temp", "Bar", "65C")

    assert fridges.run("alert").stdout == ""


def test_two_probes_that_disagree_are_told(fridges):
    for name, degrees in (("A", "3C"), ("B", "8C")):
        add_sensor(fridges, name, "--since", "8:00")
        fridges.run("temp", "Fridge", degrees, "--sensor", name, "--at", "11:50")
        fridges.run("temp", "Fridge", degrees, "--sensor", name)
    lines = fridges.run("alert", code=3).stdout.splitlines()

    assert lines[1] == (
        "disagree  Fridge  'A' and 'B' up to 5.0 °C apart; check both in ice"
    )
    assert "'A' and 'B' up to 5.0 °C apart" in fridges.see("temp", "list", "Fridge")


def test_a_mistyped_reading_is_put_right_or_struck(fridges):
    fridges.run("temp", "Fridge", "16.5C", "--at", "today 8:00")
    seen = fridges.see("temp", "correct", "Fridge", "6.5C", "--at", "today 8:00")
    right = of_place(fridges, "Fridge")["latest"]["temp_c"]
    struck = fridges.see("temp", "correct", "Fridge", "--at", "today 8:00", "--strike")

    assert seen == "Fridge, typed, Mon 2 Nov 08:00: 16.5 °C, now 6.5 °C\n"
    assert right == 6.5
    assert struck == "Fridge, typed, Mon 2 Nov 08:00: 6.5 °C, struck\n"
    assert of_place(fridges, "Fridge")["latest"] is None


def test_a_sensor_is_added_moved_checked_and_listed(fridges):
    add_sensor(fridges, "Probe A", "--every", "30s")
    fridges.now = "2026-11-02T13:00"
    moved = fridges.see("temp", "sensor", "move", "probe a", "Fridge 2")
    checked = fridges.see("temp", "offset", "Probe A", "--ice-point", "0.4C")
    (found,) = fridges.data("temp", "sensor", "list")
    line = fridges.see("temp", "sensor", "list")

    assert moved == "Probe A measures Fridge 2 from Mon 2 Nov 13:00 on\n"
    assert checked.splitlines() == [
        "Probe A: said 0.4 °C where it is 0 °C; from Mon 2 Nov 13:00 on -0.40 °C is "
        "added",
        "within ±1.5 °C (FDA Food Code, 4-203.12)",
        "check again by Wed 2 Dec (common practice, no source)",
    ]
    assert (found["place"], found["offset_c"], found["expected_minutes"]) == (
        ("Fridge 2", -0.4, 0.5)
    )
    assert "in ice, next by Wed 2 Dec" in line


def test_a_sensor_never_checked_or_long_ago_says_so(fridges):
    add_sensor(fridges, "Probe A")
    never = fridges.see("temp", "sensor", "list")
    boiling = ("--boiling-point", "94C", "--altitude", "5000ft")
    seen = fridges.see("temp", "offset", "Probe A", *boiling)
    fridges.now = "2026-12-05T12:00"

    assert "never checked" in never
    assert seen.startswith("Probe A: said 94 °C where it is 94.9 °C")
    assert "was due Wed 2 Dec" in fridges.see("temp", "sensor", "list")


def test_a_sensor_out_of_tolerance_is_to_be_replaced(fridges):
    add_sensor(fridges, "Probe A")

    assert "NOT within ±1.5 °C (FDA Food Code, 4-203.12): replace it" in (
        fridges.see("temp", "offset", "Probe A", "--ice-point", "2C")
    )
    assert "is broken" in (
        fridges.fail(12, "temp", "offset", "Probe A", "--ice-point", "9C")
    )


def test_nobody_is_expected_to_read_a_place_any_more(fridges):
    fridges.run("temp", "Fridge", "4C", "--at", "yesterday 8:00")
    before = fridges.run("alert", code=3).stdout
    fridges.run("temp", "sensor", "move", "Fridge, typed", "--nowhere")

    assert before.startswith("silent  Fridge  Fridge, typed silent for 28 h")
    assert fridges.run("alert").stdout == ""


def test_how_often_a_hand_is_expected_can_be_changed(fridges):
    fridges.run("temp", "Fridge", "4C", "--at", "today 8:00")
    seen = fridges.see("temp", "sensor", "interval", "Fridge, typed", "2h")

    assert seen == "Fridge, typed, expected every 2 h\n"
    assert "silent for 4 h" in fridges.run("alert", code=3).stdout
    assert fridges.see("temp", "sensor", "interval", "Fridge, typed", "auto") == (
        "Fridge, typed: by its own readings\n"
    )


def test_a_lag_is_said_for_each_place(fridges):
    assert fridges.see("temp", "lag", "Fridge", "45min") == (
        "Fridge: food lags 45 min behind the air\n"
    )
    assert of_place(fridges, "Fridge")["lag_minutes"] == 45
    assert of_place(fridges, "Fridge 2")["lag_minutes"] == 30


def test_backup_and_restore_carry_the_readings(fridges):
    fridges.run("temp", "Fridge", "6.4375C")
    fridges.run("backup", "copy.db")
    fridges.run("temp", "Fridge", "9C", "--at", "today 8:00")
    fridges.run("restore", "copy.db", "--replace")
    found = of_place(fridges, "Fridge")

    assert found["latest"]["temp_c"] == 6.4375
    assert found["max_c"] is None


def test_events_are_exported_without_readings(fridges):
    """Readings travel by `temp export`; the ledger of events stays as it was."""
    before = fridges.run("export").stdout
    fridges.run("temp", "Fridge", "4C")

    assert fridges.run("export").stdout == before


def test_without_sensors_alert_imports_nothing_heavy(fridges):
    """The command starts as quickly as before; arrays are for those who measure."""
    code = (
        "import sys\n"
        "from lidclock.cli.main import main\n"
        "try:\n"
        f"    main(['--db', {str(fridges.database)!r}, 'alert'])\n"
        "finally:\n"
        "    print('numpy' in sys.modules, 'lidclock.store' in sys.modules)"
    )
    command = [sys.executable, "-c", code]
    seen = subprocess.run(command, capture_output=True, text=True, check=True).stdout

    assert seen == "False True\n"


def test_a_warm_reading_names_what_is_over_by_it_and_show_names_the_readings(fridges):
    fridges.now = "2026-11-02T20:00"
    fridges.run(
        *("prep", "leek soup", "--category", "soup-stew", "--no-allergens"),
        *("--made", "2026-11-02T12:00", "--place", "Fridge"),
        *("--placed", "2026-11-02T12:00", "--no-labels"),
    )
    fridges.run("temp", "Fridge", "9C", "--at", "2026-11-02T12:00")
    seen = fridges.see("temp", "Fridge", "9C")
    code = fridges.data("list")["containers"][0]["code"]

    assert "over now, 1 container here: " in seen
    assert "leek soup" in seen
    shown = fridges.see("show", code)
    assert "warm by these readings" in shown
    assert "2 readings of Fridge, typed" in shown
