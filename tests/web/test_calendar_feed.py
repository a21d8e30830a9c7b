"""The calendar behind its secret: who may read it, and until when."""

from __future__ import annotations

import re
import sqlite3
from html import unescape
from io import BytesIO

import icalendar
import pytest
import zxingcpp
from PIL import Image
from tests.web.pages import hidden_fields

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


def address_on(page):
    """The address that a page shows, as plain text."""
    (found,) = re.findall(r'class="address"[^>]*>([^<]+)<', page.text)
    return unescape(found)


def change(client, do):
    form = hidden_fields(client.get("/kitchen").text, "/kitchen/calendar#calendar")
    return client.post("/kitchen/calendar", data={**form, "do": do})


def test_an_owner_makes_the_address_and_sees_it_once(house, client):
    assert "no address yet" in client.get("/kitchen").text
    page = change(client, "make")
    address = address_on(page)

    assert page.status_code == 200
    assert page.headers["cache-control"] == "no-store"
    assert page.url.path == "/kitchen/calendar"
    assert page.url.query == b""
    assert address.startswith(f"{house.address}/calendar.ics?token=")
    assert client.get(address).status_code == 200
    # Not in a link, which a browser would keep in its list and send along.
    token = address.partition("token=")[2]
    assert page.text.count(token) == 1
    later = client.get("/kitchen").text
    assert token not in later
    assert "There has been an address since Tue 3 Nov 2026 07:30" in later


def test_the_symbol_beside_it_holds_the_address(house, phone):
    """Read by a program that did not draw it (zxing-cpp), out of what is seen."""
    phone.goto("/kitchen")
    phone.get_by_role("button", name="Make an address").click()
    symbol = phone.get_by_role("img", name="QR code of the calendar's address")
    seen = Image.open(BytesIO(symbol.screenshot()))

    (found,) = zxingcpp.read_barcodes(seen)
    assert found.text == phone.locator(".address").inner_text()
    assert found.text.startswith(f"{house.address}/calendar.ics?token=")


def test_an_owner_makes_a_new_address_and_ends_it(client):
    old, new = (address_on(change(client, "make")) for _ in range(2))
    assert client.get(old).status_code == 404
    assert client.get(new).status_code == 200

    page = change(client, "end")
    assert "no address yet" in page.text
    assert client.get(new).status_code == 404


def test_a_form_of_another_site_makes_no_address(house, client):
    assert client.post("/kitchen/calendar", data={"do": "make"}).status_code == 403
    assert feed_since(house.session()) is None


def test_programs_of_owners_make_and_end_the_address(client):
    made = client.post("/api/v1/calendar", json={"do": "make"}).json()
    known = client.get("/api/v1/calendar").json()
    assert client.get(made["address"]).status_code == 200
    assert made["address"].endswith(made["token"])
    assert known == {
        "since": "2026-11-03T07:30:00-05:00",
        "token": None,
        "address": None,
    }
    ended = client.post("/api/v1/calendar", json={"do": "end"}).json()

    assert ended == {"since": None, "token": None, "address": None}
    assert client.get(made["address"]).status_code == 404
    assert client.post("/api/v1/calendar", json={"do": "tell"}).status_code == 422


def test_no_log_holds_the_secret(client, caplog, capfd):
    with caplog.at_level("DEBUG"):
        address = address_on(change(client, "make"))
        client.get(address)
        client.get(address.replace("calendar.ics", "nowhere"))
    token = address.partition("token=")[2]
    written = capfd.readouterr()
    of_server = [one for one in caplog.records if not one.name.startswith("http")]

    assert token not in "".join(one.getMessage() for one in of_server)
    assert token not in written.out + written.err
