"""`recipe add`, `list`, `show`, `sheet`, `remove`: the recipes of a kitchen."""

from __future__ import annotations

import json
from pathlib import Path

import pypdfium2
import pytest

DOUGH = Path(__file__).parents[2] / "sample_inventory" / "bun-dough.toml"
SIX = ("--count", "6", "--portion", "300g")
BEANS = 'name = "{name}"\n[[inputs]]\nname = "beans"\nmass = {mass}\n'


def words_of(path):
    """All text of the one page of a PDF."""
    document = pypdfium2.PdfDocument(path)
    assert len(document) == 1
    text = document[0].get_textpage().get_text_range()
    size = document[0].get_size()
    document.close()
    return text, size


@pytest.fixture
def beans(cook):
    """Writes a recipe of beans and adds it; what the screen says."""

    def add(name="Beans", mass=500):
        (cook.folder / "beans.toml").write_text(BEANS.format(name=name, mass=mass))
        return cook.see("recipe", "add", "beans.toml")

    return add


def test_a_recipe_is_kept_and_found_in_any_case(cook):
    assert cook.see("recipe", "list").startswith("no recipes yet")
    assert cook.see("recipe", "add", str(DOUGH)) == "added: bun dough, version 1\n"

    assert "bun dough  version 1  8 inputs  of wheat flour" in cook.see(
        "recipe", "list"
    )
    assert "wheat flour" in cook.see("recipe", "show", "BUN  dough", *SIX)


def test_a_change_is_a_version_and_the_earlier_one_stays(cook, beans):
    assert beans() == "added: Beans, version 1\n"
    assert beans() == "unchanged: Beans, version 1\n"
    assert beans(mass=700) == "changed: Beans, version 2\n"

    size = ("--count", "1", "--portion", "100")
    latest = cook.data("recipe", "show", "beans", *size)
    first = cook.data("recipe", "show", "beans", *size, "--version", "1")
    assert (latest["version"], latest["factor"]) == (2, "0.142857142857")
    assert (first["version"], first["factor"]) == (1, "0.2")


def test_what_is_taken_off_is_listed_no_more_and_still_found_by_version(cook, beans):
    beans()
    cook.run("recipe", "remove", "beans")

    assert cook.see("recipe", "list").startswith("no recipes yet")
    line = cook.fail(11, "recipe", "show", "beans", *SIX)
    assert "no recipe 'beans' in this kitchen; none is kept" in line
    assert "beans" in cook.see("recipe", "show", "beans", *SIX, "--version", "1")
    gone = cook.fail(11, "recipe", "show", "beans", *SIX, "--version", "2")
    assert "no version 2 of 'beans'; there are 1" in gone
    assert beans() == "changed: Beans, version 3\n"


def test_a_batch_keeps_the_version_it_was_made_by(cook, beans):
    prep = ("prep", "bean stew", "--category", "soup-stew", "--no-labels")
    beans()
    cook.run(*prep, "--recipe", "beans")
    beans(mass=700)
    (code,) = cook.codes()

    assert "by the recipe Beans, version 1" in cook.see("show", code)
    assert cook.data("show", code)["recipe"] == "Beans, version 1"
    assert cook.see("rebuild").startswith("rebuilt")
    cook.run(*prep)
    (later,) = set(cook.codes()) - {code}
    assert cook.data("show", later)["recipe"] is None


def test_a_batch_by_an_unknown_recipe_is_not_recorded(cook):
    prep = ("prep", "stew", "--category", "soup-stew", "--no-labels")

    line = cook.fail(11, *prep, "--recipe", "beans")

    assert "no recipe 'beans' in this kitchen" in line
    assert cook.event_count() == 0


def test_an_unknown_name_is_told_the_nearest(cook, beans):
    beans()

    assert "there are Beans" in cook.fail(11, "recipe", "show", "bean", *SIX)
    assert "there are Beans" in cook.fail(11, "recipe", "remove", "bean")
    size = (*SIX, "--version", "7")
    assert "no version 7 of 'beans'; there are 1" in cook.fail(
        11, "recipe", "show", "beans", *size
    )


def test_a_malformed_recipe_is_not_kept(cook):
    (cook.folder / "bad.toml").write_text("[[inputs]]\nname = 'a'\nmass = 1\n")

    assert "name: is missing" in cook.fail(2, "recipe", "add", "bad.toml")
    (cook.folder / "bad.toml").write_text("name = 'x'\nloss = 1\n")
    line = cook.fail(2, "recipe", "add", "bad.toml")
    assert "loss: 1 leaves nothing" in line
    assert "inputs: write a list" in line
    assert cook.data("recipe", "list") == []


def test_the_list_as_data(cook, beans):
    cook.who = "ilse"
    beans()

    assert cook.data("recipe", "list") == [
        {
            "name": "Beans",
            "version": 1,
            "inputs": ["beans"],
            "base": [],
            "added_at": "2026-10-31T17:40:00-04:00",
            "who": "ilse",
        }
    ]


def test_the_table_of_the_home_cook(cook):
    cook.run("recipe", "add", str(DOUGH))

    lines = cook.see("recipe", "show", "bun dough", *SIX).splitlines()

    assert lines[:2] == ["bun dough", "version 1 · 6 portions of 300 g · loss 2.5 %"]
    assert "wheat flour      100 %  1089.7 g" in lines
    assert "all together   169.5 %    1847 g" in lines
    assert "Divide 1847 g over 6 containers: 5 x 308 g, 1 x 307 g" in lines
    assert "allergens: wheat, milk" in lines
    assert "cost: 2.23 USD, 0.37 USD a portion" in lines


def test_what_nobody_recorded_is_said(newcomer):
    rows = [
        {"name": "beans", "mass": 500, "price": 3, "price_per": "1 kg"},
        {"name": "water", "mass": 500, "allergens": []},
    ]
    text = json.dumps({"name": "beans", "inputs": rows})

    seen = newcomer.see("recipe", "show", "-", *SIX, given=text)

    assert "NOT RECORDED for beans" in seen
    assert "cost: unknown; 2.70 without the price of water" in seen


def test_a_file_needs_no_kitchen_and_has_no_versions(newcomer):
    assert "1847 g" in newcomer.see("recipe", "show", str(DOUGH), *SIX)
    line = newcomer.fail(2, "recipe", "show", str(DOUGH), *SIX, "--version", "1")
    assert "--version is for recipes that the kitchen keeps" in line


def test_a_name_that_would_command_the_terminal_is_refused(cook):
    (cook.folder / "x.json").write_text(
        json.dumps({"name": "a\x1b[2Jb", "inputs": [{"name": "a", "mass": 1}]})
    )

    assert "\x1b" not in cook.fail(2, "recipe", "add", "x.json")


def test_the_sheet_says_what_the_screen_says(cook):
    cook.run("recipe", "add", str(DOUGH))

    cook.run("recipe", "sheet", "bun dough", *SIX, "--out", "dough.pdf")

    text, size = words_of(cook.folder / "dough.pdf")
    for words in (
        *("bun dough", "version 1 · 6 portions of 300 g · loss 2.5 %", "1089.7 g"),
        *("all together", "169.5", "1847 g", "5 x 308 g, 1 x 307 g", "6: 307 g"),
        *("Allergens: wheat, milk", "Weighed", "Lot", "Made on", "sets no date"),
    ):
        assert words in text
    assert [round(one) for one in size] == [595, 842]


def test_a_kitchen_of_us_units_gets_a_letter(newcomer):
    newcomer.run("init", "--yes", "--zone", "America/New_York", "--units", "us")
    newcomer.run("recipe", "add", str(DOUGH))
    size = ("--count", "12", "--portion", "1 lb")

    newcomer.run("recipe", "sheet", "bun dough", *size, "--out", "dough.pdf")

    text, paper = words_of(newcomer.folder / "dough.pdf")
    assert [round(one) for one in paper] == [612, 792]
    assert "12 x 1 lb" in text


def test_a_sheet_is_a_pdf(cook):
    cook.run("recipe", "add", str(DOUGH))
    sheet = ("recipe", "sheet", "bun dough", *SIX, "--out", "dough.png")

    assert "must end in .pdf" in cook.fail(2, *sheet)
    assert not (cook.folder / "dough.png").exists()
