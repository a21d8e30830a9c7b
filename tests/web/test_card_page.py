"""The card in a browser: what it shows, and what a tap does."""

import re
import sqlite3

import pytest
from tests.web.pages import hidden_fields

from lidclock.app import prep
from lidclock.domain.foods import Food


def test_the_card_says_what_ends_today_and_one_tap_agrees(house, phone):
    house.prep("stew", count=2, days_ago=3)
    phone.goto("/")

    assert "use up: stew box 1 and 2" in phone.inner_text("main")
    phone.get_by_role("button", name="Yes").click()

    phone.get_by_text("Agreed").wait_for()
    assert phone.get_by_role("button", name="Yes").count() == 0


def test_a_form_of_another_site_is_refused(client):
    answer = client.post("/card", data={"key": "x", "answer": "accept"})

    assert answer.status_code == 403
    assert "open the page again" in answer.text


def test_every_answer_says_what_may_run(client):
    for path in ("/", "/shelf", "/static/page.css", "/nowhere"):
        headers = client.get(path).headers
        assert "script-src 'self'" in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"


def text_of(page):
    return re.sub("<[^>]*>", "", page)


def on_card(client, button, **fields):
    """Answer the first proposal."""
    form = hidden_fields(client.get("/").text, "/card", button)
    return client.post("/card", data={**form, **fields})


def test_a_proposal_links_its_containers_and_says_what_is_at_stake(house, client):
    codes = house.prep("stew", count=2, days_ago=3)
    page = client.get("/").text

    for code in codes:
        assert f'href="/c/{code}"' in page
    assert "at stake: 2 portions" in page
    assert "18:30" in page


@pytest.mark.parametrize("path", ["/", "/api/v1/card"])
def test_the_card_is_shown_while_another_program_writes(house, client, path):
    """Who looks needs no lock, and keeps nobody who records waiting."""
    house.prep("stew", days_ago=3)
    other = sqlite3.connect(house.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    answer = client.get(path, timeout=30)
    other.close()

    assert answer.status_code == 200
    assert "use up" in answer.text


def test_what_was_agreed_can_be_dropped(house, client):
    house.prep("stew", count=2, days_ago=3)
    page = on_card(client, "Yes", answer="accept").text
    assert "Agreed" in page
    assert "Recorded: accepted" in page
    form = hidden_fields(page, "/card", "Not any more")
    assert (
        "Agreed</h2>"
        not in client.post("/card", data={**form, "answer": "decline"}).text
    )


def test_what_was_agreed_can_be_done_before_its_hour(house, client):
    (code,) = house.prep("ragu", days_ago=3)
    page = on_card(client, "Yes", answer="accept").text
    form = hidden_fields(page, "/card", "Done already")
    client.post("/card", data={**form, "answer": "done"})
    session = house.session()
    with session.read() as unit:
        ended = [one.code for one in unit.snapshots.find(live=False) if one.end_kind]
    assert ended == [code]


def test_a_proposal_is_put_off_to_an_hour_or_declined_with_a_reason(house, client):
    house.prep("stew", count=2, days_ago=3)
    assert "10:30" in client.get("/").text
    page = on_card(client, "put-off", until="2026-11-03T10:30:00-05:00").text
    assert "1 was put off or declined" in page
    assert "Recorded: put off: use up: stew" in " ".join(text_of(page).split())
    undo = hidden_fields(page, "/undo")
    undone = client.post("/undo", data=undo).text
    assert "put off or declined" not in undone
    assert "Taken back." in undone
    page = on_card(client, "Why not", answer="decline", text="guests cancelled").text
    assert "Recorded: declined" in page


def test_what_was_looked_at_is_recorded_as_seen_to(house, client):
    session = house.session()
    with session.write() as unit:
        food = Food("pea soup", "soup-stew", ())
        prep.adopt(unit, food, place=session.place("Fridge"))
    page = on_card(client, "Seen to", answer="accept").text

    said = "Recorded: seen to: find out what is not known of pea soup"
    assert said in " ".join(text_of(page).split())


def test_a_proposal_that_is_no_longer_so_says_so(house, client):
    house.prep("stew", days_ago=9)
    form = hidden_fields(client.get("/").text, "/card", "Yes")
    again = client.post("/card", data={**form, "key": "gone", "answer": "accept"})
    assert again.status_code == 409
    assert "no longer so" in again.text
