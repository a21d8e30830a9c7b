"""The API over real connections: what it gives, what it takes, what it refuses."""

from __future__ import annotations

import gzip
import json
import socket
import threading
import time
from datetime import timedelta

import httpx
import pytest
from click.testing import CliRunner

from every_proposal import MORNING, furnish_card
from lidclock.cli.main import main
from lidclock.plan.proposal import KINDS

READS = ("shelf", "card", "places", "foods", "openapi")


def an_id(number: int) -> str:
    return f"019a0000-0000-7000-8000-{number:012x}"


def told(house, number, kind, code, minutes_ago=5, /, **body):
    at = house.now - timedelta(minutes=minutes_ago)
    return {
        "id": an_id(number),
        "kind": kind,
        "subject": code,
        "happened_at": at.isoformat(),
        "body": body,
    }


def send(client, house, *events):
    sent = {"events": list(events), "sent_at": house.now.isoformat()}
    answer = client.post("/api/v1/events", json=sent)
    assert answer.status_code == 200, answer.text
    return answer.json()


def address(name):
    return "/openapi.json" if name == "openapi" else f"/api/v1/{name}"


def test_the_shelf_says_what_is_where_and_what_each_lid_shows(house, client):
    (code,) = house.prep("stew", days_ago=1)
    found = client.get("/api/v1/shelf").json()

    assert found["now"] == "2026-11-03T07:30:00-05:00"
    assert found["kitchen"] == {
        "name": "Test kitchen",
        "zone": "America/New_York",
        "units": "metric",
    }
    assert {"name": "Fridge", "state": "fridge"} in found["places"]
    (one,) = found["containers"]
    assert (one["code"], one["food"], one["place"]) == (code, "stew", "Fridge")
    # Made Mon 2 Nov; soups and stews 3 to 4 days: the fourth is Thu 5 Nov.
    assert (one["status"], one["last_day"]) == ("keep", "2026-11-05")
    assert (one["word"], one["note"]) == ("Thu 5 Nov", "use by")
    assert one["segments"] == ["spent", "left", "left", "left"]


def test_a_container_says_why_and_what_happened_and_what_may_follow(house, client):
    (code,) = house.prep("stew", days_ago=1)
    send(client, house, told(house, 1, "placed", code, place="Freezer"))
    send(client, house, told(house, 2, "opened", code, 2))
    undo = told(house, 3, "corrected", code, event=an_id(2), void=True)
    send(client, house, undo)
    found = client.get(f"/api/v1/containers/{code.lower()}").json()

    assert found["status"] == found["verdict"]["status"] == "paused"
    assert found["verdict"]["next"] == ["take out", "hand on", "discard"]
    assert found["verdict"]["limits"][0]["authority"]
    assert found["verdict"]["limits"][0]["why"]
    kinds = [(one["kind"], one["voided"]) for one in found["history"]]
    assert kinds[-2:] == [("placed", False), ("opened", True)]
    assert kinds[0] == ("made", False)


def test_the_card_and_an_answer_to_it(house, client):
    house.prep("stew", days_ago=3)
    (one,) = client.get("/api/v1/card").json()["proposals"]
    answer = client.post("/api/v1/card", json={"key": one["key"], "answer": "accept"})

    assert answer.status_code == 200
    assert answer.json()["agreed"] == [one["says"]]
    card = client.get("/api/v1/card").json()
    assert card["proposals"] == []
    assert [x["says"] for x in card["agreed"]] == [one["says"]]


def test_a_proposal_is_the_same_as_the_command_line_tells_it(house, client):
    furnish_card(house.session)
    house.now = MORNING
    settings = {"LIDCLOCK_DB": str(house.path), "LIDCLOCK_NOW": "2026-11-03T07:30"}
    result = CliRunner(env=settings).invoke(main, ["today", "--json"])
    card = client.get("/api/v1/card").json()
    every = [*card["proposals"], *card["more"]]
    found = {one["kind"]: one for one in every}
    stew = next(one for one in every if one["says"] == "make 2 x stew")

    assert result.exit_code == 0, result.output
    assert card == json.loads(result.stdout)
    assert set(found) == set(KINDS)
    assert stew["wants"] == [{"food": "stew", "portions": 2}]
    assert stew["loss"] == {"portions": 2, "money": 6, "harm": False}
    assert found["discard"]["loss"]["harm"]
    assert found["discard"]["hint"].startswith("`lidclock scan ")


@pytest.mark.parametrize("name", [*READS, "changes"])
def test_head_works_where_get_does_and_has_no_body(house, client, name):
    house.prep("stew")
    head = client.head(address(name))

    assert head.status_code == 200
    assert head.content == b""
    if name != "changes":
        got = client.get(address(name)).headers
        assert head.headers["content-type"] == got["content-type"]


def test_head_of_a_container_and_of_none(house, client):
    (code,) = house.prep("stew")

    assert client.head(f"/api/v1/containers/{code}").status_code == 200
    assert client.head("/api/v1/containers/0000000").status_code == 404


@pytest.mark.parametrize(
    ("method", "path", "body", "status"),
    [
        ("GET", "containers/0000000", None, 404),
        ("GET", "containers/%00%F0%9F%8D%B2", None, 404),
        ("GET", "nothing", None, 404),
        ("DELETE", "shelf", None, 405),
        ("POST", "card", {"key": "use/nothing", "answer": "accept"}, 409),
        ("POST", "card", {"key": "use/nothing", "answer": "maybe"}, 422),
        ("POST", "card", {"answer": "accept"}, 422),
        ("POST", "card", [], 422),
        ("POST", "events", [], 422),
        ("POST", "events", {}, 422),
        ("POST", "events", {"events": {}, "sent_at": "2026-11-03T12:30:00Z"}, 422),
        ("POST", "events", {"events": []}, 422),
        ("POST", "events", {"events": [], "sent_at": "now"}, 422),
        ("POST", "events", {"events": [], "sent_at": "2026-11-03T12:30:00"}, 422),
    ],
)
def test_refusals_are_json_with_words(client, method, path, body, status):
    answer = client.request(method, f"/api/v1/{path}", json=body)

    assert answer.status_code == status
    assert len(answer.json()["error"]) > 5


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"{",
        b"\xff\xfe",
        b"[" * 200_000,
        b'{"events":' * 100_000,
        b'{"events": [], "sent_at": NaN}',
        b'{"events": [-Infinity], "sent_at": "2026-11-03T12:30:00Z"}',
        b'{"events": [1' + b"0" * 5_000 + b'], "sent_at": "2026-11-03T12:30:00Z"}',
        b"\x00" * 100,
        b"sent_at=now",
    ],
)
def test_what_is_not_json_is_refused_in_words(client, raw):
    for path in ("events", "card"):
        answer = client.post(
            f"/api/v1/{path}",
            content=raw,
            headers={"Content-Type": "application/json"},
        )
        assert answer.status_code == 422
        assert answer.json()["error"]


def test_half_characters_are_refused_and_the_answer_can_still_be_sent(house, client):
    (code,) = house.prep("stew")
    bad = [
        {**told(house, 1, "discarded", code), "body": {"reason": "\ud800"}},
        {**told(house, 2, "used", code), "id": "\udfff"},
        {"\ud800": 1},
    ]
    raw = json.dumps({"events": bad, "sent_at": house.now.isoformat()}).encode()
    answer = client.post(
        "/api/v1/events", content=raw, headers={"Content-Type": "application/json"}
    )

    assert [x["result"] for x in answer.json()["results"]] == ["refused"] * 3


def test_a_form_of_another_site_cannot_send_events(house, client):
    (code,) = house.prep("stew")
    sent = {
        "events": [told(house, 1, "used", code)],
        "sent_at": house.now.isoformat(),
    }
    for kind in ("text/plain", "application/x-www-form-urlencoded", ""):
        answer = client.post(
            "/api/v1/events",
            content=json.dumps(sent).encode(),
            headers={"Content-Type": kind},
        )
        assert answer.status_code == 415
    assert client.get(f"/api/v1/containers/{code}").json()["ended"] is None


@pytest.mark.parametrize(("path", "mib"), [("card", 1), ("events", 4)])
def test_a_body_that_is_too_long_is_refused(client, path, mib):
    body = json.dumps({"key": "x" * (mib * 2**20), "answer": "accept"}).encode()
    head = {"Content-Type": "application/json"}
    whole = client.post(f"/api/v1/{path}", content=body, headers=head)

    def parts():
        for start in range(0, len(body), 2**16):
            yield body[start : start + 2**16]

    # Without a length said beforehand it is counted as it comes.
    streamed = client.post(f"/api/v1/{path}", content=parts(), headers=head)
    for answer in (whole, streamed):
        assert answer.status_code == 413
        assert f"at most {mib} MiB" in answer.json()["error"]


def spoken(house, *pieces):
    """What the server answers to raw bytes."""
    host, port = house.address.removeprefix("http://").split(":")
    with socket.create_connection((host, int(port)), timeout=10) as line:
        for piece in pieces:
            line.sendall(piece)
        line.shutdown(socket.SHUT_WR)
        return b"".join(iter(lambda: line.recv(65536), b""))


def test_lies_about_the_length_harm_nobody(house, client):
    head = (
        b"POST /api/v1/events HTTP/1.1\r\nHost: localhost\r\n"
        b"Content-Type: application/json\r\nContent-Length: "
    )
    assert b" 413 " in spoken(house, head + b"9999999999999999999\r\n\r\n{}")
    # More than 64 bits hold: it ends before it begins.
    assert b" 400 " in spoken(house, head + b"99999999999999999999\r\n\r\n{}")
    for length in (b"-1", b"12a", b"1" * 5000):
        assert b" 200 " not in spoken(house, head + length + b"\r\n\r\n{}")
    # Less than was said, and then silence.
    spoken(house, head + b"100\r\n\r\n{}")

    assert client.get("/api/v1/places").status_code == 200


def test_a_slow_body_is_given_up(house, monkeypatch):
    monkeypatch.setattr("lidclock.web.guard.LONGEST_S", 0.2)
    host, port = house.address.removeprefix("http://").split(":")
    with socket.create_connection((host, int(port)), timeout=10) as line:
        line.sendall(
            b"POST /api/v1/events HTTP/1.1\r\n"
            b"Host: localhost\r\nContent-Length: 100\r\n"
            b"Content-Type: application/json\r\n\r\n{"
        )
        # What cannot be read to its end is not gone on with.
        answer = b"".join(iter(lambda: line.recv(65536), b""))

    assert b" 408 " in answer
    assert b"too long" in answer


def test_the_clock_of_the_device_is_told(house, client):
    at = (house.now + timedelta(minutes=5)).isoformat()
    answer = client.post("/api/v1/events", json={"events": [], "sent_at": at}).json()

    assert answer["clock_off_s"] == 300.0
    assert "5 min ahead" in answer["says"]


def test_ten_thousand_queued_events_at_once(house, client):
    codes = house.prep("stew", count=20, days_ago=1)
    events = [
        told(house, n, "placed", codes[n % 20], 600 - n / 20, place="Fridge")
        for n in range(10_000)
    ]
    sent = {"events": events, "sent_at": house.now.isoformat()}
    answer = client.post("/api/v1/events", json=sent, timeout=120).json()

    assert {one["result"] for one in answer["results"]} == {"recorded"}
    assert len(answer["results"]) == 10_000
    more = client.post(
        "/api/v1/events", json={**sent, "events": [None] * 10_001}, timeout=60
    )
    assert more.status_code == 413


def test_many_devices_at_once_are_each_answered_for_their_own(house):
    codes = house.prep("stew", count=8)
    answers: dict[int, list[str]] = {}

    def device(number):
        with httpx.Client(base_url=house.address) as own:
            answers[number] = [
                f"{x['id']} {x['result']}"
                for n in range(15)
                for x in send(
                    own,
                    house,
                    told(house, 100 * number + n, "opened", codes[number], 1),
                )["results"]
            ]

    threads = [threading.Thread(target=device, args=(n,)) for n in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert answers == {
        number: [f"{an_id(100 * number + n)} recorded" for n in range(15)]
        for number in range(8)
    }


def test_what_fails_in_one_request_does_not_fail_the_others(house, monkeypatch):
    """Three wait while one is recorded; one of the three meets a bug."""
    from lidclock.app import devices

    codes = house.prep("stew", count=4)
    real, met = devices.read_event, threading.Event()

    def faulty(facts, session):
        met.wait(5)
        if facts["subject"] == codes[2]:
            raise ZeroDivisionError
        return real(facts, session)

    monkeypatch.setattr("lidclock.app.devices.read_event", faulty)
    statuses: dict[int, int] = {}

    def device(number):
        sent = {
            "events": [told(house, number, "used", codes[number], 1)],
            "sent_at": house.now.isoformat(),
        }
        answer = httpx.post(f"{house.address}/api/v1/events", json=sent, timeout=20)
        statuses[number] = answer.status_code

    threads = [threading.Thread(target=device, args=(n,)) for n in range(4)]
    for thread in threads:
        thread.start()
    threads[0].join(0.3)
    met.set()
    for thread in threads:
        thread.join()

    assert statuses == {0: 200, 1: 200, 2: 500, 3: 200}


def test_long_answers_are_packed(house, client):
    house.prep("stew", count=30)
    with client.stream("GET", "/api/v1/shelf") as answer:
        raw = b"".join(answer.iter_raw())

    assert answer.headers["content-encoding"] == "gzip"
    assert len(json.loads(gzip.decompress(raw))["containers"]) == 30


def listening(house):
    """The lines of a stream of changes."""
    with httpx.stream("GET", f"{house.address}/api/v1/changes", timeout=5) as answer:
        assert answer.headers["content-type"].startswith("text/event-stream")
        yield from answer.iter_lines()


def next_position(lines):
    for line in lines:
        if line.startswith("data: "):
            return json.loads(line.removeprefix("data: "))["position"]
    raise AssertionError("the stream ended")


def test_a_change_is_heard_within_a_second_whoever_made_it(house, client):
    (code,) = house.prep("stew")
    lines = listening(house)
    first = next_position(lines)
    began = time.perf_counter()
    send(client, house, told(house, 1, "opened", code, 1))
    second = next_position(lines)
    # Another connection to the same file, as the command line has one.
    house.prep("dal")
    third = next_position(lines)
    taken = time.perf_counter() - began
    lines.close()

    assert first < second < third
    assert taken < 2.0


def test_a_listener_that_leaves_is_forgotten_and_there_is_room_for_so_many(
    house, client, monkeypatch
):
    monkeypatch.setattr("lidclock.web.api.changes.MOST_LISTENERS", 2)
    first, second = listening(house), listening(house)
    next_position(first), next_position(second)
    full = client.get("/api/v1/changes")
    assert full.status_code == 429
    assert "too many pages" in full.json()["error"]
    first.close()

    def is_free():
        return client.get("/api/v1/changes", timeout=0.1).status_code == 200

    # The server hears of it when it next looks at the connection.
    deadline = time.perf_counter() + 3
    while time.perf_counter() < deadline:
        try:
            third = listening(house)
            next_position(third)
            third.close()
            break
        except AssertionError:
            continue
    else:
        raise AssertionError("nobody was forgotten")
    second.close()


def test_a_silent_stream_is_kept_alive(house, monkeypatch):
    house.prep("stew")
    changes = house.app.state.changes
    monkeypatch.setattr(changes, "_keep_alive_s", 0.1)
    lines = listening(house)
    next_position(lines)
    told = [line for _, line in zip(range(4), lines, strict=False)]
    lines.close()

    assert ": still here" in told


def test_every_address_is_described_with_its_refusals(client):
    found = client.get("/openapi.json").json()

    paths = {
        (method, path) for path, methods in found["paths"].items() for method in methods
    }
    assert paths == {
        ("get", "/api/v1/shelf"),
        ("get", "/api/v1/containers/{code}"),
        ("get", "/api/v1/places"),
        ("get", "/api/v1/foods"),
        ("get", "/api/v1/card"),
        ("post", "/api/v1/card"),
        ("post", "/api/v1/events"),
        ("post", "/api/v1/pair"),
        ("get", "/api/v1/changes"),
        ("get", "/api/v1/alerts"),
        ("post", "/api/v1/alerts"),
        ("get", "/api/v1/calendar"),
        ("post", "/api/v1/calendar"),
        ("get", "/api/v1/printers"),
        ("post", "/api/v1/printers"),
        ("delete", "/api/v1/printers/{name}"),
        ("post", "/api/v1/printers/{name}/test"),
        ("put", "/api/v1/printers/{name}/usual"),
        ("get", "/api/v1/stock"),
        ("put", "/api/v1/stock"),
        ("get", "/api/v1/stock-takes"),
        ("post", "/api/v1/stock-takes"),
        ("get", "/api/v1/stock-takes/{count}"),
        ("post", "/api/v1/stock-takes/{count}/scans"),
        ("post", "/api/v1/stock-takes/{count}/record"),
        ("post", "/api/v1/stock-takes/{count}/drop"),
        ("post", "/api/v1/stock-takes/{count}/undo"),
        ("get", "/api/v1/report"),
        ("get", "/api/v1/occasions"),
        ("post", "/api/v1/occasions"),
        ("get", "/api/v1/occasions/amount"),
        ("post", "/api/v1/occasions/{act}/undo"),
        ("get", "/api/v1/order"),
        ("get", "/api/v1/trace"),
        ("get", "/api/v1/slip"),
        ("post", "/api/v1/containers/{code}/allergens"),
        ("get", "/api/v1/recipes"),
        ("get", "/api/v1/recipes/{name}/mix"),
        ("post", "/api/v1/recipes"),
        ("get", "/api/v1/recipes/{name}"),
        ("put", "/api/v1/recipes/{name}"),
        ("delete", "/api/v1/recipes/{name}"),
        ("post", "/api/v1/prep"),
        ("post", "/api/v1/prep/{act}/weighed"),
        ("get", "/api/v1/temperatures"),
        ("get", "/api/v1/readings"),
        ("post", "/api/v1/readings"),
        ("get", "/api/v1/coolings"),
        ("post", "/api/v1/coolings"),
        ("get", "/api/v1/coolings/{key}"),
        ("get", "/calendar.ics"),
    }
