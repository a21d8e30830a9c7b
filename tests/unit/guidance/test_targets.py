"""The file of targets is read strictly; a search finds what a cook would ask for."""

import re

import pytest

from lidclock.errors import GuidanceError, UnknownThingError
from lidclock.guidance.load import load_categories, set_names
from lidclock.guidance.target_file import read_targets
from lidclock.guidance.targets import labels, load_targets, nearest_words, search

TARGETS = load_targets()
FILE = """
[set.us]
title = "US"

[source.chart]
authority = "An authority"
document = "A chart"
year = "2024"
url = "no address"
verified = true
grade = "primary"

[[target]]
id = "x.soup"
topic = "reheating"
set = "us"
source = "chart"
section = "-"
food = "soup"
words = ["soup"]
temp_f = 165
temp_c = 73.9
says = "Soup: 165 °F (73.9 °C)."
"""


def ids(*words, set_id=None):
    return [one.id for one in search(words, set_id)]


def refusal(old, new):
    """What the loader says when one line of a good file is replaced."""
    assert old in FILE
    with pytest.raises(GuidanceError) as caught:
        read_targets("own.toml", FILE.replace(old, new))
    return str(caught.value)


def test_a_good_file_is_read():
    [one] = read_targets("own.toml", FILE).targets

    assert (one.id, one.source.authority) == ("x.soup", "An authority")
    assert one.figure("temp_f").ends == (165.0,)


def test_a_range_keeps_both_ends():
    text = FILE.replace("temp_f = 165\n", "days = { low = 1, high = 2 }\n")
    [one] = read_targets("own.toml", text).targets

    assert one.figure("days").ends == (1.0, 2.0)


def test_a_range_without_a_high_end_is_open():
    text = FILE.replace("temp_f = 165\n", "hours = { low = 4 }\n")
    [one] = read_targets("own.toml", text).targets

    assert one.figure("hours").high is None


def test_stages_are_kept_one_by_one():
    text = FILE.replace("temp_f = 165\n", "stage_hours = [2, 4]\n")
    [one] = read_targets("own.toml", text).targets

    assert one.figure("stage_hours").ends == (2.0, 4.0)


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('food = "soup"', 'food = "soup"\nflavour = "salty"', "flavour"),
        ('year = "2024"', 'year = "2024"\nedition = "2"', "edition"),
        ('title = "US"', 'title = "US"\nland = "US"', "land"),
        ('source = "chart"', 'source = "book"', "book"),
        ('source = "chart"\n', "", "source"),
        ('authority = "An authority"\n', "", "authority"),
        ("verified = true", 'verified = "yes"', "verified"),
        ('grade = "primary"', 'grade = "rumour"', "grade"),
        ('topic = "reheating"', 'topic = "warming"', "topic"),
        ('set = "us"', 'set = "mars"', "set"),
        ('words = ["soup"]', "words = []", "words"),
        ('words = ["soup"]', "words = [1]", "words"),
        ("temp_f = 165", 'temp_f = "hot"', "temp_f"),
        ("temp_f = 165", "ph = 15", "ph"),
        ("temp_f = 165", "stage_hours = 2", "stage_hours"),
        ("temp_f = 165", "days = { low = 2, high = 1 }", "days"),
        ("temp_f = 165", "days = { high = 1 }", "days"),
        ("temp_f = 165", "days = { low = 1, top = 2 }", "top"),
        ("temp_c = 73.9\n", "", "temp_c"),
        ("temp_c = 73.9", "temp_c = 74.5", "temp_c"),
        ("temp_c = 73.9", 'temp_c = 73.9\nbound = "about"', "bound"),
        ("temp_c = 73.9", "temp_c = 73.9\nallowed = 1", "allowed"),
        ('says = "Soup: 165 °F (73.9 °C)."', "", "says"),
    ],
)
def test_a_fault_is_refused_with_file_entry_and_key(old, new, key):
    said = refusal(old, new)

    assert said.startswith("own.toml: ")
    assert key in said
    assert re.search(r"x\.soup|source\.chart|set\.us", said)


def test_the_same_id_twice_is_refused():
    with pytest.raises(GuidanceError, match=r"x\.soup.*used twice"):
        read_targets("own.toml", FILE + FILE[FILE.index("[[target]]") :])


@pytest.mark.parametrize(
    "text", ["", "x = 1", FILE[: FILE.index("[[target]]")], "[[target"]
)
def test_a_file_without_targets_is_refused(text):
    with pytest.raises(GuidanceError, match=r"own\.toml"):
        read_targets("own.toml", text)


@pytest.mark.parametrize("one", TARGETS, ids=lambda one: one.id)
def test_a_sentence_says_every_number_of_its_target(one):
    said = {float(x) for x in re.findall(r"(?<!\d)-?\d+(?:\.\d+)?", one.says)}
    numbers = {number for figure in one.figures for number in figure.ends}

    assert numbers <= said


def test_no_two_targets_of_one_set_say_the_same():
    said = [(one.set, one.says) for one in TARGETS]

    assert len(said) == len(set(said))


def test_the_category_of_a_cheese_is_one_of_ours():
    named = {one.category for one in TARGETS if one.category}

    assert named <= load_categories().keys()


def test_a_cheese_goes_where_its_name_leads_in_the_categories():
    """The category that has the word `cheddar` is the one of the target as well."""
    by_word = {
        word: key for key, one in load_categories().items() for word in one.words
    }
    cheeses = [one for one in TARGETS if one.category]
    misled = [
        (one.id, word)
        for one in cheeses
        for word in one.words
        if by_word.get(word, one.category) not in (one.category, "cheese")
    ]

    assert len(cheeses) == 30
    assert misled == []


def test_a_label_belongs_to_guidance_sets_that_there_are():
    also = {name for label in labels().values() for name in label.also}

    assert also <= set(set_names())


@pytest.mark.parametrize("set_id", ["us-food-code", "us-home", "uk-home", "au", "ie"])
def test_a_guidance_set_has_its_label(set_id):
    assert set_id in labels()
    assert set_id in set_names()


def test_the_targets_that_name_the_food_come_first():
    found = ids("ground", "beef")

    assert found[0] == "us.fc.cook.ground.145"
    assert found.index("us.home.cook.ground160") < found.index("who.cook")


def test_what_holds_for_any_food_is_told_of_a_food():
    found = ids("ground", "beef")

    assert {"us.fc.reheat", "us.fc.hot_hold", "uk.cook70", "ca.cold"} <= set(found)


def test_a_food_that_no_target_names_has_what_holds_for_any():
    assert "us.fc.cold_hold" in ids("milk")
    assert "us.fc.cook.whole" not in ids("milk")


def test_a_dry_food_has_no_cold_limit():
    assert ids("flour") == ["us.home.flour"]


def test_a_topic_beside_a_food_narrows_to_that_topic():
    assert {one.topic for one in search("reheat rice")} == {"reheating"}


def test_every_word_must_fit():
    assert ids("beef", "thermometer") == []


@pytest.mark.parametrize("word", ["ice", "counter", "boiling", "thermometer"])
def test_a_tool_is_not_taken_for_a_food(word):
    found = search(word)

    assert found
    assert not any(one.any_food for one in found)


def test_a_plural_finds_the_singular():
    assert ids("burgers") == ids("burger")


def test_capitals_and_fillers_do_not_matter():
    assert ids("The", "Ground", "BEEF") == ids("ground", "beef")


def test_no_words_find_nothing():
    assert ids("") == []


def test_a_set_shows_its_own_targets_alone():
    assert {one.set for one in search("ground beef", "us-home")} == {"us-home"}


def test_a_set_shows_what_it_shares():
    found = {one.set for one in search("hot", "us-food-code-new-york-city")}

    assert found == {"us-food-code", "us-new-york-city"}


def test_an_unknown_set_is_refused_with_those_there_are():
    with pytest.raises(UnknownThingError, match=r"mars.*us-home"):
        search("beef", "mars")


def test_a_slip_of_the_pen_leads_to_the_nearest_words():
    assert "ground beef" in nearest_words(["grund", "beef"])
    assert "boiling" in nearest_words(["boilng"])
