"""`guidance allergens`: the lists side by side, and how each declares what is named."""

import json

import pytest
from click.testing import CliRunner

from lidclock.cli.main import main
from lidclock.errors import UnknownThingError


def run(*args):
    """The result of one `lidclock guidance allergens`."""
    return CliRunner().invoke(main, ["guidance", "allergens", *args])


def see(*args):
    """What the screen shows."""
    result = run(*args)
    assert result.exit_code == 0, result.output
    return result.stdout


def fail(*args):
    """The one line of the refusal."""
    result = run(*args)
    assert result.exit_code == UnknownThingError.exit_code, result.output
    return result.stderr.strip().removeprefix("Error: ")


def row(screen, allergen):
    """The cells of one line of the table."""
    [line] = [x for x in screen.splitlines() if x.startswith(f"{allergen} ")]
    return [cell.strip() for cell in line.split("  ") if cell.strip()]


def part(screen, title):
    """The lines about one list."""
    lines = screen.splitlines()
    start = lines.index(title)
    end = next(n for n in range(start, len(lines)) if "source:" in lines[n])
    return "\n".join(lines[start : end + 1])


def test_without_words_the_lists_stand_side_by_side():
    screen = see()

    assert screen.splitlines()[0].split("  ")[-1].strip() == "Australia and New Zealand"
    assert row(screen, "celery") == ["celery", "-", "celery", "-", "-"]
    assert row(screen, "lupin") == ["lupin", "-", "lupin", "-", "lupin"]


def test_what_is_on_no_list_stands_in_the_table():
    assert row(see(), "buckwheat") == ["buckwheat", "-", "-", "-", "-"]


def test_the_table_tells_thresholds_and_sources():
    screen = see()

    assert "above 10 mg/kg or 10 mg/l, counted as SO2" in screen
    assert screen.count("source: ") == 4


def test_one_list_can_be_shown_alone():
    screen = see("--list", "us")

    assert row(screen, "egg") == ["egg", "eggs"]
    assert screen.count("source: ") == 1


def test_a_word_says_what_it_stands_for():
    assert see("gluten").splitlines()[0] == "gluten: wheat, barley, rye, oats"


def test_each_list_declares_what_is_named():
    screen = see("gluten", "prawns")

    assert "not on this list: barley, rye, oats" in part(screen, "US")
    assert "not on this list" not in part(screen, "EU and UK")
    assert "crustaceans and molluscs" in part(screen, "Canada")


def test_two_words_may_be_one_allergen():
    screen = see("pine", "nut", "--list", "eu-uk")

    assert "not on this list: pine-nut" in screen


def test_a_nut_of_unknown_kind_says_so():
    assert "tree nut, kind not recorded" in see("nuts", "--list", "au-nz")


def test_an_unverified_note_says_so():
    assert "narrowed in Jan 2025; all of them are counted here. (unverified)" in see()


@pytest.mark.parametrize("args", [(), ("egg",), ("--list", "ca")])
def test_the_cautions_are_always_told(args):
    screen = see(*args)

    assert "caution: Lists differ by country" in screen
    assert "not medical advice" in screen
    assert '"may contain"' in screen


def test_a_slip_of_the_pen_is_refused_with_the_nearest_word():
    assert "nearest: peanut" in fail("penut")


def test_one_unknown_word_among_others_is_refused():
    assert "'kiwi' is on none of the lists" in fail("milk", "kiwi")


def test_an_unknown_list_is_refused():
    assert "us, eu-uk, ca, au-nz" in fail("egg", "--list", "mars")


def test_a_comma_alone_names_nothing():
    assert "no allergen was named" in fail(",")


def test_json_without_words_gives_whole_lists():
    data = json.loads(see("--json"))
    us = data["lists"][0]

    assert [one["id"] for one in data["lists"]] == ["us", "eu-uk", "ca", "au-nz"]
    assert us["entries"][1] == {"name": "eggs", "allergens": ["egg"], "note": None}
    assert us["authority"] == "FDA"
    assert len(data["cautions"]) == 3


def test_json_with_words_gives_what_each_list_declares():
    data = json.loads(see("gluten", "--list", "us", "--json"))

    assert data["words"] == {"gluten": ["wheat", "barley", "rye", "oats"]}
    assert data["lists"][0]["listed"] == [{"name": "wheat", "allergens": ["wheat"]}]
    assert data["lists"][0]["unlisted"] == ["barley", "rye", "oats"]
