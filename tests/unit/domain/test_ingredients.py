"""Ingredients: read as cooks write them, ordered by exact mass."""

import json
from decimal import Decimal

import pytest

from lidclock.domain.foods import Food, food_from
from lidclock.domain.ingredients import (
    Ingredient,
    by_weight,
    ingredient_from,
    read_ingredient,
    read_ingredients,
)
from lidclock.errors import InputError


@pytest.mark.parametrize(
    ("text", "name", "mass", "grams"),
    [
        ("wheat flour=500g", "wheat flour", "500g", "500"),
        (" butter = 80 g ", "butter", "80 g", "80"),
        # 1.5 avoirdupois ounces of 28.349523125 g each.
        ("stock (celery, salt)=1.5 oz", "stock (celery, salt)", "1.5 oz")
        + ("42.5242846875",),
        ("yeast=0.04 g", "yeast", "0.04 g", "0.04"),
        ("E=mc2 sauce=1,5 kg", "E=mc2 sauce", "1,5 kg", "1500"),
    ],
)
def test_an_ingredient_is_read_with_its_mass_unrounded(text, name, mass, grams):
    one = read_ingredient(text)

    assert (one.name, one.mass, one.grams) == (name, mass, Decimal(grams))


@pytest.mark.parametrize(
    "text",
    ["butter", "=80g", "butter=", "butter=80", "butter=0g", "butter=-3g"]
    + ["butter=1000.1 kg", "stock (celery=1g", "stock celery)=1g", "a (b]c)=1g"]
    + ["none=1x", "but\x00ter=3g", "but\u202eter=3g"],
)
def test_what_is_no_ingredient_is_refused(text):
    with pytest.raises(InputError):
        read_ingredient(text)


def test_the_same_name_twice_is_refused():
    with pytest.raises(InputError, match="twice"):
        read_ingredients(["butter=80g", "salt=1g", "Butter=20g"])


@pytest.mark.parametrize("word", ["none", " None "])
def test_none_clears_the_list(word):
    assert read_ingredients([word]) == ()


def test_none_beside_others_is_no_ingredient():
    with pytest.raises(InputError):
        read_ingredients(["none", "salt=1g"])


def test_the_heaviest_comes_first_and_ties_keep_their_order():
    """1 oz is 28.349523125 g: heavier than 28.3495 g by less than a milligram."""
    listed = read_ingredients(
        ["salt=5g", "cream=28.3495g", "pepper=5 g", "stock=1 oz", "sugar=0.005 kg"]
    )

    assert [one.name for one in by_weight(listed)] == (
        ["stock", "cream", "salt", "pepper", "sugar"]
    )


def test_many_figures_are_kept():
    first, second = (
        Ingredient(name, f"1.{'0' * 40}{last} lb")
        for name, last in (("first", 1), ("second", 2))
    )

    assert by_weight([first, second]) == (second, first)


def test_a_food_survives_being_written_as_json():
    food = Food("bun", "cakes", ingredients=read_ingredients(["flour=1 lb", "egg=50g"]))

    assert food_from(json.loads(json.dumps(food.as_dict()))) == food


def test_facts_from_before_there_were_ingredients_still_load():
    assert food_from({"name": "bun", "category": "cakes"}).ingredients == ()


def test_a_food_without_ingredients_is_written_as_before():
    assert "ingredients" not in Food("bun", "cakes").as_dict()


@pytest.mark.parametrize(
    "facts", [{"name": "salt", "mass": "1 x"}, {"name": "", "mass": "1 g"}]
)
def test_malformed_facts_are_refused(facts):
    with pytest.raises(ValueError, match="ingredient"):
        ingredient_from(facts)
