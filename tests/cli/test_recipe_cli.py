"""`lidclock recipe scale`: the public contract, its answers and its refusals."""

from __future__ import annotations

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from lidclock.cli import recipe_scale as command

DOUGH = Path(__file__).parents[2] / "sample_inventory" / "bun-dough.toml"
BUNS = {
    "name": "buns",
    "base": "flour",
    "inputs": [
        {"name": "flour", "percent": 100, "allergens": ["wheat"]},
        {"name": "milk", "percent": "69.5", "allergens": ["milk"]},
    ],
}
SIX = ("--count", "6", "--portion", "300g")


def buns(**changes):
    return {**BUNS, **changes}


def with_input(**facts):
    return buns(inputs=[*BUNS["inputs"], facts])


@pytest.fixture
def ask(newcomer):
    """The answer to a document on standard input."""

    def answer(document, *size):
        text = document if isinstance(document, str) else json.dumps(document)
        screen = newcomer.see("recipe", "scale", "-", *(size or SIX), given=text)
        return json.loads(screen)

    return answer


@pytest.fixture
def refuse(newcomer):
    """The one line that a refused document leaves."""

    def line(document, *size):
        text = document if isinstance(document, str) else json.dumps(document)
        return newcomer.fail(2, "recipe", "scale", "-", *(size or SIX), given=text)

    return line


def test_numbers_are_exact_decimals_written_as_text(ask):
    """1800 / 1.695 has no end; 69.5 % of it is what is left of 1800."""
    answer = ask(BUNS)

    flour, milk = answer["inputs"]
    assert answer["mix_g"] == "1800"
    assert flour["mass_g"] == "1061.946902654867"
    assert Fraction(flour["exact_g"]) == Fraction(1800) / Fraction("1.695")
    assert Fraction(flour["exact_g"]) + Fraction(milk["exact_g"]) == 1800
    assert flour["shown"] == "1061.9 g"


def test_a_decimal_stays_what_was_written(ask):
    """As floating point 0.1 + 0.2 is more than 0.3."""
    rows = '[{"name": "a", "mass": 0.1}, {"name": "b", "mass": 0.2}]'
    text = f'{{"inputs": {rows}, "makes": {{"count": 1}}}}'

    answer = ask(text, "--count", "1")

    assert answer["mix_g"] == "0.3"
    assert answer["factor"] == "1"


def test_the_answers_masses_scale_to_the_same_again(ask):
    first = ask(BUNS)
    rows = [{"name": x["name"], "mass": x["exact_g"]} for x in first["inputs"]]

    again = ask(buns(inputs=rows))

    assert again["factor"] == "1"
    masses = [[x["exact_g"] for x in one["inputs"]] for one in (first, again)]
    assert masses[0] == masses[1]


def test_absurd_fractions_are_counted_and_not_written_out(ask):
    """Two hundred denominators without a common factor have thousands of figures."""
    rows = [
        {"name": f"input {n}", "mass": f"1/{10**35 + n * 7919 + 1}"} for n in range(200)
    ]

    answer = ask({"inputs": rows})

    assert {one["exact_g"] for one in answer["inputs"]} == {None}
    total = sum(Decimal(one["mass_g"]) for one in answer["inputs"])
    assert abs(total - 1800) < Decimal("1e-9")


def test_a_toml_file_and_json_say_the_same(newcomer, ask, tmp_path):
    path = tmp_path / "buns.toml"
    path.write_text(
        'name = "buns"\nbase = "flour"\n'
        '[[inputs]]\nname = "flour"\npercent = 100\nallergens = ["wheat"]\n'
        '[[inputs]]\nname = "milk"\npercent = 69.5\nallergens = ["milk"]\n'
    )

    assert json.loads(newcomer.see("recipe", "scale", str(path), *SIX)) == ask(BUNS)


def test_the_sample_recipe_costs_what_its_inputs_cost(newcomer):
    """A milk of 1.20 a litre costs 1.20 / 1030 a gram."""
    answer = json.loads(newcomer.see("recipe", "scale", str(DOUGH), *SIX))

    milk = answer["inputs"][1]
    exact = Fraction(milk["exact_g"]) * Fraction("1.20") / 1030
    assert abs(Fraction(milk["cost"]) - exact) < Fraction(1, 10**11)
    total = sum(Decimal(one["cost"]) for one in answer["inputs"])
    assert abs(total - Decimal(answer["cost"])) < Decimal("1e-10")
    assert round(Decimal(answer["cost_per_portion"]) * 6, 9) == round(total, 9)
    assert answer["unknown"] == []


def test_the_ingredients_stand_in_descending_weight(ask):
    rows = [("water", 60), ("flour", 100), ("oil", 60)]
    inputs = [{"name": name, "percent": percent} for name, percent in rows]

    assert ask(buns(inputs=inputs))["ingredients"] == ["flour", "water", "oil"]


def test_allergens_are_only_known_where_every_input_says_so(ask):
    known = ask(BUNS)
    partly = ask(with_input(name="sprinkles", percent=1))

    assert known["allergens"] == ["wheat", "milk"]
    assert partly["allergens"] is None
    assert partly["known_allergens"] == ["wheat", "milk"]
    assert partly["unknown"] == ["allergens of sprinkles"]


def test_a_misspelt_allergen_is_remarked_on(ask):
    answer = ask(with_input(name="paste", percent=1, allergens=["sesamee"]))

    assert answer["remarks"] == ["'sesamee' of paste is on no allergen list; "
                                 "nearest: sesame, sesame seed"]  # fmt: skip


def test_a_missing_price_leaves_the_cost_unknown(ask):
    priced = {"name": "oil", "percent": 1, "price": 2, "price_per": "1 kg"}

    answer = ask(with_input(**priced, allergens=[]))

    assert answer["cost"] is None
    assert Decimal(answer["cost_of_priced"]) > 0
    assert answer["unknown"] == ["price of flour", "price of milk"]


def test_the_mix_is_rounded_up_unless_it_is_to_be_exact(ask):
    loss = ("--loss", "2.5%")

    assert ask(BUNS, *SIX, *loss)["mix_g"] == "1847"
    assert ask(BUNS, *SIX, *loss, "--exact")["mix_g"] == "1846.153846153846"


def test_what_the_scale_read_is_what_is_divided(ask):
    split = ask(BUNS, *SIX, "--weighed", "1793.5g")["split"]

    assert split == {
        "of_g": "1793.5",
        "containers_g": [299, 299, 299, 299, 299, 298],
        "rest_g": "0.5",
    }


def test_containers_may_differ_in_size(ask):
    answer = ask(BUNS, *SIX, "--containers", "1kg, 1 kg, 400g")

    assert answer["split"]["containers_g"] == [750, 750, 300]
    assert answer["remarks"] == []


def test_more_than_the_containers_hold_is_remarked_on(ask):
    answer = ask(BUNS, *SIX, "--containers", "1kg,500g")

    assert sum(answer["split"]["containers_g"]) == 1800
    assert answer["remarks"] == ["300 g more than these containers hold"]


def test_more_made_than_goes_in_is_remarked_on(ask):
    rows = [{"name": "rice", "mass": "1 kg"}]

    answer = ask({"inputs": rows, "makes": {"count": 10, "portion": 250}}, *SIX)

    assert answer["mix_g"] == "720"
    assert answer["split"]["of_g"] == "1800"
    assert answer["remarks"][0].startswith("makes more than goes in")


def test_us_units_are_shown_and_computed_in_grams(ask):
    size = ("--count", "16", "--portion", "1 lb", "--units", "us", "--exact")
    flour = ask(BUNS, *size)["inputs"][0]

    assert flour["shown"] == "9 lb 7 oz"
    assert Decimal(flour["mass_g"]) == round(
        Decimal("453.59237") * 16 / Decimal("1.695"), 12
    )


@pytest.mark.parametrize(
    ("document", "words"),
    [
        ("", "inputs: write a list of inputs, not nothing"),
        ("{", "not a JSON document"),
        ("[]", "document: write an object, not a list of 0"),
        ('{"inputs": [], "inputs": []}', "the key 'inputs' stands twice"),
        ("[" * 100_000, "not a JSON document"),
        ({}, "inputs: write a list of inputs, not nothing"),
        (buns(inputs={}), "inputs: write a list of inputs, not an object"),
        (buns(inputs=[1]), "inputs[0]: write an object, not 1"),
        (buns(inputs=[BUNS["inputs"][0]] * 201), "inputs: 201 are too many"),
        (buns(base="rye"), "base: 'rye' is not among the inputs"),
        (buns(base=["flour", "Flour"]), "base: 'Flour' stands there twice"),
        (buns(base=[]), "base: name the inputs that are 100 %"),
        (buns(base=None), "the percentages add up to 169.5 %: name the inputs"),
        (buns(base="milk"), "base: milk add up to 69.5 %; they are the 100 %"),
        (buns(loss=1), "loss: 1 leaves nothing"),
        (buns(loss=1.5), "loss: 1.5 leaves nothing"),
        (buns(loss=-0.1), "loss: -0.1 lies outside 0 to 100"),
        (buns(loss=True), "loss: give a number, not True"),
        (buns(makes={"count": 4}), "makes: needs masses"),
        (buns(makes={"count": 4}, loss=0.1), "makes has every loss in it; leave out"),
        (buns(makes=4), "makes: write an object with count, not 4"),
        (buns(name="\x1b[2J"), "is not a name that prints"),
        (buns(name="x" * 121), "is longer than 120 characters"),
        (buns(note="x" * 501), "note: write a text of at most 500 characters"),
        (with_input(name="FLOUR", percent=1), "'FLOUR' stands there twice"),
        (with_input(name="salt"), "(salt): give mass or percent, one of the two"),
        (with_input(name="salt", percent=1, mass=1), "give mass or percent"),
        (with_input(name="salt", percent=0), "percent: 0 is nothing"),
        (with_input(name="salt", percent=-2), "percent: -2 lies outside 0"),
        (with_input(name="salt", percent="-2"), "percent: give a number of 0 or more"),
        (with_input(name="salt", mass="5 g"), "beside masses a percentage is of the"),
        (with_input(name="oil", mass="5 ml"), "mass: '5 ml' is a volume: give density"),
        (with_input(name="oil", mass="0 g"), "mass: '0 g' cannot be right"),
        (with_input(name="oil", mass="2000 kg"), "at most 1000 kg"),
        (with_input(name="oil", percent=1, density=9), "density: 9 lies outside"),
        (with_input(name="oil", percent=1, **{"yield": 0}), "a yield of 0 leaves"),
        (with_input(name="oil", percent=1, **{"yield": 75}), "write a share such as"),
        (
            with_input(name="oil", percent=1, price=1),
            "a price goes with what",
        ),
        (
            with_input(name="oil", percent=1, allergens="soy"),
            'a list such as ["wheat"]',
        ),
        (with_input(name="oil", percent=1, colour="red"), "unknown key 'colour'"),
        ('{"inputs": [{"name": "a", "mass": NaN}]}', "mass: NaN is no number"),
        ('{"inputs": [{"name": "a", "mass": -Infinity}]}', "-Infinity is no number"),
        ('{"inputs": [{"name": "a", "mass": 1e400}]}', "1E+400 cannot be right"),
        ('{"inputs": [{"name": "a", "mass": 1e-999999999}]}', "cannot be right"),
        ('{"inputs": [{"name": "a", "mass": 1e9999999999999999999}]}', ""),
        (
            f'{{"inputs": [{{"name": "a", "mass": {"9" * 100_000}}}]}}',
            "cannot be right",
        ),
        (
            f'{{"inputs": [{{"name": "a", "mass": 0.{"3" * 100_000}}}]}}',
            "fewer figures",
        ),
    ],
)
def test_a_malformed_recipe_says_what_to_do(refuse, document, words):
    line = refuse(document)

    assert words in line
    assert len(line) < 1500


@pytest.mark.parametrize(
    ("size", "words"),
    [
        (("--count", "0", "--portion", "300"), "count: 0 is nothing"),
        (("--count", "-3", "--portion", "300"), "count: give a number of 0 or more"),
        (("--count", "1.5", "--portion", "300"), "count: '1.5' is not a whole number"),
        (("--count", "100001", "--portion", "1"), "count: '100001' lies outside"),
        (("--count", "6", "--portion", "nan"), "portion: 'nan' is not an amount"),
        (("--count", "6", "--portion", "300 ml"), "portion: '300 ml' is a volume"),
        (("--count", "6"), "portion: is missing"),
        (("--count", "50000", "--portion", "90kg"), "that mix weighs 4500000 kg"),
        ((*SIX, "--loss", "100%"), "loss: '100%' leaves nothing"),
        ((*SIX, "--weighed", "0"), "weighed: '0' cannot be right"),
        ((*SIX, "--weighed", "5g"), "containers: 6 containers would hold no whole"),
        ((*SIX, "--containers", "0"), "containers: 0 is nothing"),
        ((*SIX, "--containers", "1kg,"), "containers[1]: '' is not an amount"),
        ((*SIX, "--step", "1 cup"), "step: '1 cup' is nothing to round to"),
    ],
)
def test_an_impossible_size_says_what_to_do(refuse, size, words):
    assert words in refuse(BUNS, *size)


def test_a_size_that_the_recipe_answers_is_not_asked_twice(refuse):
    recipe = {"inputs": [{"name": "rice", "mass": 500}], "makes": {"count": 4}}

    line = refuse(recipe, *SIX, "--loss", "0.1")

    assert "loss: the recipe says what it makes" in line
    assert "portion: the recipe does not say how large" in line


def test_everything_that_is_wrong_is_named_at_once(refuse):
    rows = [{"name": "flour", "percent": -1}, {"name": "flour", "mass": "x"}]

    line = refuse(buns(inputs=rows, loss=2, extra=1), "--count", "0", "--portion", "y")

    for words in ("extra", "percent: -1", "twice", "'x'", "loss: 2", "count", "'y'"):
        assert words in line


def test_of_very_many_faults_the_first_are_named_and_the_rest_counted(refuse):
    rows = [{"name": f"input {n}"} for n in range(200)]

    assert "and 180 more" in refuse(buns(inputs=rows, base=None))


def test_a_huge_document_is_refused(refuse, monkeypatch):
    monkeypatch.setattr(command, "MOST_BYTES", 1024 * 1024)

    assert "larger than 1 MB; one recipe at a time" in refuse(" " * 1_048_577)


def test_a_file_that_cannot_be_read_says_why(newcomer, tmp_path):
    (tmp_path / "latin.toml").write_bytes(b'name = "cr\xe8me"')

    assert "No such file" in newcomer.fail(2, "recipe", "scale", "none.json", *SIX)
    assert "not UTF-8" in newcomer.fail(2, "recipe", "scale", "latin.toml", *SIX)


def test_a_broken_toml_file_says_where(newcomer, tmp_path):
    (tmp_path / "a.toml").write_text('name = "a"\nloss = nan\n[[inputs]]\nname=\n')

    line = newcomer.fail(2, "recipe", "scale", "a.toml", *SIX)

    assert "not a TOML document" in line
    assert "line 4" in line


def test_numbers_in_toml_are_held_to_the_same(newcomer, tmp_path):
    (tmp_path / "a.toml").write_text(
        "loss = nan\n[[inputs]]\nname = 'a'\nmass = 1e400\n"
        f"[[inputs]]\nname = 'b'\nmass = 0x{'f' * 9000}\n"
        "[[inputs]]\nname = 'c'\nmass = 2026-11-01\n"
    )

    line = newcomer.fail(2, "recipe", "scale", "a.toml", *SIX)

    assert "loss: NaN is no number" in line
    assert "(a).mass: 1E+400 cannot be right" in line
    assert "(b).mass: a huge number cannot be right" in line
    assert "(c).mass: give a number, not datetime.date" in line
