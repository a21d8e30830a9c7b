"""Recipes as forms: there and back without a loss, bare numbers as cooks mean them."""

import json
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

import pytest

from lidclock.app.recipe_book import written
from lidclock.app.recipe_form import (
    Line,
    RecipeForm,
    differences,
    document_of,
    form_of,
    has_comments,
)
from lidclock.app.recipe_values import Values
from lidclock.store.recipes import Kept

DOUGH = Path(__file__).parents[3] / "sample_inventory" / "bun-dough.toml"
AT = datetime(2026, 11, 3, tzinfo=UTC)
EVERYTHING = """
name = "stew"
base = ["beans", "barley"]
loss = "1/3"
note = "slow"
[[inputs]]
name = "beans"
mass = 350
yield = "8/9"
[[inputs]]
name = "barley"
mass = "1 1/2 lb"
yield = 0.75
price = "3/4"
price_per = "500 g"
[[inputs]]
name = "oat drink"
percent = "12.5 %"
[[inputs]]
name = "stock"
mass = "250 ml"
density = 1.02
allergens = ["celery", "milk"]
"""


def kept(text, *, is_toml=True):
    return Kept("stew", 1, text, is_toml, AT)


def document(form, units="metric"):
    values = Values()
    text = document_of(form, units, values)
    assert values.faults == []
    return text


@pytest.mark.parametrize("text", [DOUGH.read_text("utf-8"), EVERYTHING])
def test_a_form_says_exactly_what_the_document_says(text):
    """Compared as recipes, in fractions: no third is rounded on the way."""
    before = written(text, is_toml=True)
    form = form_of(kept(text))
    after = written(
        document(form).replace('"stew"', f'"{before.recipe.name}"'), is_toml=False
    )

    assert after.recipe.inputs == before.recipe.inputs
    assert (after.recipe.loss, after.recipe.base) == (
        before.recipe.loss,
        before.recipe.base,
    )
    assert (after.note, after.currency) == (before.note, before.currency)
    assert form_of(kept(document(form), is_toml=False)) == form


def test_a_bare_number_is_in_the_kitchens_small_unit():
    form = RecipeForm(
        "x", "4", "300", lines=(Line("beans", "350"), Line("oil", "1 kg"))
    )
    metric, us = json.loads(document(form)), json.loads(document(form, "us"))

    assert [one["mass"] for one in metric["inputs"]] == ["350 g", "1 kg"]
    assert [one["mass"] for one in us["inputs"]] == ["350 oz", "1 kg"]
    assert us["makes"] == {"count": "4", "portion": "300 oz"}


@pytest.mark.parametrize(
    ("typed", "share"),
    [("2.5", "1/40"), ("2,5 %", "1/40"), ("0.5", "1/200"), ("1/3", "1/3")],
)
def test_a_loss_is_typed_in_percent(typed, share):
    """Half a percent is not a half: 0.5 in the field is 0.5 %."""
    form = RecipeForm("x", loss=typed, lines=(Line("beans", "1 kg"),))

    assert written(document(form), is_toml=False).recipe.loss == Fraction(share)


def test_nobody_knows_and_none_are_kept_apart():
    lines = (Line("a", "1"), Line("b", "1", has_none=True), Line("c", "1", "Egg, milk"))
    inputs = written(
        document(RecipeForm("x", lines=lines)), is_toml=False
    ).recipe.inputs

    assert [one.allergens for one in inputs] == [None, (), ("egg", "milk")]


def test_what_only_a_form_can_say_wrongly_is_told():
    values = Values()
    lines = (Line("a", "1"), Line(), Line("b", "1", "egg", has_none=True))
    document_of(RecipeForm("", lines=lines), "metric", values)

    assert [where for where, _ in values.faults] == ["name", "inputs[1].allergens"]
    values = Values()
    document_of(RecipeForm("x", lines=(Line(),)), "metric", values)
    assert [where for where, _ in values.faults] == ["inputs"]


def test_what_differs_is_named_with_what_it_was():
    before = RecipeForm(
        "x", loss="2%", lines=(Line("milk", "45 %"), Line("oil", "4 %"))
    )
    now = RecipeForm("x", loss="3%", lines=(Line("milk", "50 %", has_none=True),))

    assert list(differences(before, now)) == [
        ("lost on the way", "2%", "3%"),
        ("milk, how much", "45 %", "50 %"),
        ("milk, allergens", "", "none"),
        ("oil, how much", "4 %", ""),
    ]
    assert list(differences(now, now)) == []


def test_remarks_in_a_file_are_noticed():
    assert has_comments(kept('name = "x" # slow'))
    assert not has_comments(kept('{"name": "#1"}', is_toml=False))
