"""What somebody sends who means harm, or whose program is broken.

The answer is a clear no; nothing is recorded half, and the kitchen goes on.
"""

from __future__ import annotations

import json
import re
import sqlite3
import threading
from typing import Any

import httpx
import pytest

from lidclock.app.now import new_ids
from lidclock.domain.texts import LONGEST_NAME

JSON = {"content-type": "application/json"}
TOKEN = re.compile(r'name="csrf" value="([^"]+)"')
# Signs that turn round what stands beside them, have no width, or end a line.
UNSEEN = "\u202e\u200b\u2066\u0000\u001b"


def said(house: Any, code: str, kind: str, **body: Any) -> dict[str, Any]:
    """An event as a page tells it."""
    (event_id,) = new_ids(1)
    at = house.now.isoformat()
    event = {"id": event_id, "kind": kind, "subject": code, "happened_at": at}
    return {**event, "body": body}


def sent(house: Any, client: httpx.Client, *events: Any) -> httpx.Response:
    told = {"events": events, "sent_at": house.now.isoformat()}
    return client.post("/api/v1/events", json=told)


def token(client: httpx.Client) -> str:
    return TOKEN.search(client.get("/kitchen").text)[1]


def filled(client: httpx.Client, **more: str) -> httpx.Response:
    """A batch from the form."""
    (once,) = new_ids(1)
    fields = {
        **{"csrf": token(client), "once": once, "kind": "batch", "food": "stew"},
        **{"is_new": "1", "category": "soup-stew", "none": "1", "count": "2"},
        **{"when": "now", "place": "Fridge"},
    }
    return client.post("/prep", data={**fields, **more})


def codes_in(page: httpx.Response) -> list[str]:
    return sorted(set(re.findall(r"/c/([0-9A-Z]{7})", page.text)))


# Events


def test_a_filling_is_not_taken_back_by_an_event(house, client):
    """Its container would be gone, and what was sent with it would fail for ever."""
    one, other = codes_in(filled(client))
    session = house.session()
    with session.read() as unit:
        filling = next(x for x in unit.ledger.of([one]) if x.kind == "filled")
    undone = said(house, one, "corrected", event=filling.id, void=True)
    answer = sent(house, client, undone, said(house, other, "opened"))

    assert answer.status_code == 200
    results = answer.json()["results"]
    assert [x["result"] for x in results] == ["refused", "recorded"]
    assert "Undo" in results[0]["says"]
    assert client.get(f"/c/{one}").status_code == 200


def test_one_that_is_wrong_spoils_no_other_sent_at_that_moment(house, monkeypatch):
    """Three wait while one is recorded; one of the three is refused late."""
    from lidclock.app import devices
    from lidclock.errors import InputError

    codes, met = house.prep("stew", count=4), threading.Event()
    real = devices._Taking._refuse_early

    def late(taking: Any) -> None:
        met.wait(5)
        if any(one.subject == codes[2] for one in taking.fresh.values()):
            raise InputError("not so")
        real(taking)

    monkeypatch.setattr(devices._Taking, "_refuse_early", late)
    statuses: dict[int, int] = {}

    def device(number: int) -> None:
        with httpx.Client(base_url=house.address, timeout=20) as own:
            event = said(house, codes[number], "opened")
            statuses[number] = sent(house, own, event).status_code

    threads = [threading.Thread(target=device, args=(n,)) for n in range(4)]
    for one in threads:
        one.start()
    threads[0].join(0.3)
    met.set()
    for one in threads:
        one.join()

    assert statuses == {0: 200, 1: 200, 2: 422, 3: 200}


def test_while_another_program_writes_nothing_is_half_recorded(house, client):
    """And nobody is told where the database lies."""
    (code,) = house.prep("stew")
    other = sqlite3.connect(house.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    # It waits five seconds for the other one, and the machine may be busy.
    client.timeout = 30
    answer = sent(house, client, said(house, code, "used"))
    page = client.post(f"/c/{code}", data={"csrf": token(client), "do": "missing"})
    looked = client.get("/shelf")
    other.rollback()
    other.close()

    assert (answer.status_code, page.status_code) == (503, 503)
    assert looked.status_code == 200
    for text in (answer.text, page.text):
        assert "locked by another program" in text
        assert str(house.path.parent) not in text
    assert client.get(f"/api/v1/containers/{code}").json()["ended"] is None


# Texts


@pytest.mark.parametrize("letters", [LONGEST_NAME + 1, 500_000])
def test_a_name_without_an_end_is_refused(client, letters):
    answer = filled(client, food="x" * letters)

    assert answer.status_code == 422
    assert len(answer.text) < 5_000
    assert client.get("/api/v1/foods").json() == []


@pytest.mark.parametrize(("kind", "key"), [("discarded", "reason"), ("given", "to")])
def test_what_cannot_be_seen_is_left_out_of_what_devices_say(house, client, kind, key):
    (code,) = house.prep("stew")
    answer = sent(house, client, said(house, code, kind, **{key: f"old{UNSEEN} 12"}))
    (fact,) = [
        x
        for x in client.get(f"/api/v1/containers/{code}").json()["history"]
        if x["kind"] == kind
    ]

    assert answer.json()["results"][0]["result"] == "recorded"
    assert fact["body"][key] == "old 12"


@pytest.mark.parametrize(
    ("do", "kind", "key"), [("discard", "discarded", "reason"), ("give", "given", "to")]
)
def test_the_same_of_what_is_typed_on_the_page(house, client, do, kind, key):
    (code,) = house.prep("stew")
    typed = {"csrf": token(client), "do": do, "text": f"old{UNSEEN} 12"}
    client.post(f"/c/{code}", data=typed)
    (fact,) = [
        x
        for x in client.get(f"/api/v1/containers/{code}").json()["history"]
        if x["kind"] == kind
    ]

    assert fact["body"][key] == "old 12"


def test_a_lot_cannot_turn_the_label_round(client):
    page = filled(client, lot=f"L{UNSEEN}12")
    (code, _) = codes_in(page)

    assert client.get(f"/api/v1/containers/{code}").json()["lot"] == "L12"


@pytest.mark.parametrize("text", [f"no {UNSEEN}", "x" * 3000])
def test_no_recorded_text_is_without_an_end_or_turns_others_round(house, text):
    """Whatever records it."""
    from lidclock.app.session import Fact
    from lidclock.errors import InputError

    (code,) = house.prep("stew")
    session = house.session()
    fact = Fact("noted", code, {"kept": [{"deep": text}]})
    with session.write() as unit, pytest.raises(InputError):
        unit.record([fact])


def test_a_long_word_in_a_search_is_no_work(client):
    answer = client.get("/guidance", params={"q": "a b" * 15_000})

    # What is looked for is what is shown: the beginning.
    assert answer.status_code == 200
    assert answer.text.count("a b") < 200


def test_half_characters_are_refused_when_a_scan_is_weighed(house, client):
    (code,) = house.prep("stew")
    for line, action, reason in (
        (code, "DISCARD", "\ud800"),
        ("\ud800", "LOOK", ""),
        (code, "\udfff", ""),
    ):
        body = json.dumps({"line": line, "action": action, "reason": reason})
        answer = client.post("/scan/check", content=body, headers=JSON)

        assert answer.status_code == 422
        assert "half a character" in answer.text


@pytest.mark.parametrize(
    "referer",
    ["http://[", "https://evil.example/c/x", "//evil.example", "javascript:alert(1)"]
    + ["", "about:blank", "http://%s//evil.example", "http://%s/\\\\evil.example"],
)
def test_the_way_back_leads_to_a_page_of_this_kitchen(house, client, referer):
    here = house.address.removeprefix("http://")
    answer = client.get("/c/4F7K2M0", headers={"Referer": referer.replace("%s", here)})

    assert answer.status_code in (404, 422)
    assert "evil" not in answer.text
    assert "javascript:" not in answer.text


def test_the_way_back_is_the_page_before(house, client):
    answer = client.get("/c/4F7K2M0", headers={"Referer": f"{house.address}/shelf?q=x"})

    assert 'href="/shelf?q=x"' in answer.text
