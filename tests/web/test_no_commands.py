"""What a page or the API says names no command: its readers have no command line."""

from __future__ import annotations

import json
import re
from html import unescape

import pytest
from click.testing import CliRunner

from lidclock.app import meal_plan, moves
from lidclock.app.feed import make_feed
from lidclock.cli.main import main

_ID = "019a0f3e-7c00-7a11-8c21-5d0f3a9e4b77"
# An option stands by itself: `stew --old` is what somebody typed.
_OPTION = re.compile(r"(?<![\w'-])--[a-z]")


def assert_plain(answer):
    """It says something, and neither a command nor an option."""
    text = unescape(answer.text)
    assert text
    assert "`" not in text
    assert _OPTION.findall(text) == []


@pytest.fixture
def full(house):
    """A kitchen whose card, lists and containers have much to say."""
    codes = {
        "stew": house.prep("stew", count=2, days_ago=3),
        "old": house.prep("old", days_ago=9),
        "bread": house.prep("bread", "bread-baked"),
        "frozen": house.prep("frozen", count=2, days_ago=1),
        "lost": house.prep("lost"),
    }
    session = house.session()
    with session.write() as unit:
        moves.freeze(unit, codes["frozen"][0])
        moves.missing(unit, codes["lost"][0])
    meal_plan.put_down(session, house.now.replace(hour=23), [("frozen", 2)], name="x")
    return {name: found[0] for name, found in codes.items()}


def page_refusals(code):
    """Path, what is sent there, and a part of what is said, by what is wrong."""
    here, use = f"/c/{code}", {"line": code, "action": "USE"}
    shed = {"do": "place", "place": "Shed"}
    meal = {"food0": "nothing", "at": "2026-11-04T12:00"}
    return {
        "no such place": (here, shed, "there are Fridge, Freezer, Counter <"),
        "past its day": (here, {"do": "use"}, "is past its last moment"),
        "nobody takes it": (here, {"do": "give"}, "say who takes it <"),
        "stale proposal": (
            "/card",
            {"key": "x", "answer": "accept"},
            "no longer so: look at the card again <",
        ),
        "stale alert": ("/alerts", {"key": "x", "answer": "mine"}, "no longer so"),
        "no such act": ("/undo", {"did": _ID}, "was taken back already"),
        "no printer": ("/labels/print", {"code": code, "printer": "x"}, "none yet <"),
        "not a code": ("/scan", {"line": "ZZZZZZZ"}, "not a container code"),
        "a pack": ("/scan", {"line": "(01)09501101530003"}, "a supplier's pack"),
        "scanned past its day": ("/scan", use, "Scan it again if it is so"),
        "looked at": ("/scan", {"line": code}, "discard"),
        "no such person": ("/people/remove", {"id": "x"}, "nobody of that name"),
        "no such device": ("/devices/revoke", {"id": "x"}, "not paired"),
        "no such food": ("/plan/meals", meal, "no food 'nothing'"),
        "no printer there": (
            "/kitchen/printers",
            {"do": "remove", "name": "x"},
            "there is none yet <",
        ),
    }


@pytest.mark.parametrize("name", page_refusals("x"))
def test_a_refusal_on_a_page_names_no_command(full, client, name):
    path, fields, says = page_refusals(full["old"])[name]
    token = re.search(r'name="csrf" value="([^"]+)"', client.get("/people").text)[1]
    answer = client.post(path, data={"csrf": token, **fields})

    assert says in re.sub(r"\s*</p>", " <", unescape(answer.text))
    assert_plain(answer)


def test_an_answer_to_a_count_that_cannot_hold_names_no_command(full, house, client):
    """It is elsewhere, in a place that was there when the page was made."""
    (seen,) = house.prep("seen")
    count = client.post("/api/v1/stock-takes", json={"place": "Fridge"}).json()
    scans = f"/api/v1/stock-takes/{count['count']}/scans"
    client.post(scans, json={"lines": [seen]})
    page = client.get("/stock-take/end?place=Fridge").text
    token = re.search(r'name="csrf" value="([^"]+)"', page)[1]
    code = full["stew"]
    said = {f"what_{code}": "elsewhere", f"to_{code}": "Shed", "count": count["count"]}
    answer = client.post("/stock-take/end", data={"csrf": token, **said})

    assert "no place 'Shed' in this kitchen" in unescape(answer.text)
    assert_plain(answer)


def api_refusals(code):
    event = {"id": _ID, "subject": code, "happened_at": "2026-11-03T07:00:00-05:00"}

    def sent(says, **more):
        events = [{**event, "body": {}, **more}]
        told = {"events": events, "sent_at": event["happened_at"]}
        return "/api/v1/events", told, says

    stale = {"key": "gone", "answer": "mine"}
    return {
        "no such place": sent('Counter"', kind="placed", body={"place": "Shed"}),
        "no such code": sent("check the seven", kind="used", subject="4F7K2M0"),
        "past its day": sent("it was past its last moment", kind="used"),
        "stale proposal": (
            "/api/v1/card",
            {**stale, "answer": "accept"},
            'that is no longer so: look at the card again"',
        ),
        "stale alert": ("/api/v1/alerts", stale, "no longer so"),
    }


@pytest.mark.parametrize("name", api_refusals("x"))
def test_a_refusal_of_the_api_names_no_command(full, client, name):
    path, body, says = api_refusals(full["old"])[name]

    answer = client.post(path, json=body)

    assert says in answer.text
    assert_plain(answer)


# Not among them is /trust, which tells whoever starts the program how to do it.
PAGES = (
    *("/", "/scan", "/shelf", "/more", "/alerts", "/kitchen", "/people", "/devices"),
    *("/prep", "/prep/pack", "/prep/adopt", "/plan", "/plan/pull", "/plan/prep"),
    *("/guidance", "/language", "/login", "/pair", "/prep?food=old"),
    *("/api/v1/shelf", "/api/v1/alerts", "/api/v1/places"),
)
# Foods of which guidance says that a kitchen has to choose, or that the pack tells.
KINDS = (
    "yeast-dough-raw",
    "bread-baked",
    "other",
    "vinegar",
    "milk",
    "cooked-vegetables",
)


@pytest.mark.parametrize("path", PAGES)
def test_no_page_names_a_command(full, client, path):
    assert full
    answer = client.get(path)

    assert answer.status_code == 200
    assert_plain(answer)


def test_of_a_card_as_data_only_the_hint_names_a_command(full, client):
    """It is for whoever writes a program, and is called so."""
    assert full
    card = client.get("/api/v1/card").json()
    every = [*card["proposals"], *card["more"], *card["agreed"]]

    hints = [one.pop("hint") for one in every]

    assert any("`lidclock" in hint for hint in hints if hint)
    assert "`" not in json.dumps(card)


def test_no_page_of_a_container_names_a_command(full, client):
    for code in full.values():
        assert_plain(client.get(f"/c/{code}"))
        assert_plain(client.get(f"/api/v1/containers/{code}"))
        assert_plain(client.get(f"/labels?code={code}"))


@pytest.mark.parametrize("path", ["/prep", "/prep/pack", "/prep/adopt"])
@pytest.mark.parametrize("kind", KINDS)
def test_no_page_of_a_food_names_a_command(client, path, kind):
    assert_plain(client.get(f"{path}?food={kind}"))


@pytest.mark.parametrize("path", ["/c/4F7K2M0", "/plan/pull?on=x", "/nowhere"])
def test_no_page_that_is_not_there_names_a_command(client, path):
    answer = client.get(path)

    assert answer.status_code in (404, 422)
    assert_plain(answer)


def test_the_calendar_names_no_command(full, house, client):
    assert full
    assert_plain(client.get(f"/calendar.ics?token={make_feed(house.session())}"))


def test_a_command_line_is_told_the_command(house):
    """The same refusals there say what to run."""
    (code,) = house.prep("stew", days_ago=9)
    run = CliRunner(env={"LIDCLOCK_DB": str(house.path)}).invoke
    place = run(main, ["scan", code, "--to", "Shed"])
    odd = run(main, ["scan", code, "--use"])

    assert "(add one with `lidclock place add`)" in place.stderr
    assert "--anyway" in odd.stderr
