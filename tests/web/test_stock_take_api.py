"""Recounting a place through the API, and who may."""

import sqlite3
from concurrent.futures import ThreadPoolExecutor, wait

import pytest

from lidclock.domain.people import HELPER, KIOSK, Visitor
from lidclock.domain.stock_takes import stock_take_subject
from lidclock.web.people import may

API = "/api/v1/stock-takes"


def begun(client, place="Fridge"):
    return client.post(API, json={"place": place}).json()


def test_a_count_is_begun_scanned_recorded_and_taken_back(house, client):
    one, two, three = house.prep("stew", count=3)
    count = begun(client)
    assert (count["seen"], count["expected"]) == (0, 3)
    # Begun again it is the same one.
    assert begun(client, "fridge")["count"] == count["count"]
    path = f"{API}/{count['count']}"

    told = client.post(f"{path}/scans", json={"lines": [one, one, "4F7K2M0", "?"]})
    assert [x["kind"] for x in told.json()["answers"]] == ["good", "good", "bad", "bad"]
    assert told.json()["answers"][0]["says"] == "1 of 3  stew box 1"
    state = client.get(path).json()
    assert [x["code"] for x in state["missing"]] == [two, three]
    assert state["not_known"] == ["4F7K2M0", "?"]

    answers = [
        {"code": two, "what": "lost"},
        {"code": three, "what": "elsewhere", "place": "Counter", "at": "nine"},
    ]
    said = client.post(f"{path}/record", json={"answers": answers})
    assert said.status_code == 422
    assert "not an ISO 8601 time" in said.json()["error"]
    # It was put into the fridge at half past: before that it may have been anywhere.
    answers[1] |= {"at": "2026-11-03T07:20:00-05:00"}
    early = client.post(f"{path}/record", json={"answers": answers[1:]}).json()
    assert "it was put in Fridge after that" in early["refused"][three]
    client.post(f"{path}/undo", json={})
    answers[1] |= {"at": "2026-11-03T07:30:00-05:00"}
    done = client.post(f"{path}/record", json={"answers": answers}).json()
    assert done["recorded"] == {"lost": [two], "elsewhere": [three]}
    assert (done["seen"], done["missing"], done["refused"]) == (1, [two, three], {})
    assert client.get(f"/api/v1/containers/{three}").json()["place"] == "Counter"
    assert client.get(path).status_code == 409
    assert client.post(f"{path}/scans", json={"lines": [two]}).status_code == 409

    again = client.post(f"{path}/undo", json={}).json()
    assert (again["seen"], again["expected"]) == (1, 3)
    assert client.get(f"/api/v1/containers/{two}").json()["ended"] is None


def test_an_answer_that_cannot_hold_is_told_and_the_rest_is_recorded(house, client):
    (over,) = house.prep("bean stew", days_ago=9)
    fresh, gone = house.prep("ragu", count=2)
    path = f"{API}/{begun(client)['count']}"
    client.post(f"{path}/scans", json={"lines": [fresh]})
    answers = [{"code": over, "what": "eaten"}, {"code": gone, "what": "eaten"}]
    done = client.post(f"{path}/record", json={"answers": answers}).json()

    assert list(done["refused"]) == [over]
    assert "if it was eaten before that, say when" in done["refused"][over]
    assert done["recorded"] == {"eaten": [gone]}


def test_a_count_that_two_record_at_once_is_recorded_once(house, client):
    """Both ask while a third program writes, so that neither is first."""
    seen, gone = house.prep("stew", count=2)
    path = f"{API}/{begun(client)['count']}"
    client.post(f"{path}/scans", json={"lines": [seen]})
    sent = {"answers": [{"code": gone, "what": "eaten"}]}
    other = sqlite3.connect(house.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with ThreadPoolExecutor(2) as both:
        asked = [
            both.submit(client.post, f"{path}/record", json=sent, timeout=30)
            for _ in range(2)
        ]
        wait(asked, timeout=1)
        other.execute("ROLLBACK")
        statuses = sorted(one.result().status_code for one in asked)
    (counted,) = other.execute(
        "SELECT count(*) FROM event WHERE subject = ?", (stock_take_subject("Fridge"),)
    ).fetchone()
    other.close()

    assert statuses == [200, 409]
    assert counted == 1


def test_places_tell_what_they_hold_and_when_they_were_counted(house, client):
    (code,) = house.prep("stew")
    path = f"{API}/{begun(client)['count']}"
    client.post(f"{path}/scans", json={"lines": [code]})
    assert client.post(f"{path}/drop", json={}).status_code == 200
    fridge = next(x for x in client.get(API).json() if x["place"] == "Fridge")
    assert fridge == {"place": "Fridge", "expected": 1, "last_at": None, "count": None}

    path = f"{API}/{begun(client)['count']}"
    assert client.post(f"{path}/record", json={}).status_code == 409
    client.post(f"{path}/scans", json={"lines": [code]})
    client.post(f"{path}/record", json={})
    fridge = next(x for x in client.get(API).json() if x["place"] == "Fridge")
    assert fridge["last_at"] == "2026-11-03T07:30:00-05:00"


@pytest.mark.parametrize(
    ("path", "sent", "status"),
    [
        ("", {"place": "Cellar"}, 404),
        ("", {"place": "Fridge", "more": 1}, 422),
        ("/none", None, 404),
        ("/none/scans", {"lines": []}, 404),
        ("/none/record", {}, 404),
        ("/none/undo", {}, 404),
    ],
)
def test_what_is_not_there_or_not_known_is_refused(client, path, sent, status):
    if sent is None:
        assert client.get(API + path).status_code == status
    else:
        assert client.post(API + path, json=sent).status_code == status


def test_helpers_recount_and_a_display_does_not():
    helper, kiosk = Visitor("ana", HELPER), Visitor("", KIOSK)
    for path in ("/stock-take", "/stock-take/end", f"{API}/x/record"):
        assert may(helper, "POST", path)
        assert not may(kiosk, "GET", path)
        assert not may(kiosk, "POST", path)
