"""Everyday words of other languages: accents, endings, compounds, signs."""

import pytest

from lidclock.guidance.categories import search
from lidclock.guidance.load import load_categories
from lidclock.guidance.other_words import ALL, PARTS, WHOLE, fit, folded

TREE = load_categories()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Crème d’œufs", ("creme", "oeufs")),
        ("Gekochtes Fleisch oder Geflügel", ("gekochtes", "fleisch", "geflugel")),
        ("Weißfisch", ("weissfisch",)),
        ("الأرز", ("ارز",)),
        ("قهـــوة", ("قهوه",)),
        ("جُبْن", ("جبن",)),
        ("汤、炖菜", ("汤", "炖菜")),
        ("de la", ()),
    ],
)
def test_words_are_compared_without_accents_articles_and_fillers(text, words):
    assert folded(text) == words


@pytest.mark.parametrize(
    ("text", "phrase"),
    [
        ("SUPPEN", "Suppe"),
        ("soupes", "soupe"),
        ("jamon cocida", "jamón cocido"),
        ("roher Lachs", "rohes Lachs"),
        ("أرز", "الأرز"),
    ],
)
def test_endings_are_let_go(text, phrase):
    assert ALL < fit(text, [phrase]) <= WHOLE


@pytest.mark.parametrize(
    ("text", "phrase"),
    [
        ("Hack", "Hackfleisch"),
        ("Fleisch", "Hackfleisch"),
        ("饭", "米饭"),
    ],
)
def test_a_word_may_be_the_beginning_or_the_end_of_a_longer_one(text, phrase):
    assert fit(text, [phrase]) == PARTS


@pytest.mark.parametrize(
    ("text", "phrase"),
    [
        ("poisson", "poison"),
        ("Eis", "Reis"),
        ("Ei", "Eintopf"),
        ("salade", "salami"),
        ("牛", "猪肉"),
        ("", "Suppe"),
        ("de la", "de la"),
        ("!?", "Suppe"),
    ],
)
def test_what_only_looks_alike_does_not_fit(text, phrase):
    assert fit(text, [phrase]) == 0


@pytest.mark.parametrize("text", ["Kartoffelsuppe", "Suppe aus Rüben", "鲜鱼汤"])
def test_what_it_is_stands_first_or_last(text):
    phrases = {"soup-stew": ("Suppe", "汤"), "raw-meat": ("Fleisch", "肉")}

    assert [one.id for one in search(text, TREE, phrases)] == ["soup-stew"]


def test_english_is_asked_where_the_language_has_nothing_whole():
    phrases = {"soup-stew": ("Suppe",)}

    assert search("kimchi", TREE, phrases)[0].id == "fermented-vegetables"
    # `pan` is bread in Spanish, and the beginning of pancakes in English.
    assert [one.id for one in search("pan", TREE, {"bread-baked": ("pan",)})] == [
        "bread-baked"
    ]
    assert search("moon dust", TREE, phrases) == []
