"""Everyday words lead to allergens, and the file of lists is read strictly."""

import re

import pytest

from lidclock.errors import GuidanceError, UnknownThingError
from lidclock.guidance.allergen_file import read_allergens
from lidclock.guidance.allergens import (
    allergen_ids,
    allergen_list,
    allergen_lists,
    canonical,
    cautions,
    declare,
    differences,
    gather,
    nearest_allergens,
)
from lidclock.guidance.load import load_set, set_names

FILE = """
[allergen.milk]
words = ["whey"]

[allergen.egg]
words = []

[allergen.tree-nut]
words = ["nut"]

[word]
custard = ["milk", "egg"]

[source.law]
authority = "An authority"
document = "A law"
year = "2024"
url = "no address"
verified = true
grade = "primary"

[list.here]
title = "Here"
record = "x"
source = "law"
section = "-"
unknown_nut = "nuts"
entries = [{ name = "dairy", covers = ["milk"] }]

[cautions]
says = ["Ask."]
"""


def test_a_good_file_is_read():
    one = read_allergens("own.toml", FILE)

    assert one.allergens == ("milk", "egg", "tree-nut")
    assert one.words[("custard",)] == ("milk", "egg")
    assert one.lists["here"].entries[0].covers == ("milk",)


@pytest.mark.parametrize(
    ("old", "new", "where", "key"),
    [
        ('words = ["whey"]', 'words = ["whey"]\ncolour = 1', "allergen.milk", "colour"),
        ('words = ["whey"]', "words = 1", "allergen.milk", "words"),
        ("words = []", 'words = ["whey"]', "allergen.egg", "whey"),
        ("words = []", 'words = ["wheys"]', "allergen.egg", "wheys"),
        ('custard = ["milk", "egg"]', 'custard = ["kiwi"]', "word", "kiwi"),
        ('authority = "An authority"\n', "", "source.law", "authority"),
        ('source = "law"', 'source = "rumour"', "list.here", "rumour"),
        ('source = "law"\n', "", "list.here", "source"),
        ('title = "Here"', 'title = "Here"\nflag = 1', "list.here", "flag"),
        ('covers = ["milk"]', 'covers = ["kiwi"]', "list.here", "kiwi"),
        ('covers = ["milk"]', "covers = []", "list.here", "covers"),
        ('covers = ["milk"]', 'covers = ["tree-nut"]', "list.here", "covers"),
        ('covers = ["milk"]', 'covers = ["milk"], why = "x"', "list.here", "why"),
    ],
)
def test_a_fault_is_refused_with_file_entry_and_key(old, new, where, key):
    assert old in FILE
    with pytest.raises(GuidanceError) as caught:
        read_allergens("own.toml", FILE.replace(old, new, 1))

    assert str(caught.value).startswith(f"own.toml: {where}")
    assert key in str(caught.value)


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("milk", ("milk",)),
        ("eggs", ("egg",)),
        ("Spelt", ("wheat",)),
        ("prawns", ("crustacean",)),
        ("shrimp", ("crustacean",)),
        ("soya", ("soy",)),
        ("soybeans", ("soy",)),
        ("tahini", ("sesame",)),
        ("anchovies", ("fish",)),
        ("mussels", ("mollusc",)),
        ("sulfites", ("sulphites",)),
        ("SO2", ("sulphites",)),
        ("pine nut", ("pine-nut",)),
        ("Pine-Nuts", ("pine-nut",)),
        ("peanut butter", ("peanut",)),
        ("monkey nuts", ("peanut",)),
        ("celeriac", ("celery",)),
        ("nuts", ("tree-nut",)),
    ],
)
def test_an_everyday_word_has_its_allergen(word, meant):
    assert canonical(word) == meant


def test_gluten_is_four_cereals():
    assert canonical("gluten") == ("wheat", "barley", "rye", "oats")


def test_a_word_that_could_mean_several_means_all():
    assert canonical("shellfish") == ("crustacean", "mollusc")
    assert canonical("triticale") == ("wheat", "rye")


@pytest.mark.parametrize("word", ["kiwi", "", "coconut", "rice flour"])
def test_a_word_that_nobody_knows_has_none(word):
    assert canonical(word) == ()


@pytest.mark.parametrize("allergen", allergen_ids())
def test_an_allergen_is_its_own_word(allergen):
    assert canonical(allergen) == (allergen,)


def test_an_unknown_word_comes_back_unlisted_as_it_was_written():
    assert declare("us", ["milk", "Kiwi fruit"]).unlisted == ("Kiwi fruit",)


def test_a_list_declares_in_its_own_order():
    names = [name for name, _ in declare("us", ["sesame", "egg", "milk"]).listed]

    assert names == ["milk", "eggs", "sesame"]


def test_two_words_for_one_allergen_are_declared_once():
    assert declare("us", ["prawns", "crab"]).listed == (
        ("crustacean shellfish", ("crustacean",)),
    )


def test_a_known_nut_and_one_of_unknown_kind_are_both_told():
    assert declare("eu-uk", ["almond", "nuts"]).listed == (
        ("nuts", ("almond",)),
        ("nuts, kind not recorded", ("tree-nut",)),
    )


def test_no_allergens_declare_nothing():
    declared = declare("us", [])

    assert (declared.listed, declared.unlisted) == ((), ())


def test_canada_declares_wheat_as_allergen_and_as_gluten():
    assert declare("ca", ["wheat"]).listed == (
        ("wheat and triticale", ("wheat",)),
        ("gluten sources", ("wheat",)),
    )


def test_an_unknown_list_is_refused_with_those_there_are():
    with pytest.raises(UnknownThingError, match=r"mars.*us, eu-uk, ca, au-nz"):
        allergen_list("mars")


def test_a_list_does_not_differ_from_itself():
    found = differences("us", "us")

    assert (found.only_first, found.only_second) == ((), ())


def test_the_other_way_round_the_differences_change_sides():
    one, other = differences("us", "eu-uk"), differences("eu-uk", "us")

    assert one.only_first == other.only_second
    assert "mollusc" in one.only_second


def test_single_words_are_put_together_to_phrases():
    assert gather(["pine", "nuts", "milk"]) == ["pine nuts", "milk"]


def test_a_comma_ends_a_phrase():
    assert gather(["peanut,", "butter"]) == ["peanut", "butter"]


def test_what_is_not_known_stays_as_it_is():
    assert gather(["kiwi", "egg"]) == ["kiwi", "egg"]


def test_a_slip_of_the_pen_leads_to_the_nearest_word():
    assert nearest_allergens("penut")[0] == "peanut"


def test_what_was_not_seen_at_its_source_is_marked():
    noted = [note for note in allergen_lists()["us"].notes if "2025" in note]

    assert len(noted) == 1
    assert noted[0].endswith("(unverified)")


@pytest.mark.parametrize("word", ["country", "medical", "may contain"])
def test_the_cautions_name_what_lists_do_not_do(word):
    assert any(word in caution for caution in cautions())


@pytest.mark.parametrize("name", set_names())
def test_a_guidance_set_names_a_list_that_there_is(name):
    assert load_set(name).allergens in allergen_lists()


def test_every_word_is_written_once():
    text = " ".join(sorted(allergen_ids()))

    assert len(set(allergen_ids())) == len(allergen_ids())
    assert re.fullmatch(r"[a-z -]+", text)
