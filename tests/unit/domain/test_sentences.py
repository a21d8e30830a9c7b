"""A sentence is English as it stands, and knows what it was made of."""

from __future__ import annotations

import copy
import json
import pickle
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.domain.moments import say_day
from lidclock.domain.sentences import (
    Sentence,
    as_data,
    figure,
    from_data,
    joined,
    quoted,
    sentence,
    sentences,
    strung,
    typed,
)

DAY = say_day(date(2026, 11, 3))
CASES = [
    (sentence("last day today"), "last day today"),
    (sentence("made on {day}", day=DAY), "made on Tue 3 Nov 2026"),
    (sentence("no: {why}", why=quoted("Egg salad")), "no: Egg salad"),
    (typed("{x}"), "{x}"),
    (strung(" · ", ["4F7 K2M0", "", "300 g"]), "4F7 K2M0 · 300 g"),
    (sentences("{count} day left", "{count} days left", 1), "1 day left"),
    (sentences("{count} day left", "{count} days left", 0), "0 days left"),
    (joined("{day} {clock}", day=DAY, clock="17:10"), "Tue 3 Nov 2026 17:10"),
    (
        sentence("{food}: {left}", food="{x}", left=sentences("{count} box", "", 1)),
        "{x}: 1 box",
    ),
]


@pytest.mark.parametrize(("words", "english"), CASES)
def test_a_sentence_is_its_english(words, english):
    assert words == english
    assert f"{words}." == f"{english}."


@pytest.mark.parametrize("words", [words for words, _ in CASES])
@pytest.mark.parametrize(
    "through",
    [
        lambda one: from_data(json.loads(json.dumps(as_data(one)))),
        lambda one: pickle.loads(pickle.dumps(one)),
        copy.deepcopy,
    ],
)
def test_what_it_was_made_of_survives_being_kept(words, through):
    kept = through(words)

    assert isinstance(kept, Sentence)
    assert (kept, kept.text, kept.many) == (words, words.text, words.many)
    assert (kept.number, kept.is_bare) == (words.number, words.is_bare)
    assert as_data(kept) == as_data(words)


def test_plain_text_stays_plain():
    assert as_data("bun dough") == "bun dough"
    assert from_data("bun dough") == "bun dough"


@given(st.text(), st.text())
def test_no_value_is_taken_for_a_part_of_the_sentence(food, place):
    said = sentence("{food} in {place}", food=food, place=place)

    assert said == food + " in " + place
    assert from_data(json.loads(json.dumps(as_data(said)))) == said


@pytest.mark.parametrize(("number", "words"), [(4, "4"), (0.5, "0.5"), (2.0, "2")])
def test_a_figure_has_no_needless_zeros(number, words):
    assert figure(number) == words


def test_nothing_strung_together_is_nothing_and_one_part_is_itself():
    assert strung(" · ", ["", ""]) == ""
    assert strung(" · ", ["", DAY]) is DAY


@pytest.mark.parametrize(
    "data",
    [
        {"text": "{food.__class__}", "values": {"food": "stew"}},
        {"text": "{food[0]}", "values": {"food": "stew"}},
        {"text": "{food!r}", "values": {"food": "stew"}},
        {"text": "{food:>999999999}", "values": {"food": "stew"}},
        {"text": "{}", "values": {}},
        {"text": "{food}"},
        {"text": "{food"},
        {"text": "one", "many": "{count.real}", "values": {"count": "1"}},
        {"text": "one", "many": "more", "count": "3"},
        {"day": "someday", "en": "someday", "year": True},
    ],
)
def test_a_pattern_out_of_a_file_may_only_name_its_values(data):
    with pytest.raises((ValueError, KeyError)):
        from_data(data)


def test_sentences_within_sentences_end_somewhere():
    data = "stew"
    for _ in range(100):
        data = {"text": "{x}", "values": {"x": data}}

    with pytest.raises(ValueError, match="more than 40 deep"):
        from_data(data)
