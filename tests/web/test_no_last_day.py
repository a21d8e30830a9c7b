"""A container of unknown age in a warm fridge: an hour it ends by gives it no last day.

Whoever reads "use by 15:14" takes it to be good until then.
"""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from lidclock.app import prep, temps
from lidclock.app.list_words import date_words
from lidclock.app.listed_words import listed_words
from lidclock.app.lists import listed
from lidclock.domain.foods import Food

SAID = "no last day, in any case not after 09:30 Tue 3 Nov"


@pytest.fixture
def code(house):
    """Taken in at 07:30 on Tue 3 Nov without a making time; its fridge is warm."""
    session = house.session()
    food = Food("pea soup", "soup-stew", ())
    with session.write() as unit:
        (code,) = prep.adopt(unit, food, place=session.place("Fridge")).codes
    temps.type_reading(house.session(), "Fridge", 9.5, anyway=True)
    return code


def stored(session, code):
    with session.read() as unit:
        known = unit.snapshots.get(code)
    assert (known.standing, known.last_moment is None) == ("unknown", False)
    return listed(session, known)


@pytest.mark.parametrize(
    "path", ["/", "/alerts", "/shelf", "/temperatures/place?name=Fridge", "/c/{code}"]
)
def test_no_page_gives_it_a_use_by(client, code, path):
    page = client.get(path.format(code=code)).text
    words = " ".join(re.sub("<[^>]*>", " ", page).split()).casefold()

    assert "pea soup" in words
    assert "use by" not in words
    assert "no last day" in words


def test_its_place_says_that_it_has_none_and_what_holds_in_any_case(
    house, client, code
):
    assert listed_words(stored(house.session(), code)) == SAID
    assert SAID in client.get("/temperatures/place?name=Fridge").text


def test_paper_says_so_too(house, code):
    assert date_words(stored(house.session(), code)) == (
        "no last day: check, or discard, in any case not after 09:30 Tue 3 Nov 2026"
    )


def test_when_that_hour_has_come_it_still_never_had_a_last_day(house, code):
    house.now += timedelta(hours=3)
    found = stored(house.session(), code)

    assert found.status == "over"
    assert listed_words(found) == SAID


def test_the_api_gives_it_no_last_day(client, code):
    (one,) = client.get("/api/v1/shelf").json()["containers"]

    assert (one["code"], one["status"], one["last_day"]) == (code, "unknown", None)
