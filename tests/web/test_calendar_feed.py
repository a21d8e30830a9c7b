"""The calendar behind its secret: who may read it, and until when."""

from __future__ import annotations

import sqlite3

import icalendar
import pytest

from lidclock.app.feed import feed_since, make_feed, revoke_feed


def ask(client, token=None):
    params = {} if token is None else {"token": token}
    return client.get("/calendar.ics", params=params)


def test_who_knows_the_secret_reads_the_calendar(house, client):
    house.prep("stew", days_ago=1)
    answer = ask(client, make_feed(house.session()))

    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith("text/calendar")
    entries = icalendar.Calendar.from_ical(answer.content).walk("VEVENT")
    assert [str(one["SUMMARY"]) for one in entries] != []


def test_head_of_the_calendar(house, client):
    token = make_feed(house.session())

    assert client.head(f"/calendar.ics?token={token}").status_code == 200
    assert client.head("/calendar.ics?token=x").status_code == 404


@pytest.mark.parametrize("token", [None, "", "x", "x" * 5000, "\x00", "é", "%ud800"])
def test_a_wrong_secret_is_no_address(house, client, token):
    without = ask(client, token)
    make_feed(house.session())
    wrong = ask(client, token)

    assert (without.status_code, wrong.status_code) == (404, 404)
    assert without.json() == wrong.json()


def test_a_new_secret_ends_the_old_one_and_revoking_ends_all(house, client):
    session = house.session()
    old, new = make_feed(session), make_feed(session)

    assert (ask(client, old).status_code, ask(client, new).status_code) == (404, 200)
    assert feed_since(session) == house.now
    assert revoke_feed(session)
    assert not revoke_feed(session)
    assert feed_since(session) is None
    assert ask(client, new).status_code == 404


def test_the_secret_itself_is_not_kept(house):
    token = make_feed(house.session())
    with sqlite3.connect(house.path) as raw:
        ((kept,),) = raw.execute("SELECT token_hash FROM feed")
    raw.close()

    assert len(token) >= 43
    assert token not in kept
    # SHA-256 as 64 hexadecimal figures: FIPS 180-4.
    assert len(kept) == 64
