"""Kinds of food by their names in each language: shown so, and found so."""

from __future__ import annotations

import re

import pytest

from lidclock.app.categories import find, tree
from lidclock.app.guidance_words import everyday_words
from lidclock.guidance.categories import leaves
from lidclock.guidance.load import load_categories
from lidclock.web import words_found
from lidclock.web.guidance_names import kind_phrases
from lidclock.web.words import COOKIE, LANGUAGES, catalogue_of, translate

OTHERS = [name for name in LANGUAGES if name != "en"]
LEAVES = {one.id for one in leaves(load_categories())}
# Letters of each script; names that are the same in Latin script are few.
SCRIPTS = {
    "zh-Hans": re.compile(r"[\u4e00-\u9fff]"),
    "ar": re.compile(r"[\u0620-\u064a]"),
}
ALIKE = {"Bacon", "Cheesecake", "Pizza"}


def test_every_kind_of_food_wants_a_name_and_words_in_each_language():
    wanted = {text.key for text in words_found.found()}

    for one in tree():
        assert {(one.name, None), (everyday_words(one), None)} <= wanted, one.id


def test_a_kind_of_food_without_a_name_in_a_language_is_told():
    catalogue = catalogue_of("de")
    texts = [words_found.Found(("Fried moon dust", None), "guidance:0")]

    told = list(words_found.faults(texts, "de", catalogue))

    assert "de: guidance:0: 'Fried moon dust' is missing" in told


@pytest.mark.parametrize("language", OTHERS)
def test_no_name_was_left_in_english_or_given_twice(language):
    names = {one.name: translate(language)(one.name) for one in tree()}

    assert {x for x, said in names.items() if said == x} <= ALIKE
    assert len(set(names.values())) == len(names)
    if language in SCRIPTS:
        assert [x for x, y in names.items() if not SCRIPTS[language].search(y)] == []


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("lasagna", "cooked-leftovers"),
        ("chili", "soup-stew"),
        ("chili con carne", "soup-stew"),
        ("chili sauce", "vinegar-sauce"),
    ],
)
def test_american_spellings_are_found(typed, expected):
    assert find(typed)[0].id == expected


@pytest.mark.parametrize("language", OTHERS)
def test_every_name_and_word_finds_its_kind_of_food(language):
    phrases = kind_phrases(language)
    lost = {
        (key, phrase)
        for key, said in phrases.items()
        for phrase in said
        if key not in [one.id for one in find(phrase, phrases)[:3]]
    }

    assert len(phrases) == len(tree())
    assert lost == set()


@pytest.mark.parametrize("language", OTHERS)
def test_no_word_belongs_to_two_kinds_of_food(language):
    words = [
        word.strip().casefold()
        for key, (_, *said) in kind_phrases(language).items()
        if key in LEAVES
        for word in said
    ]

    assert {word for word in words if words.count(word) > 1} == set()


# Words as cooks type them; ours.
@pytest.mark.parametrize(
    ("language", "typed", "expected"),
    [
        ("de", "Kartoffelsuppe", "soup-stew"),
        ("de", "gekochter Reis", "cooked-rice"),
        ("de", "hackfleisch", "raw-ground-meat"),
        ("de", "Gulasch", "soup-stew"),
        ("de", "Pizzateig", "yeast-dough-raw"),
        ("fr", "soupe aux lentilles", "soup-stew"),
        ("fr", "oeufs durs", "eggs-hard-cooked"),
        ("fr", "Pâté", "cooked-meat-poultry"),
        ("fr", "saumon fume", "smoked-fish"),
        ("es", "sopa de lentejas", "soup-stew"),
        ("es", "arroz", "cooked-rice"),
        ("es", "jamon serrano", "salt-cured-ham"),
        ("es", "carne molida", "raw-ground-meat"),
        ("zh-Hans", "番茄鸡蛋汤", "soup-stew"),
        ("zh-Hans", "蛋炒饭", "cooked-rice"),
        ("zh-Hans", "豆芽", "seed-sprouts"),
        ("ar", "شوربة العدس", "soup-stew"),
        ("ar", "ارز", "cooked-rice"),
        ("ar", "بيض مسلوق", "eggs-hard-cooked"),
        ("ar", "الدجاج النيء", "raw-poultry"),
        ("de", "cooked-rice", "cooked-rice"),
        ("ar", "fried rice", "cooked-rice"),
    ],
)
def test_everyday_words_find_it_in_each_language(language, typed, expected):
    assert find(typed, kind_phrases(language))[0].id == expected


def test_english_and_an_invented_language_search_in_english():
    assert kind_phrases("en") == kind_phrases("x-pseudo") == {}


@pytest.mark.parametrize(
    ("language", "typed", "name"),
    [
        ("de", "Linsensuppe", "Suppe oder Eintopf"),
        ("fr", "soupe", "Soupe ou ragoût"),
        ("es", "sopa", "Sopa o guiso"),
        ("zh-Hans", "鸡汤", "汤或炖菜"),
        ("ar", "شوربة", "شوربة أو يخنة"),
    ],
)
def test_pages_name_it_in_their_language(client, language, typed, name):
    client.cookies.set(COOKIE, language)
    picker = client.get("/prep", params={"food": typed}).text
    again = client.get("/prep", params={"food": "Xyz", "q": typed}).text
    sought = client.get("/guidance", params={"q": typed}).text
    kind = client.get("/guidance/soup-stew").text

    choice = f'value="soup-stew" required> <span>{name}</span>'
    assert choice in picker
    assert choice in again
    assert f'<a href="/guidance/soup-stew">{name}</a>' in sought
    assert f"<h1>{name}</h1>" in kind


def test_all_kinds_stand_by_their_names_in_the_language(client):
    client.cookies.set(COOKIE, "de")
    page = client.get("/prep?food=xyz").text
    names = re.findall(r'<option value="[a-z-]+">([^<]+)</option>', page)

    assert len(names) == len(LEAVES)
    assert "Gekochter Reis" in names
    # An umlaut stands with its letter, and not behind all others.
    assert names.index("Käsekuchen") < names.index("Kekse")


def test_what_no_figure_is_given_for_is_named_in_the_language(house, client):
    house.prep("dough", "yeast-dough-raw")
    client.cookies.set(COOKIE, "de")

    page = client.get("/prep?food=dough").text

    assert "Roher Hefeteig" in page
    assert "Raw yeast dough" not in page


def test_the_picker_is_searched_in_the_language_with_scripts_too(house, phone):
    phone.context.add_cookies([{"name": COOKIE, "value": "de", "url": house.address}])
    phone.goto("/prep?food=Xyz")
    assert phone.locator("option", has_text="Suppe oder Eintopf").count() == 1
    phone.get_by_role("searchbox").fill("linsensuppe")
    phone.get_by_role("button", name="Suchen").click()

    phone.get_by_label("Suppe oder Eintopf").check()
    assert phone.locator("[name=category]:checked").get_attribute("value") == (
        "soup-stew"
    )
