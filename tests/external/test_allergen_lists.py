"""The four allergen lists, as their authorities publish them, and where they differ.

data/guidance_records.json, topic `allergen`: US FALCPA 2004 with the FASTER Act 2021;
Regulation (EU) 1169/2011, Annex II; Health Canada, allergen and gluten labelling;
Australia and New Zealand, Standard 1.2.3 and Schedule 9. The differences stand there
too: molluscs on all but the US list; celery in the EU and UK alone; mustard in the EU,
UK and Canada; lupin in the EU, UK, Australia and New Zealand; pine nuts listed in
Canada, Australia and New Zealand and not among the eight of the EU; buckwheat on none;
sulphites on all but the US list; in Australia and New Zealand each nut named singly,
and wheat apart from gluten.
"""

import json
import re
from pathlib import Path

import pytest

from lidclock.guidance.allergens import (
    TREE_NUT,
    allergen_ids,
    allergen_lists,
    canonical,
    declare,
    differences,
)

_FILE = Path(__file__).parent / "data" / "guidance_records.json"
RECORDS = {
    one["id"]: one
    for one in json.loads(_FILE.read_text("utf-8"))
    if one["topic"] == "allergen"
}
LISTS = allergen_lists()
NUTS = ("almond", "hazelnut", "walnut", "cashew", "pecan", "brazil-nut") + (
    ("pistachio", "macadamia")
)


def listing(allergen):
    """The ids of the lists that declare an allergen."""
    return {key for key in LISTS if not declare(key, [allergen]).unlisted}


def name_on(list_id, allergen):
    """How a list names the one entry that takes the allergen in."""
    [(name, _)] = declare(list_id, [allergen]).listed
    return name


def in_brackets(text):
    """The names that a published entry gives in brackets: `tree nuts (almond, ...)`."""
    return re.search(r"\((.*)\)", text)[1].split(", ")


def test_the_four_lists_are_those_published():
    assert {one.record for one in LISTS.values()} == RECORDS.keys()


@pytest.mark.parametrize("key", LISTS)
def test_a_list_comes_from_its_published_source(key):
    one = LISTS[key]
    record = RECORDS[one.record]

    assert (one.source.authority, one.source.document) == (
        record["authority"],
        record["document"],
    )
    assert (one.section, one.source.year, one.source.url) == (
        record["section"],
        record["year"],
        record["url"],
    )
    assert (one.source.verified, one.source.grade) == (
        record["verified"],
        record["source_grade"],
    )


@pytest.mark.parametrize("key", LISTS)
def test_every_published_entry_stands_in_its_place(key):
    one = LISTS[key]
    published = RECORDS[one.record]["value"]
    pairs = zip(one.entries, published, strict=True)

    assert [
        entry.name
        for entry, text in pairs
        if not text.lstrip("(+ ").startswith(entry.name)
    ] == []


@pytest.mark.parametrize("key", ["us", "au-nz"])
def test_an_entry_that_names_one_allergen_takes_in_that_one(key):
    several = {"tree nuts", "gluten"}
    alone = [one for one in LISTS[key].entries if one.name not in several]

    assert [canonical(one.name) for one in alone] == [one.covers for one in alone]


@pytest.mark.parametrize(("key", "entry"), [("eu-uk", "nuts"), ("ca", "tree nuts")])
def test_the_nuts_of_a_list_are_those_in_its_brackets(key, entry):
    record = RECORDS[LISTS[key].record]
    published = next(x for x in record["value"] if x.startswith(f"{entry} ("))
    ours = next(x for x in LISTS[key].entries if x.name == entry)

    assert {x for name in in_brackets(published) for x in canonical(name)} == {
        *ours.covers
    }


def test_the_cereals_of_the_eu_are_wheat_rye_barley_and_oats():
    published = RECORDS["allergen.eu-uk"]["value"][0]
    named = {word for word in canonical("gluten") if word in published}

    assert set(LISTS["eu-uk"].entries[0].covers) == named
    assert len(named) == 4


@pytest.mark.parametrize("key", ["eu-uk", "ca", "au-nz"])
def test_the_threshold_of_sulphites_is_the_published_one(key):
    one = LISTS[key]
    published = next(x for x in RECORDS[one.record]["value"] if "sulphites" in x)
    entry = next(x for x in one.entries if "sulphites" in x.covers)
    word = "above" if ">10" in published else "from"

    assert re.search(r"[>=]10\b", published)
    assert f"{word} 10 " in entry.note


@pytest.mark.parametrize(
    ("allergen", "where"),
    [
        ("mollusc", {"eu-uk", "ca", "au-nz"}),
        ("celery", {"eu-uk"}),
        ("mustard", {"eu-uk", "ca"}),
        ("lupin", {"eu-uk", "au-nz"}),
        ("buckwheat", set()),
        ("sulphites", {"eu-uk", "ca", "au-nz"}),
        ("barley", {"eu-uk", "ca", "au-nz"}),
        ("milk", {"us", "eu-uk", "ca", "au-nz"}),
        ("sesame", {"us", "eu-uk", "ca", "au-nz"}),
    ],
)
def test_an_allergen_is_listed_where_it_is_published(allergen, where):
    assert listing(allergen) == where


def test_the_pine_nut_is_listed_in_canada_and_australasia_and_not_in_the_eu():
    assert {"ca", "au-nz"} <= listing("pine-nut")
    assert "eu-uk" not in listing("pine-nut")


@pytest.mark.parametrize("nut", NUTS)
def test_australasia_names_each_nut_singly(nut):
    assert canonical(name_on("au-nz", nut)) == (nut,)


@pytest.mark.parametrize("nut", NUTS)
@pytest.mark.parametrize(
    ("key", "name"), [("us", "tree nuts"), ("eu-uk", "nuts"), ("ca", "tree nuts")]
)
def test_elsewhere_nuts_have_one_name(key, name, nut):
    assert name_on(key, nut) == name


def test_australasia_splits_wheat_from_gluten():
    declared = declare("au-nz", ["gluten"])

    assert declared.listed == (
        ("wheat", ("wheat",)),
        ("gluten", ("barley", "rye", "oats")),
    )


def test_the_eu_has_one_entry_for_gluten():
    declared = declare("eu-uk", ["gluten"])

    assert declared.listed == (
        ("cereals containing gluten", ("wheat", "barley", "rye", "oats")),
    )


def test_the_us_declares_the_wheat_of_gluten_and_the_rest_is_not_lost():
    declared = declare("us", ["gluten"])

    assert declared.listed == (("wheat", ("wheat",)),)
    assert declared.unlisted == ("barley", "rye", "oats")


@pytest.mark.parametrize("key", LISTS)
@pytest.mark.parametrize("allergen", allergen_ids())
def test_no_recorded_allergen_is_dropped(key, allergen):
    declared = declare(key, [allergen])
    listed = {one for _, meant in declared.listed for one in meant}

    assert {*listed, *declared.unlisted} == {allergen}


@pytest.mark.parametrize("key", LISTS)
def test_a_nut_of_unknown_kind_counts_on_every_list(key):
    declared = declare(key, [TREE_NUT])

    assert declared.unlisted == ()
    assert "kind not recorded" in declared.listed[0][0]


@pytest.mark.parametrize(
    ("first", "second", "only_first", "only_second"),
    [
        ("ca", "au-nz", {"mustard"}, {"lupin"}),
        ("eu-uk", "ca", {"celery", "lupin"}, {"pine-nut"}),
        ("eu-uk", "au-nz", {"celery", "mustard"}, {"pine-nut"}),
    ],
)
def test_two_lists_differ_as_published(first, second, only_first, only_second):
    found = differences(first, second)

    assert set(found.only_first) == only_first
    assert set(found.only_second) == only_second
