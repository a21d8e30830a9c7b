"""Too much, too slowly, too many at once: what one visitor sends holds up no other."""

from __future__ import annotations

import re
import socket
import threading
from pathlib import Path
from typing import Any

import pytest

from lidclock.app import passwords, people
from lidclock.web.files import TEMPLATES
from lidclock.web.guard import MOST_BYTES_OF_FORMS, PHOTOS

FORM = "application/x-www-form-urlencoded"
TOKEN = re.compile(r'name="csrf" value="([^"]+)"')


def line_to(house: Any) -> socket.socket:
    host, port = house.address.removeprefix("http://").split(":")
    return socket.create_connection((host, int(port)), timeout=10)


def all_of(line: socket.socket) -> bytes:
    """Everything until the other side hangs up."""
    return b"".join(iter(lambda: line.recv(65536), b""))


@pytest.mark.parametrize("path", ["/card", "/prep", "/people/add", "/kitchen"])
@pytest.mark.parametrize(
    "kind", ["multipart/form-data; boundary=x", "application/x-www-form-urlencoded"]
)
def test_a_form_that_is_too_large_is_refused_unread(client, path, kind):
    """It would be read before anybody is asked who sends it."""
    head = b'--x\r\nContent-Disposition: form-data; name="f"; filename="a"\r\n\r\n'
    body = head + b"x" * MOST_BYTES_OF_FORMS + b"\r\n--x--\r\n"

    def pieces():
        for start in range(0, len(body), 2**16):
            yield body[start : start + 2**16]

    headers = {"content-type": kind}
    whole = client.post(path, content=body, headers=headers)
    streamed = client.post(path, content=pieces(), headers=headers)

    assert (whole.status_code, streamed.status_code) == (413, 413)


def test_every_form_with_a_photo_may_be_as_large_as_a_photo():
    pages = [path.read_text("utf-8") for path in Path(TEMPLATES).glob("*.html")]
    forms = [form for page in pages for form in re.findall(r"<form[^>]*>", page)]
    actions = {
        re.search(r'action="([^"]*)"', form)[1]
        for form in forms
        if "multipart/form-data" in form
    }

    assert actions
    assert actions <= set(PHOTOS)


@pytest.mark.parametrize("path", ["/prep", "/scan", "/scan/photo", "/people/add"])
def test_a_slow_form_is_given_up(house, monkeypatch, path):
    monkeypatch.setattr("lidclock.web.guard.LONGEST_S", 0.2)
    head = f"POST {path} HTTP/1.1\r\nHost: localhost\r\nContent-Length: 100\r\n"
    kind = "Content-Type: application/x-www-form-urlencoded\r\n\r\n"
    with line_to(house) as line:
        line.sendall((head + kind + "csrf=").encode())
        answer = line.recv(65536)

    assert answer.startswith(b"HTTP/1.1 408 ")


@pytest.mark.parametrize("head", [b"", b"GET / HTTP/1.1\r\nHost: localhost\r\nX: "])
def test_a_line_on_which_nothing_is_asked_is_cut(house, monkeypatch, head):
    monkeypatch.setattr("lidclock.web.patience.LONGEST_HEAD_S", 0.2)
    with line_to(house) as line:
        line.sendall(head)
        assert all_of(line) == b""


def test_a_line_that_goes_on_bit_by_bit_is_cut_too(house, monkeypatch):
    """Each piece would begin the wait anew; between two requests as well."""
    monkeypatch.setattr("lidclock.web.patience.LONGEST_HEAD_S", 0.3)
    with line_to(house) as line:
        line.sendall(b"GET /language HTTP/1.1\r\nHost: localhost\r\n\r\n")
        assert line.recv(65536).startswith(b"HTTP/1.1 200 ")
        with pytest.raises((ConnectionResetError, BrokenPipeError)):
            _drip(line)


def _drip(line: socket.socket) -> None:
    """Two seconds long, a letter at a time."""
    pause = threading.Event()
    for _ in range(40):
        line.sendall(b"G")
        pause.wait(0.05)


def test_one_visitor_cannot_hold_every_line(house, client, monkeypatch):
    """What is the machine itself may be another server, and so many people."""
    monkeypatch.setattr("lidclock.web.patience.MOST_LINES", 3)
    lines = [line_to(house) for _ in range(6)]
    of_ourselves = client.get("/language").status_code
    monkeypatch.setattr("lidclock.web.patience._OURSELVES", ())
    with line_to(house) as one_more:
        try:
            heard = all_of(one_more)
        except ConnectionResetError:
            heard = b""
    for line in lines:
        line.close()

    assert of_ourselves == 200
    assert heard == b""


def test_one_visitor_cannot_take_every_stream(house, client, monkeypatch):
    monkeypatch.setattr("lidclock.web.api.changes.MOST_OF_ONE", 2)
    streams = [line_to(house) for _ in range(2)]
    for line in streams:
        line.sendall(b"GET /api/v1/changes HTTP/1.1\r\nHost: localhost\r\n\r\n")
        assert line.recv(100).startswith(b"HTTP/1.1 200 ")
        line.recv(65536)
    more = client.get("/api/v1/changes")
    changes = house.app.state.changes
    for line in streams:
        line.close()

    assert more.status_code == 429
    assert not changes.is_full("somebody else")


def test_who_hangs_up_midway_is_no_fault_of_ours(house, client, caplog):
    for path in ("/scan/photo", "/scan", "/prep", "/api/v1/events"):
        head = f"POST {path} HTTP/1.1\r\nHost: localhost\r\nContent-Length: 100\r\n"
        kind = "application/json" if "api" in path else FORM
        with line_to(house) as line:
            line.sendall(f"{head}Content-Type: {kind}\r\n\r\ncsrf=".encode())
    assert client.get("/language").status_code == 200

    assert [x.getMessage() for x in caplog.records if x.levelname == "ERROR"] == []


def test_a_crowd_at_the_door_holds_up_no_page(house, client):
    """Looking at a password takes long: few wait for that, the others come again."""
    people.set_password(house.session(), "three warm brown loaves")
    form = {
        "csrf": TOKEN.search(client.get("/kitchen").text)[1],
        "password": "wrong words",
    }
    for _ in range(passwords.MOST_WAITING):
        passwords._ROOM.acquire()
    try:
        crowd = client.post("/login", data=form)
    finally:
        for _ in range(passwords.MOST_WAITING):
            passwords._ROOM.release()
    after = client.post("/login", data=form)

    assert crowd.status_code == 429
    assert crowd.headers["retry-after"] == "5"
    # Who was turned away has not tried.
    assert "4 more tries" in after.text
