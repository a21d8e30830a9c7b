"""`lidclock lethality`: a probe's trace against targets and tables, in no kitchen."""

from __future__ import annotations

import json

import pytest

BURGER = "minutes,probe °F\n" + "\n".join(
    f"{minute},{temp}"
    for minute, temp in (
        *((0, 41), (2, 55), (4, 80), (6, 105), (8, 128), (10, 144), (11, 151)),
        *((12, 156), (13, 159), (14, 160), (15, 158), (16, 154), (18, 147)),
    )
)
REHEAT = {"profile": [[0, 5], [30, 60], [60, 80], [64, 80], [70, 70]]}


@pytest.fixture
def ask(newcomer):
    def answer(given, *more):
        text = given if isinstance(given, str) else json.dumps(given)
        return newcomer.data("lethality", "-", *more, given=text)

    return answer


@pytest.fixture
def refuse(newcomer):
    def line(given, *more, code=2):
        text = given if isinstance(given, str) else json.dumps(given)
        return newcomer.fail(code, "lethality", "-", *more, given=text)

    return line


def states(answer):
    return {one["target"]["id"]: one["state"] for one in answer["targets"]}


def test_rows_of_the_food_code_are_judged_each(ask):
    """By the lines: at or above 70 °C (158 °F) from minute 12.67 to 15, and the top of
    160 °F is touched at minute 14."""
    found = ask(BURGER, "--for", "ground beef", "--topic", "cooking")
    by_id = {one["target"]["id"]: one for one in found["targets"]}

    assert states(found)["us.fc.cook.ground.158"] == "met"
    assert states(found)["us.home.cook.ground160"] == "met"
    held = by_id["uk.cook70"]
    assert held["longest_minutes"] == pytest.approx(15 - (12 + 2 / 3), abs=0.001)
    assert held["since_minute"] == pytest.approx(12 + 2 / 3, abs=0.001)


def test_too_cold_is_not_met(ask):
    found = ask(BURGER, "--for", "chicken", "--topic", "cooking", "--set", "us-home")

    assert states(found) == {"us.home.cook.poultry165": "not met"}
    assert "warmest reading is 71.1 °C" in found["targets"][0]["why"]


def test_too_short_is_not_met(ask):
    profile = {"profile": [[0, 20], [10, 71], [10.5, 71], [11, 60]]}
    found = ask(profile, "--for", "cook through", "--set", "uk-catering")

    assert states(found) == {"uk.cook70": "not met"}
    assert "without a break" in found["targets"][0]["why"]


def test_a_trace_that_ends_hot_leaves_it_unknown(ask):
    profile = {"profile": [[0, 20], [10, 71], [10.5, 71]]}
    found = ask(profile, "--for", "cook through", "--set", "uk-catering")

    assert states(found) == {"uk.cook70": "unknown"}


def test_a_gap_leaves_it_unknown(ask):
    rows = "time (s),core_c\n0,20\n30,72\n60,72\n90,72\n600,72\n630,60\n660,50\n"
    found = ask(rows, "--for", "cook through", "--set", "uk-catering")

    assert states(found) == {"uk.cook70": "unknown"}
    assert any("1 gap" in note for note in found["notes"])


def test_a_reheating_is_timed_from_cold_to_its_target(ask):
    found = ask(REHEAT, "--for", "reheat", "--set", "us-food-code")

    assert states(found)["us.fc.reheat"] == "met"
    assert states(found)["us.fc.reheat.time"] == "met"


def test_a_reheating_that_took_too_long_is_not_met(ask):
    slow = {"profile": [[0, 5], [200, 80], [204, 80], [210, 60]]}
    found = ask(slow, "--for", "reheat", "--set", "us-food-code")

    assert states(found)["us.fc.reheat"] == "met"
    assert states(found)["us.fc.reheat.time"] == "not met"


def test_a_reheating_read_from_the_middle_on_is_unknown(ask):
    late = {"profile": [[0, 40], [30, 80], [34, 80], [40, 60]]}
    found = ask(late, "--for", "reheat", "--set", "us-food-code")

    assert states(found)["us.fc.reheat.time"] == "unknown"


def test_of_standing_no_temperature_tells(ask):
    short = {"profile": [[0, 5], [5, 75], [6, 70]]}
    found = ask(short, "--for", "reheat", "--set", "us-food-code")

    assert states(found)["us.fc.reheat.mw"] == "unknown"


def test_lethality_of_own_figures_by_hand(ask):
    """10 min at 70 °C with z 10 and a reference of 60 °C: 100 min; D 5 min: 20 logs."""
    question = {
        "profile": [[0, 70], [10, 70]],
        **{"z_c": 10, "reference_c": 60, "d_min": 5},
    }
    (found,) = ask(question)["lethality"]

    assert found["equivalent_minutes"]["come_up_credited"] == pytest.approx(100)
    assert found["log_reductions"]["come_up_not_credited"] == pytest.approx(20)
    assert found["source"]["status"] == "unverified"


def test_a_table_can_be_named(ask):
    found = ask({**REHEAT, "organism": "acidified-5-log"})["lethality"]

    assert [one["id"] for one in found] == ["acidified-5-log"]
    assert found[0]["process_minutes"] == 5.6


def test_beyond_the_table_no_log_is_promised(newcomer):
    text = newcomer.see("lethality", given=json.dumps(REHEAT))

    assert "more than the table's 6.5 log reductions" in text
    assert "slow way up not credited" in text
    assert "slow way up credited" in text
    assert "USDA FSIS" in text


def test_a_logger_file_with_moments_is_read(ask):
    rows = "Date Time,Temperature (°C)\n" + "\n".join(
        f"2026-10-31 12:{minute:02d}:00,{temp}"
        for minute, temp in enumerate((5, 30, 60, 72, 74, 74, 74, 71, 60))
    )
    found = ask(rows, "--for", "cook through", "--set", "uk-catering")

    assert found["minutes"] == 8
    assert states(found) == {"uk.cook70": "met"}


def test_seconds_and_a_decimal_comma_are_read(ask):
    found = ask("sec;Kern °C\n0;20,5\n60;70,5\n120;71,5\n180;60,0\n")

    assert found["minutes"] == 3
    assert found["highest_c"] == 71.5


def test_a_unit_that_the_file_leaves_open_is_asked(ask, refuse):
    rows = "minutes,probe\n0,41\n5,165\n10,150\n"

    assert "does not say whether it is °C or °F: say --unit" in refuse(rows)
    assert ask(rows, "--unit", "F")["highest_c"] == pytest.approx(73.889, abs=1e-3)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "the file is empty"),
        ("minutes,c\n0,20\n", "1 readings tell no time"),
        ("minutes,core c\n0,20\n0,30\n", "line 3: 0 does not come after"),
        ("minutes,core_c\n0,20\n1,hot\n", "line 3: no number in column 2"),
        ("minutes,core_c\n0,20\n1,400\n", "400 °C lies outside -100 to 300"),
        ("minutes,a_c,b_c\n0,20,20\n1,30,30\n", "name one with --temp"),
        ("[1, 2]", "write an object, not a list"),
        ('{"profile": [[0, 20]]}', "1 points tell no time"),
        ('{"profile": [[0, 20], [0, 30]]}', "0 m does not come after 0 m"),
        ('{"profile": [[0, 20], [1, 30]], "z_c": 10}', "belong together"),
        ('{"profile": [[0, 20], [1, 30]], "colour": 1}', "unknown key 'colour'"),
        ('{"profile": [[0, 20], [1, 30]], "organism": "x"}', "'x' is no table here"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_named(refuse, text, words):
    extra = ("--unit", "C") if "minutes,c" in text or "core c" in text else ()

    assert words in refuse(text, *extra)


def test_a_food_without_a_target_is_named(refuse):
    line = refuse(REHEAT, "--for", "fridge", code=11)

    assert "'fridge' has no target for cooking or reheating" in line


@pytest.mark.parametrize("kind", ["png", "svg", "pdf"])
def test_it_is_drawn(newcomer, kind):
    path = newcomer.folder / f"burger.{kind}"
    text = newcomer.see("lethality", "-", "--out", str(path), given=BURGER)

    assert f"drawing: {path}" in text
    starts = {"png": b"\x89PNG", "svg": b"<?xml", "pdf": b"%PDF"}
    assert path.read_bytes().startswith(starts[kind])


def test_the_tables_are_listed(newcomer):
    assert "fsis-salmonella-beef" in newcomer.see("lethality", "--list")
    assert len(newcomer.data("lethality", "--list")) == 2


def test_no_word_of_it_permits(newcomer):
    text = newcomer.see("lethality", given=BURGER)

    said = [line for line in text.splitlines() if "source: " not in line]
    assert "safe" not in "\n".join(said).casefold()
    assert "only its cook knows where that is" in text
    assert "judged by the targets, never by them" in text
    assert newcomer.data("lethality", "-", given=BURGER)["permits"] is None


def test_it_makes_no_kitchen(newcomer):
    newcomer.run("lethality", given=json.dumps(REHEAT))

    assert list(newcomer.folder.iterdir()) == []
