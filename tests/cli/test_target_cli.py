"""`guidance target`: what every authority gives, with its source."""

import json

import pytest
from click.testing import CliRunner

from lidclock.cli.main import main
from lidclock.errors import InputError, UnknownThingError


def run(*args):
    """The result of one `lidclock guidance target`."""
    return CliRunner().invoke(main, ["guidance", "target", *args])


def see(*args):
    """What the screen shows."""
    result = run(*args)
    assert result.exit_code == 0, result.output
    return result.stdout


def fail(kind, *args):
    """The one line of the refusal, which ends with the exit code of `kind`."""
    result = run(*args)
    assert result.exit_code == kind.exit_code, result.output
    return result.stderr.strip().removeprefix("Error: ")


def heads(screen):
    """The lines that are not indented."""
    return [line for line in screen.splitlines() if not line.startswith(" ")]


def test_ground_beef_has_what_every_authority_says_of_cooking_it():
    screen = see("ground", "beef")

    assert "    Ground beef, pork, veal and lamb: 160 °F (71.1 °C)." in screen
    assert "155 °F (68.3 °C), 17 seconds" in screen
    assert "Cooking: 70 °C at the core for 2 minutes." in screen


def test_targets_are_grouped_by_topic():
    assert heads(see("ground", "beef"))[:4] == [
        *("cooking", "thawing", "reheating", "holding")
    ]


def test_a_source_stands_below_what_it_gives():
    lines = see("ground", "beef", "--set", "us-home").splitlines()
    place = lines.index("    Ground beef, pork, veal and lamb: 160 °F (71.1 °C).")

    assert lines[1] == "  US home"
    assert lines[place + 1].startswith("      source: FoodSafety.gov, ")


def test_rows_of_one_table_share_its_source():
    screen = see("roast", "--set", "us-food-code")

    assert screen.count("Whole meat roasts, where the rise") == 17
    assert screen.count("3-401.11(B)") == 1


def test_an_unverified_figure_says_so():
    screen = see("cooling", "--set", "ca")

    assert (
        "Canada Food Retail & Food Services Code, 2016, 3.x, 2016, unverified" in screen
    )


def test_a_verified_figure_does_not_say_unverified():
    assert "unverified" not in see("ground", "beef")


def test_parts_of_a_target_are_listed():
    assert "      - no mark\n" in see("discard")


def test_the_last_line_points_to_the_local_authority():
    assert "ask your local food authority" in see("milk").splitlines()[-1]


def test_water_boils_at_the_published_point_at_5000_feet():
    """202.9 °F: standard atmosphere and Antoine, as in the table of altitudes."""
    screen = see("boiling", "--altitude", "5000ft")

    assert "water boils at 94.9 °C (202.9 °F) at 1524 m (5000 ft)" in screen
    assert "source: computed" in screen


@pytest.mark.parametrize("height", ["1524m", "1524 M", "5000 ft", "5000feet"])
def test_an_altitude_may_be_written_in_several_ways(height):
    assert "(202.9 °F)" in see("boiling", "--altitude", height)


def test_without_an_altitude_the_whole_table_is_shown():
    assert see("boiling").count("Water boils at") == 11


def test_an_altitude_belongs_to_boiling():
    said = fail(InputError, "ground", "beef", "--altitude", "1000m")

    assert "goes with the word boiling" in said


@pytest.mark.parametrize("height", ["high", "5000", "5 km"])
def test_an_altitude_without_a_unit_is_refused(height):
    assert "write it like 1500m" in fail(InputError, "boiling", "--altitude", height)


def test_an_altitude_above_every_mountain_is_refused():
    said = fail(InputError, "boiling", "--altitude", "10000m")

    assert "-450 and 9000 m" in said


def test_an_unknown_word_leads_to_the_nearest():
    assert "nearest: ground beef" in fail(UnknownThingError, "grund", "beef")


def test_a_word_like_no_other_is_refused():
    said = fail(UnknownThingError, "xylophone")

    assert "no target for 'xylophone'" in said


def test_a_set_without_such_a_target_names_those_that_have_one():
    said = fail(UnknownThingError, "ground", "beef", "--set", "nz")

    assert "us-home" in said
    assert "leave out --set" in said


def test_an_unknown_set_is_refused():
    assert "no targets for a set 'mars'" in fail(
        UnknownThingError, "beef", "--set", "mars"
    )


def test_no_words_are_wrong_usage():
    assert run().exit_code == 2


def test_json_gives_figures_by_key_and_the_source():
    data = json.loads(see("ground", "beef", "--set", "us-home", "--json"))
    one = next(x for x in data["targets"] if x["id"] == "us.home.cook.ground160")

    assert one["figures"] == {"temp_c": 71.1, "temp_f": 160.0}
    assert (one["topic"], one["set"], one["bound"]) == (
        "cooking",
        "us-home",
        "at-least",
    )
    assert (one["authority"], one["verified"]) == ("FoodSafety.gov", True)


def test_json_gives_ranges_and_stages():
    data = json.loads(see("cooling", "--json"))
    figures = {one["id"]: one["figures"] for one in data["targets"]}

    assert figures["uk.cool"]["hours"] == {"low": 1.0, "high": 2.0}
    assert figures["ca.cool"]["stage_hours"] == [2.0, 4.0]


def test_json_gives_the_boiling_point():
    data = json.loads(see("boiling", "--altitude", "5000ft", "--json"))

    assert (data["boiling_f"], data["altitude_m"], data["ice_c"]) == (
        202.9,
        1524.0,
        0.0,
    )
