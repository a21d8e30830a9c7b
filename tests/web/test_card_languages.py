"""The card and the plan in other languages: nothing English but guidance and names."""

from __future__ import annotations

import re
from datetime import timedelta
from html import unescape

import pytest
from tests.web.pages import hidden_fields
from tests.web.test_languages import plain_texts

from every_proposal import MORNING, NAMES, furnish_card
from lidclock.app import cooling
from lidclock.app.cooling_target import target_of
from lidclock.app.temps import type_reading
from lidclock.app.today import today
from lidclock.plan.proposal import KINDS
from lidclock.web import pseudo
from lidclock.web.words import COOKIE

OTHERS = ("es", "fr", "de", "zh-Hans", "ar")
PLANS = ("/plan", "/plan/pull", "/plan/pull?on=2026-11-04", "/plan/prep")
IN_ENGLISH = re.compile(r'<span lang="en"[^>]*>(.*?)</span>')


@pytest.fixture
def full(house):
    """The kitchen with a proposal of every kind."""
    furnish_card(house.session)
    house.now = MORNING
    return house


def english(page):
    return [unescape(words) for words in IN_ENGLISH.findall(page)]


def guidance_of(house):
    """Everything that guidance says in its own words, however a sentence ends it."""
    guidance = house.session().guidance
    said = [one.says for one in guidance.rules]
    said += [*guidance.cautions.values(), guidance.advice]
    return {words.rstrip(".") for words in said}


def not_guidance(house, page):
    known = guidance_of(house)
    return [words for words in english(page) if words.rstrip(".") not in known]


def test_the_kitchen_has_a_proposal_of_every_kind(full):
    card, _ = today(full.session(), every=True)

    assert {one.kind for one in (*card.shown, *card.more)} == set(KINDS)


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("path", ["/", *PLANS])
def test_no_english_is_left_but_the_wording_of_guidance(full, client, language, path):
    client.cookies.set(COOKIE, language)
    page = client.get(path).text

    assert f'<html lang="{language}"' in page
    assert not_guidance(full, page) == []


@pytest.mark.parametrize("path", ["/", *PLANS])
def test_every_word_of_it_is_in_the_catalogues_or_was_typed(full, client, path):
    session = full.session()
    with session.read() as unit:
        codes = [one.code for one in unit.snapshots.find()]
    # "gravy x2" is the same in every language.
    known = (*NAMES, *codes, *(f"{code[:3]} {code[3:]}" for code in codes), "x2")
    client.cookies.set(COOKIE, pseudo.LONG)

    assert plain_texts(client.get(path).text, known) == []


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize(
    "answer",
    [
        {"answer": "accept"},
        {"answer": "decline", "text": "because"},
        {"answer": "put-off", "until": "2026-11-03T10:30:00-05:00"},
    ],
)
def test_what_an_answer_did_is_told_in_the_language(full, client, language, answer):
    client.cookies.set(COOKIE, language)
    form = hidden_fields(client.get("/").text, "/card")
    card, _ = today(full.session())
    key = next(one.key for one in card.shown if one.kind == "make")
    page = client.post("/card", data={**form, "key": key, **answer}).text

    assert 'role="status"' in page
    assert "rice pudding" in page.partition('role="status"')[2].partition("</p>")[0]
    assert not_guidance(full, page) == []


def test_what_was_agreed_is_said_in_the_language_out_of_what_was_kept(full, client):
    client.cookies.set(COOKIE, "de")
    card, _ = today(full.session(), every=True)
    one = next(one for one in card.more if one.kind == "use" and one.steps)
    form = hidden_fields(client.get("/").text, "/card")
    data = {**form, "key": one.key, "answer": "accept"}
    page = client.post("/card", data=data).text

    assert "bun dough Behälter 1 herausnehmen, nach Counter" in page
    assert "stew Behälter 2, bun dough Behälter 1 für dinner verwenden" in page
    assert not_guidance(full, page) == []


def test_a_warm_place_and_a_pan_that_cools_are_told_in_the_language(house, client):
    (code,) = house.prep("stew")
    session = house.session()
    for minutes in (180, 90, 5):
        at = house.now - timedelta(minutes=minutes)
        type_reading(session, "Fridge", 12.0, at=at)
    with session.write() as unit:
        cooling.start(unit, target_of(unit, code), cooling.Setting(), temp_c=70)
    client.cookies.set(COOKIE, "de")
    page = client.get("/").text

    assert "nach Fridge sehen: Tür, Strom, umräumen?" in page
    assert "über der Grenze, seit Di., 3. Nov. 2026 " in page
    assert "darin: 1 Behälter" in page
    assert "messen, was abkühlt: stew" in page
    assert not_guidance(house, page) == []
