"""The rules by jurisdiction: data a user edits, checked when it is read."""

from __future__ import annotations

import pytest

from lidclock.errors import LabelError, UnknownThingError
from lidclock.labels import data, retail_data
from lidclock.labels.retail_data import jurisdiction, jurisdictions
from lidclock.labels.retail_words import word_list


@pytest.mark.parametrize("name", jurisdictions())
def test_every_file_is_whole(name):
    under = jurisdiction(name)

    assert under.words["ingredients"].startswith("Ingredients")
    assert under.words["use_by"] == "Use by"
    assert "{cold}" in under.words["keep_cold"]
    assert under.least(None).mm >= under.least(1.0).mm > 0


@pytest.mark.parametrize("name", jurisdictions())
def test_what_is_not_verified_says_so_in_words(name):
    under = jurisdiction(name)
    cited = [under.type_cited, under.net.cited]
    cited += [one.cited for one in under.rules.values()]
    cited += [one.cited for one in under.statements.values()]

    for one in cited:
        assert one.authority in one.words()
        assert one.year in one.words()
        assert one.words().endswith("unverified") == (not one.verified)


def test_an_unknown_jurisdiction_is_refused_and_the_known_ones_named():
    with pytest.raises(UnknownThingError, match="there are au, ca, eu, gb, nz, us"):
        jurisdiction("../layout/side")


@pytest.mark.parametrize("letters", ["EU", " eu "])
def test_a_name_is_taken_in_any_case(letters):
    assert jurisdiction(letters).id == "eu"


def broken(monkeypatch, change):
    table = data.read("statements", "eu")
    change(table)
    monkeypatch.setattr(retail_data.data, "read", lambda *_: table)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda t: t.pop("type"), r"\[type\]"),
        (lambda t: t["type"].update(letter="q"), "letter must be one of x, o, figure"),
        (lambda t: t["type"].update(mm="1.2"), "mm must be a number"),
        (lambda t: t["type"].update(source="nobody"), "no source called 'nobody'"),
        (lambda t: t["source"]["presentation"].pop("year"), "year must be text"),
        (lambda t: t["source"]["presentation"].pop("verified"), "true or false"),
        (lambda t: t["words"].pop("use_by"), "use_by must be text"),
        (lambda t: t["words"].update(sell_by="x"), "unknown key 'sell_by'"),
        (lambda t: t.update(emphasis="italics"), "emphasis must be one of"),
        (lambda t: t.update(colour="red"), "unknown key 'colour'"),
        (lambda t: t["net"].update(steps=[[9.0, 2.0], [5.0, 1.0]]), "must rise"),
        (lambda t: t["statement"][0].update(when="now"), "when must be one of"),
        (lambda t: t["rule"][0].pop("section"), "section must be text"),
    ],
)
def test_what_is_wrong_in_a_file_is_named(monkeypatch, change, told):
    broken(monkeypatch, change)

    with pytest.raises(LabelError, match=told):
        jurisdiction("eu")


def test_words_of_ingredients_are_whole_words_in_lower_case():
    words = word_list()

    for phrase in (*words.means, *words.may_hold):
        assert phrase == phrase.lower().strip()
    assert not set(words.means) & set(words.may_hold)
