"""`lidclock growth CODE`: a warning beside the limits, from what was measured."""

from __future__ import annotations

import math
from datetime import datetime

import pytest
from PIL import Image

LOG_2 = math.log10(2)
MONDAY = "2026-11-02T12:00"
TUESDAY = "2026-11-03T12:00"


def grown(cook, code, *more, **other):
    return cook.data("growth", code, *more, **other)


def moved(cook, code, place, at):
    cook.run("scan", code, "--to", place, now=at)


def measured(cook, place, *rows):
    """Typed readings; each (time, temperature)."""
    for at, temp in rows:
        cook.run("temp", place, temp, "--at", at, now="2026-11-03T12:00")


def test_nobody_measured_so_the_cold_limit_is_assumed_and_said(stew):
    """By hand: half an hour of 25 °C, then 4.4 °C, for Yersinia, whose law goes through
    53 h at 0 and 1.3 h at 25 °C; 30 min are 0.3846 doublings."""
    told = grown(stew, stew.codes()[0], now=MONDAY)
    a, b = math.sqrt(1 / 53), math.sqrt(1 / 1.3)
    per_hour = (a + (b - a) / 25 * 4.4) ** 2
    now = 0.5 / 1.3 + per_hour * (42 + 1 / 3 + 1)  # an hour more as clocks go back

    assert told["organism"] == "yersinia-enterocolitica"
    assert told["log10_increase"]["now"]["mid"] == pytest.approx(now * LOG_2, rel=1e-3)
    assert [one["known"] for one in told["temperatures"]] == ["assumed", "assumed"]
    text = stew.see("growth", stew.codes()[0], now=MONDAY)
    assert "assumed, nobody measured: the cold limit of us-home" in text
    assert "25 °C assumed, nobody measured: room temperature" in text


def test_it_warns_of_doublings_before_the_last_moment(stew):
    code = stew.codes()[0]
    told = grown(stew, code, now=MONDAY)
    (first,) = told["passes"]
    last = datetime.fromisoformat(told["last_moment"])
    at = datetime.fromisoformat(first["at"])

    assert first["figure"] == "high"
    assert first["hours_before_last_moment"] == pytest.approx(
        (last - at).total_seconds() / 3600, abs=0.001
    )
    line = stew.see("growth", code, now=MONDAY).splitlines()[2]
    assert line.startswith("warning: by model, 14 h 51 min before the last moment: ")
    assert "passes 10 doublings by the high figure, Tue 3 Nov 09:08" in line


def test_no_warning_is_no_permission(stew):
    text = stew.see("growth", stew.codes()[0], "--doublings", "90", now=MONDAY)

    assert "model: no warning of 90 doublings; that permits nothing" in text
    assert "warning: by model" not in text


def test_a_warm_reading_brings_the_warning_forward(stew):
    code = stew.codes()[0]
    before = grown(stew, code, now=TUESDAY)
    measured(stew, "Fridge", ("2026-11-01T08:00", "9C"), ("2026-11-01T20:00", "9C"))
    after = grown(stew, code, now=TUESDAY)

    assert after["passes"][0]["at"] < before["passes"][0]["at"]
    assert {one["known"] for one in after["temperatures"]} == {"assumed", "measured"}
    assert "9 °C measured in its air" in stew.see("growth", code, now=TUESDAY)


def test_the_model_moves_no_limit_and_records_nothing(stew):
    code = stew.codes()[0]
    measured(stew, "Fridge", ("2026-11-01T08:00", "9C"), ("2026-11-01T20:00", "9C"))
    before = stew.data("show", code, now=MONDAY), stew.event_count()
    told = grown(stew, code, now=MONDAY)

    assert (stew.data("show", code, now=MONDAY), stew.event_count()) == before
    assert told["verdict"] == before[0]["verdict"]
    assert told["permits"] is None


def test_a_freezer_has_no_growth_and_no_last_moment_to_compare_with(stew):
    code = stew.codes()[0]
    moved(stew, code, "Freezer", "2026-10-31T18:40")
    sunday = grown(stew, code, now="2026-11-01T12:00")
    friday = grown(stew, code, now="2026-11-06T12:00")

    assert sunday["log10_increase"]["now"] == friday["log10_increase"]["now"]
    assert friday["last_moment"] is None
    assert friday["is_known"]
    text = stew.see("growth", code, now="2026-11-06T12:00")
    assert "-18 °C assumed, nobody measured: no growth there" in text
    assert "days left after thawing" in text


def test_a_counter_without_a_thermometer_can_be_given_one(stew):
    code = stew.codes()[0]
    moved(stew, code, "Counter", "2026-10-31T18:40")
    mild = grown(stew, code, "--room", "68F", now="2026-10-31T20:40")
    warm = grown(stew, code, now="2026-10-31T20:40")

    assert mild["temperatures"][-1]["highest_c"] == pytest.approx(20)
    assert mild["log10_increase"]["now"]["mid"] < warm["log10_increase"]["now"]["mid"]


def test_beyond_the_figures_of_the_law_the_answer_is_unknown(stew):
    code = stew.codes()[0]
    moved(stew, code, "Counter", "2026-10-31T18:40")
    organism = ("--organism", "salmonella-raw-meat")
    told = grown(stew, code, *organism, now="2026-10-31T22:40")

    assert not told["is_known"]
    assert told["validity"].startswith("outside: ")
    text = stew.see("growth", code, *organism, now="2026-10-31T22:40")
    assert "model: unknown: outside" in text


def test_food_that_needs_no_control_has_no_organism(cook):
    cook.run(
        *("prep", "butter", "--category", "butter", "--no-allergens", "--count"),
        *("1", "--made", "today 17:10", "--place", "Counter", "--no-labels"),
    )
    told = grown(cook, cook.codes()[0])

    assert told["organism"] is None
    assert not told["is_known"]
    assert "no organism with a law here applies" in told["unknown"][0]
    assert "model: unknown: no organism" in cook.see("growth", cook.codes()[0])
    line = cook.fail(13, "growth", cook.codes()[0], "--out", "x.png")
    assert "nothing to draw: no organism" in line


def test_where_ph_rules_every_organism_out_that_is_not_known_to_be_no_growth(cook):
    cook.run(
        *("food", "add", "relish", "--category", "soup-stew", "--no-allergens"),
        *("--ph", "3.0", "--aw", "0.7"),
    )
    cook.run(
        *("prep", "relish", "--count", "1", "--made", "today 17:10"),
        *("--place", "Fridge", "--no-labels"),
    )
    told = grown(cook, cook.codes()[0])

    assert not told["is_known"]
    assert "rules them out at pH 3 and water activity 0.7" in told["unknown"][0]
    assert "not known to be no growth" in told["unknown"][0]


def test_spores_in_a_cool_are_left_to_the_stages(stew):
    code = stew.codes()[0]
    at = ("2026-10-31T17:45", "2026-10-31T19:30", "2026-10-31T22:30")
    for temp, when in zip(("55C", "24C", "8C"), at, strict=True):
        stew.run("cool", "read", code, temp, "--at", when, now=when)
    told = grown(stew, code, now=MONDAY)
    text = stew.see("growth", code, now=MONDAY)

    assert told["spores_by_stages"]
    assert "food" in [one["known"] for one in told["temperatures"]]
    assert "and spores in it, are judged by the stages of the guidance set" in text
    assert any("Passed over: Bacillus cereus" in one for one in told["cautions"])
    assert told["is_known"]
    assert "how the food cooled on from 8 °C: nobody measured it" in told["unknown"][0]


def test_a_cool_that_was_never_very_hot_is_left_to_the_stages_too(stew):
    code = stew.codes()[0]
    stew.run("cool", "read", code, "30C", now="2026-10-31T17:45")
    told = grown(stew, code, now=MONDAY)

    assert told["spores_by_stages"]
    assert any("Passed over: Bacillus cereus" in one for one in told["cautions"])


def test_what_went_into_a_mixture_brings_its_past(stew):
    first, second, third = stew.codes()
    moved(stew, first, "Counter", "2026-10-31T18:00")
    moved(stew, first, "Fridge", "2026-10-31T19:30")
    stew.run("combine", first, second, "--food", "stew", now="2026-11-01T12:00")
    mixed = next(code for code in stew.codes() if code not in (first, second, third))
    told = grown(stew, mixed, now="2026-11-01T13:00")
    other = grown(stew, third, now="2026-11-01T13:00")

    assert told["part"] == "stew"
    assert told["log10_increase"]["now"]["mid"] > other["log10_increase"]["now"]["mid"]


@pytest.mark.parametrize("kind", ["png", "svg", "pdf"])
def test_it_is_drawn_to_a_file(stew, kind):
    path = stew.folder / f"stew.{kind}"
    text = stew.see("growth", stew.codes()[0], "--out", str(path), now=MONDAY)

    assert f"drawing: {path}" in text
    starts = {"png": b"\x89PNG", "svg": b"<?xml", "pdf": b"%PDF"}
    assert path.read_bytes().startswith(starts[kind])
    if kind == "png":
        with Image.open(path) as picture:
            assert picture.width > 1000


def test_a_file_of_another_kind_is_refused(stew):
    line = stew.fail(2, "growth", stew.codes()[0], "--out", "stew.gif")

    assert "stew.gif must end in one of .png, .svg, .pdf" in line


def test_a_code_may_be_typed_with_its_gap(stew):
    code = stew.codes()[0]
    text = stew.see("growth", code[:3], code[3:], now=MONDAY)

    assert text.startswith(f"{code[:3]} {code[3:]}  stew")


def test_a_code_that_is_none_is_named(stew):
    assert "is not a container code" in stew.fail(11, "growth", "4F7K2")


def test_what_only_a_container_has_is_refused_for_a_file(newcomer):
    line = newcomer.fail(2, "growth", "question.json", "--room", "20C")

    assert "--room goes with the CODE of a container" in line


def test_an_unknown_organism_is_named(stew):
    line = stew.fail(11, "growth", stew.codes()[0], "--organism", "yeti")

    assert "no organism 'yeti'; take one of listeria-monocytogenes" in line


@pytest.mark.parametrize("many", ["0", "-1", "1000", "nan"])
def test_doublings_that_mean_nothing_are_refused(stew, many):
    line = stew.fail(2, "growth", stew.codes()[0], "--doublings", many)

    assert "doublings must lie above 0 and within 100" in line


def test_nothing_it_says_calls_the_food_fine(stew):
    for many in ("1", "90"):
        text = stew.see("growth", stew.codes()[0], "--doublings", many, now=MONDAY)
        assert "safe" not in text
        assert "fine" not in text
        assert " ok" not in text.casefold()
