"""Allergens in the names of ingredients: what is found, shown, and asked about.

The pairs are everyday words (common practice, no source); which list declares what is
tested against the authorities' lists in tests/external.
"""

from __future__ import annotations

import pytest

from lidclock.app.retail_allergens import (
    Recorded,
    list_ingredients,
    statement_names,
)
from lidclock.app.retail_finding import find, find_as_written
from lidclock.app.retail_statements import contains_runs, declared
from lidclock.domain.ingredients import read_ingredients
from lidclock.guidance.allergens import TREE_NUT, allergen_ids, allergen_lists
from lidclock.labels.retail_data import jurisdiction, jurisdictions
from lidclock.labels.retail_words import word_list

EU, US, CA, AU = (jurisdiction(name) for name in ("eu", "us", "ca", "au"))


def certain(name):
    """What the words of a name stand for, without doubt."""
    return {x for one in find(name) if not one.hidden for x in one.allergens}


def asked(name):
    return {x for one in find(name) if one.hidden for x in one.allergens}


@pytest.mark.parametrize(
    "name",
    ["eggplant", "egg plant", "eggplants (roasted)", "coconut milk", "coconut-milk"]
    + [
        "coconut cream",
        "cocoa butter",
        "shea butter",
        "butter beans",
        "butternut squash",
    ]
    + ["buttercup squash", "nutmeg", "coconut", "doughnut peach", "water chestnuts"]
    + ["cream of tartar", "oyster mushrooms", "crab apples", "rice flour", "corn flour"]
    + ["cornflour", "chickpea flour", "gluten-free flour", "milk thistle", "rice milk"]
    + ["dairy-free spread (oil)", "sunflower lecithin", "tiger nuts", "fishless"]
    + ["codling apple", "ryegrass", "malted", "oatcake", "soybeanless", "eggshell"],
)
def test_words_that_only_look_like_an_allergen_are_none(name):
    assert certain(name) <= {"buckwheat"}


@pytest.mark.parametrize(
    ("name", "allergens"),
    [
        ("eggs", {"egg"}),
        ("free-range EGGS", {"egg"}),
        ("wheat flour", {"wheat"}),
        ("plain flour", {"wheat"}),
        ("buckwheat flour", {"buckwheat"}),
        ("peanut butter", {"peanut"}),
        ("almond milk", {"almond"}),
        ("oat milk", {"oats"}),
        ("soy milk", {"soy"}),
        ("butter", {"milk"}),
        ("coconut milk, milk", {"milk"}),
        ("full-fat milk powder", {"milk"}),
        ("stock (celery, salt)", {"celery"}),
        ("soy sauce", {"soy", "wheat"}),
        ("prawns", {"crustacean"}),
        ("oyster sauce", {"mollusc"}),
        ("pine nuts", {"pine-nut"}),
        ("mixed nuts", {TREE_NUT}),
        ("goat's cheese", {"milk"}),
        ("crème fraîche", {"milk"}),
        ("preservative E220", {"sulphites"}),
        ("gluten-free oats", {"oats"}),
        ("gluten", {"wheat", "barley", "rye", "oats"}),
        ("egg noodles", {"egg", "wheat"}),
        ("milk chocolate", {"milk"}),
    ],
)
def test_words_that_are_one_are_found(name, allergens):
    assert certain(name) == allergens


@pytest.mark.parametrize(
    ("name", "allergens"),
    [("pasta", {"wheat", "egg"}), ("vegetable stock", {"celery", "fish"})]
    + [("vegan butter", {"soy", TREE_NUT}), ("mayonnaise", {"egg", "mustard"})],
)
def test_words_that_may_hide_one_are_asked_about(name, allergens):
    assert asked(name) == allergens
    assert certain(name) == set()


def test_every_word_of_the_list_means_an_allergen_there_is():
    words = word_list()
    known = {*allergen_ids(), TREE_NUT}

    assert {x for ids in words.means.values() for x in ids} <= known
    assert {x for ids in words.may_hold.values() for x in ids} <= known
    assert set(words.named_by) | set(words.no_kind) <= known
    assert set(words.name) == known


@pytest.mark.parametrize("name", jurisdictions())
def test_every_jurisdiction_goes_by_a_list_there_is(name):
    under = jurisdiction(name)

    assert under.allergens in allergen_lists()
    assert {*under.names, *under.summary} <= set(allergen_ids()) | {TREE_NUT}


def printed(texts, recorded=(), under=EU):
    """The list as text, what stands out between stars; then what follows it."""
    listed = list_ingredients(read_ingredients(texts), Recorded.of(recorded), under)
    shown = "".join(f"*{x.text}*" if x.bold else x.text for x in listed.runs)
    runs = contains_runs(listed, Recorded.of(recorded), under)
    return shown, "".join(one.text for one in runs)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("wheat flour=1g", "*WHEAT* flour"),
        ("butter=1g", "*BUTTER* (*MILK*)"),
        ("butter (salted)=1g", "*BUTTER* (*MILK*) (salted)"),
        ("cream (milk)=1g", "cream (*MILK*)"),
        (
            "stock (butter, celery, salt)=1g",
            "stock (*BUTTER* (*MILK*), *CELERY*, salt)",
        ),
        ("tofu (soya beans, water)=1g", "tofu (*SOYA* beans, water)"),
        ("soy sauce=1g", "*SOY SAUCE* (*WHEAT*)"),
        ("tahini=1g", "*TAHINI* (*SESAME*)"),
        ("coconut milk=1g", "coconut milk"),
        ("coconut milk, skimmed milk=1g", "coconut milk, skimmed *MILK*"),
        ("spelt flour=1g", "*SPELT FLOUR* (*WHEAT*)"),
        ("marzipan=1g", "*MARZIPAN* (*ALMOND*)"),
        ("Brazil nuts=1g", "*BRAZIL NUTS*"),
    ],
)
def test_what_stands_out_and_what_is_added(text, shown):
    assert printed([text])[0] == shown


def test_the_list_is_in_descending_order_of_the_mass_put_in():
    shown, _ = printed(["salt=3g", "leeks=1 lb", "wheat flour=454g", "pepper=3 g"])

    assert shown == "*WHEAT* flour, leeks, salt, pepper"


def test_the_eu_repeats_nothing_and_names_what_no_ingredient_names():
    """Commission Notice 2017/C 428/01, 3.5: no repetition beside the list."""
    shown, behind = printed(["butter=2g", "salt=1g"], ["milk", "celery"])

    assert shown == "*BUTTER* (*MILK*), salt"
    assert behind == "Contains: CELERY."


def test_the_us_names_every_one_behind_contains():
    """21 USC 343(w)(1); kinds as 343(w)(2) wants them."""
    _, behind = printed(
        ["cod=9g", "shrimp=8g", "almonds=7g", "butter=6g", "celery=5g"],
        ["sesame", "celery"],
        US,
    )

    assert behind == (
        "Contains: MILK, FISH (COD), CRUSTACEAN SHELLFISH (SHRIMP), "
        "TREE NUTS (ALMOND), SESAME."
    )


def test_what_is_recorded_and_on_no_list_is_never_dropped():
    """Celery is not on the US list."""
    shown, behind = printed(["leeks=9g"], ["celery"], US)

    assert (shown, behind) == ("leeks", "Also contains: CELERY.")


def test_canada_sets_its_list_in_regular_type():
    """Food and Drug Regulations B.01.008.1(1)(d), B.01.010.3(1)."""
    shown, behind = printed(
        ["wheat flour=9g", "butter=8g", "celery=7g"], ["celery"], CA
    )

    assert shown == "Wheat flour, Butter (milk), Celery"
    assert behind == "Contains: Milk, Wheat. Also contains: Celery."


def test_australia_names_wheat_with_gluten_and_each_cereal_in_the_list():
    """Standard 1.2.3 and Schedule 9: gluten is the word of the statement."""
    shown, behind = printed(["wheat flour=9g", "barley=8g"], [], AU)

    assert shown == "*WHEAT* flour, *BARLEY*"
    assert behind == "Contains: WHEAT, GLUTEN."


def test_an_unknown_nut_counts_on_every_list():
    for name in jurisdictions():
        _, behind = printed(["nuts=9g"], ["nuts"], jurisdiction(name))
        shown, _ = printed(["mixed nuts=9g"], ["nuts"], jurisdiction(name))

        assert "nut" in behind.casefold() or "*NUTS*" in shown


@pytest.mark.parametrize(
    ("name", "recorded", "shown"),
    [
        ("حليب كامل", "حليب", "*حليب* كامل"),
        ("الحليب كامل", "حليب", "*الحليب* كامل"),
        ("小麦粉", "小麦", "*小麦*粉"),
        ("leche entera", "leche", "*LECHE* entera"),
        ("Süßlupinenmehl", "lupinen", "Süßlupinenmehl"),
        ("γάλα", "γάλα", "*ΓΆΛΑ*"),
    ],
)
def test_a_recorded_word_that_nobody_knows_stands_out_as_it_is_written(
    name, recorded, shown
):
    assert printed([f"{name}=1g"], [recorded])[0] == shown


def test_a_recorded_word_found_nowhere_stands_behind_contains():
    assert printed(["leeks=1g"], ["leche"])[1] == "Also contains: LECHE."


def test_a_word_that_nobody_knows_is_in_a_statement_that_must_be_whole():
    _, behind = printed(["小麦粉=2g", "sesame=1g"], ["小麦"], US)

    assert behind == "Contains: SESAME. Also contains: 小麦."


def test_a_recorded_word_is_found_in_whole_words_only():
    assert find_as_written("scodella", "cod") == []
    assert [x.phrase for x in find_as_written("leche de leche", "leche")] == (
        ["leche", "leche"]
    )


def test_what_is_declared_is_recorded_or_both_named_and_on_the_list():
    recorded = Recorded.of(["buckwheat"])
    listed = list_ingredients(read_ingredients(["celery=1g"]), recorded, US)

    assert declared(listed, recorded, US) == ("buckwheat",)
    assert declared(listed, recorded, EU) == ("buckwheat", "celery")


def test_names_of_a_statement_stand_once_each():
    names, rest = statement_names(["barley", "rye", "oats", "lupin"], {}, AU)

    assert (names, rest) == (["gluten", "lupin"], [])
