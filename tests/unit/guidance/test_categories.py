"""The tree of food categories: whole, inherited, found by everyday words."""

import pytest

from lidclock.errors import GuidanceError
from lidclock.guidance.categories import (
    below,
    leaves,
    path_of,
    read_categories,
    search,
)
from lidclock.guidance.load import load_categories, load_cautions

TREE = load_categories()
BASE = {"soups": {"name": "Soups", "nature": "cooked", "tcs": "yes"}}


def test_there_are_at_least_ninety_kinds_of_food():
    assert len(leaves(TREE)) >= 90


@pytest.mark.parametrize("category", TREE.values(), ids=lambda one: one.id)
def test_every_category_leads_up_to_a_root(category):
    path = path_of(category, TREE)

    assert path[0].parent == ""
    assert path[-1] is category
    assert len(path) <= 3


@pytest.mark.parametrize("category", TREE.values(), ids=lambda one: one.id)
def test_every_category_has_words_and_known_cautions(category):
    assert category.words
    assert set(category.cautions) <= load_cautions().keys()


def test_no_word_belongs_to_two_kinds_of_food():
    words = [word for one in leaves(TREE) for word in one.words]

    assert {word for word in words if words.count(word) > 1} == set()


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("fried rice", "cooked-rice"),
        ("prawns", "shellfish-raw"),
        ("mince", "raw-ground-meat"),
        ("boiled eggs", "eggs-hard-cooked"),
        ("Yoghurt", "cultured-dairy"),
        ("kimchi", "fermented-vegetables"),
        ("garlic oil", "garlic-in-oil"),
        ("pizza dough", "yeast-dough-raw"),
        ("tomatoes canned", "canned-high-acid-opened"),
        ("berries", "whole-fruit"),
        ("hot dog", "hot-dogs-opened"),
        ("soup", "soup-stew"),
        ("cooked-rice", "cooked-rice"),
        ("baby food meat", "baby-food-meat-opened"),
    ],
)
def test_everyday_words_find_the_kind_of_food(said, expected):
    assert search(said, TREE)[0].id == expected


def test_words_that_fit_nothing_find_nothing():
    assert search("moon dust", TREE) == []


@pytest.mark.parametrize("said", ["", " ", "the", "of the", "!?"])
def test_words_that_say_nothing_find_nothing(said):
    assert search(said, TREE) == []


def test_what_fits_a_part_of_the_words_does_not_stand_beside_what_fits_all():
    """`fried rice` is cooked rice; fried chicken shares one word with it."""
    assert "fried-chicken" not in [one.id for one in search("fried rice", TREE)]


def test_what_fits_a_part_of_the_words_is_found_where_nothing_fits_all():
    assert "cooked-rice" in [one.id for one in search("purple rice", TREE)]


def test_an_exact_synonym_comes_before_a_looser_fit():
    ids = [one.id for one in search("potato salad", TREE)]

    assert ids[0] == "potato-salad"


def test_a_child_takes_what_it_does_not_say_from_its_parent():
    tree = read_categories({**BASE, "broth": {"name": "Broth", "parent": "soups"}})

    assert (tree["broth"].nature, tree["broth"].tcs) == ("cooked", "yes")


def test_a_child_may_differ_from_its_parent():
    child = {"name": "Broth", "parent": "soups", "tcs": "assumed"}

    assert read_categories({**BASE, "broth": child})["broth"].tcs == "assumed"


def test_a_group_holds_itself_and_everything_under_it():
    assert below(["cheese"], TREE) >= {"cheese", "hard-cheese", "cheesecake"}
    assert "milk" not in below(["cheese"], TREE)


@pytest.mark.parametrize(
    ("change", "complaint"),
    [
        ({"colour": "red"}, "category.soups: unknown key 'colour'"),
        ({"parent": "moon"}, "category.soups: its parent 'moon' does not stand above"),
        ({"nature": "lunar"}, "category.soups: nature is one of"),
        ({"tcs": "perhaps"}, "category.soups: nature is one of"),
        ({"name": None}, "category.soups: name is missing"),
    ],
)
def test_a_malformed_category_is_refused_with_its_place(change, complaint):
    facts = {**BASE["soups"], **change}
    given = {key: value for key, value in facts.items() if value is not None}

    with pytest.raises(GuidanceError, match=complaint):
        read_categories({"soups": given})


@pytest.mark.parametrize("words", ["lentil soup", "chicken soup", "vegetable stew"])
def test_what_the_last_word_says_it_is_comes_first(words):
    assert search(words, TREE)[0].id == "soup-stew"


def test_the_last_word_is_offered_beside_what_fits_every_word():
    found = [one.id for one in search("bean soup", TREE)]

    assert found == ["canned-low-acid-opened", "soup-stew"]
