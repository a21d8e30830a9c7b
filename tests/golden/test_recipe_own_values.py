"""Golden: our own sums about recipes, kept to notice change; they prove nothing.

What others published is in tests/external. A change that is meant is made in
data/recipe_own_values.json, with the reason in the commit.
"""

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from lidclock.app.recipes import Size, plan_json, plan_recipe
from lidclock.plan.split import split_whole

_FILE = Path(__file__).parent / "data" / "recipe_own_values.json"
CASES = {
    one["id"]: one
    for one in json.loads(_FILE.read_text("utf-8"), parse_float=Decimal)["cases"]
}
SAMPLES = Path(__file__).parents[2] / "sample_inventory"


def ask(document, **size):
    return plan_json(plan_recipe(json.dumps(document), Size(**size)))


def test_the_home_cooks_dough():
    """1800 g / 0.975 is 1846.15 g, so 1847 g are mixed; 1847 / 1.695 is the flour."""
    case = CASES["scen.home.batch"]
    text = (SAMPLES / "bun-dough.toml").read_text("utf-8")

    plan = plan_recipe(text, Size("6", "300", "0.025"), is_toml=True)

    answer = plan_json(plan)
    assert answer["percent_total"] == "169.5"
    assert Decimal(answer["mix_g"]) == case["expected"]["mix_g"]
    assert answer["inputs"][0]["shown"] == f"{case['expected']['flour_g']} g"
    assert answer["split"]["containers_g"] == [308] * 5 + [307]


def test_the_caterers_salad():
    recipe = {
        "inputs": [{"name": "barley", "mass": "2 kg"}],
        "makes": {"count": 35, "portion": "185 g"},
    }

    answer = ask(recipe, count="117", portion="230 g")

    expected = CASES["scen.cater.scale"]["expected"]
    assert round(Decimal(answer["factor"]), 5) == expected
    exact = Fraction(117 * 230, 35 * 185) * 2000
    assert Fraction(answer["inputs"][0]["exact_g"]) == exact


def test_a_split_of_whole_grams():
    given = CASES["portion.split"]["inputs"]

    shares = split_whole(given["g"], [Fraction(1)] * given["k"])

    said = f"{shares.count(308)} x 308 + {shares.count(307)} x 307 = {sum(shares)}"
    assert said == CASES["portion.split"]["expected"]


def test_the_flour_of_a_cake():
    given = CASES["bakers.cake"]["inputs"]
    rest = str(Decimal(given["percent"]) - 100)
    rows = [{"name": "flour", "percent": 100}, {"name": "rest", "percent": rest}]

    answer = ask({"base": "flour", "inputs": rows}, count="1", portion="3000")

    expected = CASES["bakers.cake"]["expected"]["flour_g"]
    assert answer["inputs"][0]["shown"] == f"{expected} g"


def test_a_yield_of_about_a_third():
    given = CASES["yield.third"]["inputs"]
    item = {"name": "fish", "mass": 1000, "price": given["ap"], "price_per": "1 lb"}
    recipe = {"inputs": [{**item, "yield": given["yield"]}], "makes": {"count": 1}}

    answer = ask(recipe, count="1")

    assert (
        answer["inputs"][0]["usable_price"] == CASES["yield.third"]["expected"]["epc"]
    )
