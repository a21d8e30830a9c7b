"""Recipe sums as others published them, asked of the public contract.

`data/recipe_checks.json` names the source of each and what of it was seen: a worksheet
and slides on baker's percentages, a textbook and a web page on changing portions, the
armed forces' card on their standardized recipes, slides and a textbook on the cost of
trimmed food, and the definition of the pound. Tolerances are the rounding of the
printed figures and nothing else.
"""

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from lidclock.app.recipes import Size, plan_json, plan_recipe
from lidclock.plan.units import MASS_UNITS, read_amount

_FILE = Path(__file__).parent / "data" / "recipe_checks.json"
CASES = {
    one["id"]: one
    for one in json.loads(_FILE.read_text("utf-8"), parse_float=Decimal)["cases"]
}
POUND, OUNCE = MASS_UNITS["lb"], MASS_UNITS["oz"]


def ask(document, **size):
    text = json.dumps(document, default=str)
    return plan_json(plan_recipe(text, Size(**{k: str(v) for k, v in size.items()})))


def grams(answer, name):
    (found,) = [one for one in answer["inputs"] if one["name"] == name]
    return Fraction(found["exact_g"])


def inputs_of(case):
    return CASES[case]["inputs"], CASES[case]["expected"]


def test_baguettes_by_percentages_of_the_flour():
    """The worksheet cuts its figures to three decimals and goes on with the cut flour:

    each is short by less than 0.001 g, and by 0.001 g of flour in its own proportion.
    """
    given, expected = inputs_of("bakers.baguettes")
    rows = [{"name": name, "percent": str(pct)} for name, pct in given["pct"].items()]

    answer = ask(
        {"base": "flour", "inputs": rows},
        count=given["pieces"],
        portion=given["piece_g"],
    )

    assert Fraction(answer["mix_g"]) == expected["total"]
    for name, percent in given["pct"].items():
        short = grams(answer, name) - Fraction(expected[name])
        assert 0 <= short < Fraction(1, 1000) * (1 + Fraction(percent) / 100)


def test_the_percentages_of_a_formula_add_up():
    given, expected = inputs_of("bakers.flourfrac")
    rows = [
        {"name": f"input {index}", "percent": str(percent)}
        for index, percent in enumerate(given["pct"])
    ]

    answer = ask({"base": "input 0", "inputs": rows}, count=1, portion="1kg")

    assert Decimal(answer["percent_total"]) == expected["total"]


def test_a_weighed_formula_in_percent_of_the_flour():
    _, expected = inputs_of("bakers.flourfrac")
    rows = [
        {"name": "flour", "mass": "40 lb"},
        {"name": "water", "mass": "23 lb"},
        {"name": "salt", "percent": "1.75"},
    ]
    recipe = {"base": "flour", "inputs": rows, "makes": {"count": 1}}

    answer = ask(recipe, count=1)

    percent = {one["name"]: Decimal(one["percent"]) for one in answer["inputs"]}
    assert percent["water"] == expected["water_pct_23_of_40"]
    assert grams(answer, "salt") == Fraction(expected["salt_lb_of_40"]) * POUND


def test_other_portions_of_another_size():
    """The page's own example: 5 lb become 11.25 lb."""
    given, expected = inputs_of("scale.portions.a")
    (count, portion), (new_count, new_portion) = given["old"], given["new"]
    recipe = {
        "inputs": [{"name": "meat", "mass": "5 lb"}],
        "makes": {"count": count, "portion": f"{portion} oz"},
    }

    answer = ask(recipe, count=new_count, portion=f"{new_portion} oz")

    assert Decimal(answer["factor"]) == Decimal(str(expected))
    assert grams(answer, "meat") == Fraction("11.25") * POUND


def test_more_portions_of_the_same_size():
    given, expected = inputs_of("scale.portions.c")
    recipe = {
        "inputs": [{"name": "meat", "mass": "1 kg"}],
        "makes": {"count": given["old"]},
    }

    answer = ask(recipe, count=given["new"])

    assert Decimal(answer["factor"]) == Decimal(str(expected))


def test_a_card_for_a_hundred_made_for_348():
    """The card's table of ounces goes by halves: 5.6 oz are weighed as 5 1/2 oz."""
    given, expected = inputs_of("scale.dod")
    recipe = {
        "inputs": [{"name": "meat", "mass": f"{given['lb']} lb"}],
        "makes": {"count": given["per"]},
    }

    answer = ask(recipe, count=given["portions"], step="0.5 oz")

    assert Decimal(answer["factor"]) == expected["factor"]
    mass = grams(answer, "meat")
    assert mass == Fraction(expected["lb"]) * POUND
    assert mass % POUND == Fraction(expected["oz"]) * OUNCE
    assert answer["inputs"][0]["shown"] == expected["rounded"]
    # The card works out the factor first: asked by that, it comes to the same.
    by_factor = ask(recipe, factor=expected["factor"], step="0.5 oz")
    assert by_factor["inputs"] == answer["inputs"]
    assert by_factor["count"] == given["portions"]


def test_what_trimmed_food_costs():
    given, expected = inputs_of("yield.epc.a")
    item = {
        "name": "greens",
        "mass": f"{expected['ep_qty']} lb",
        "yield": str(given["yield"]),
        "price": str(given["ap"]),
        "price_per": "1 lb",
    }

    answer = ask({"inputs": [item], "makes": {"count": 1}}, count=1)

    (found,) = answer["inputs"]
    assert Decimal(found["usable_price"]) == expected["epc"]
    assert Fraction(found["to_buy_g"]) == given["ap_qty"] * POUND
    assert Decimal(answer["cost"]) == expected["total"]


def test_peel_is_paid_for():
    given, expected = inputs_of("yield.onion")
    item = {
        "name": "onions",
        "mass": f"{given['need_lb']} lb",
        "yield": str(Fraction(given["need_lb"]) / Fraction(given["ap_lb"])),
        "price": str(given["price"]),
        "price_per": "1 lb",
    }

    answer = ask({"inputs": [item], "makes": {"count": 1}}, count=1)

    assert Decimal(answer["cost"]) == expected


@pytest.mark.parametrize("text", ["1 lb", "16 oz", "0.5 lb 8 oz"])
def test_the_pound_is_the_defined_one(text):
    _, expected = inputs_of("units.pound")
    kilograms = Fraction(expected["lb_in_kg"])

    assert read_amount(text).mass_g == kilograms * 1000
    assert OUNCE * expected["oz_in_a_pound"] == kilograms * 1000
    grain_mg = Fraction(expected["grain_in_mg"])
    assert grain_mg * expected["grains_in_a_pound"] == POUND * 1000


def test_every_case_is_checked_here():
    text = Path(__file__).read_text("utf-8")

    assert [case for case in CASES if f'"{case}"' not in text] == []
