"""A server that is killed in the middle of its work: what it acknowledged is there."""

from __future__ import annotations

import json
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from typing import Any

import httpx
import pytest

from lidclock.app import prep, setup, transfer
from lidclock.app.now import now
from lidclock.app.session import Session
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from page_server import NOBODY_TRUSTED

SERVE = """
import socket, sys
from pathlib import Path
from lidclock.web.app import create_app
from lidclock.web.server import Server
listener = socket.create_server(("127.0.0.1", 0))
server = Server(create_app(Path(sys.argv[1])))
print(listener.getsockname()[1], flush=True)
server.run(sockets=[listener])
"""
DEVICES, BOXES = 4, 40
PATIENT: Any = {"timeout": 120, "verify": NOBODY_TRUSTED}
ENOUGH = 30  # acknowledgements after which it is killed


@pytest.fixture
def path(tmp_path):
    """A kitchen with forty boxes made yesterday; the server's clock is the real one."""
    path = tmp_path / "kitchen.db"
    setup.init_kitchen(path, Kitchen("", "Test", "America/New_York"))
    session = Session.open(path, now=now() - timedelta(days=1))
    order = prep.Order(
        Food("stew", "soup-stew", ()),
        BOXES,
        portion_g=300,
        place=session.place("Fridge"),
    )
    with session.write() as unit:
        prep.prep(unit, order)
    session.close()
    return path


@contextmanager
def served(path) -> Iterator[tuple[subprocess.Popen[str], str]]:
    command = [sys.executable, "-c", SERVE, str(path)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout is not None
        try:
            yield server, f"http://127.0.0.1:{int(server.stdout.readline())}"
        finally:
            server.kill()


def an_id(number):
    return f"019a0000-0000-7000-8000-{number:012x}"


def events(codes, numbers):
    at = datetime.now(UTC).isoformat()  # noqa: TID251 - a real server's clock
    return [
        {
            "id": an_id(number),
            "kind": "placed",
            "subject": codes[number % BOXES],
            "happened_at": at,
            "body": {"place": "Fridge" if number % 2 else "Counter"},
        }
        for number in numbers
    ]


class Devices:
    """Devices that send as fast as they are answered, until nobody answers."""

    def __init__(self, address, codes):
        self.address, self.codes = address, codes
        self.sent: list[dict] = []
        self.acknowledged: set[str] = set()
        self.enough = threading.Event()

    def one_by_one(self, device):
        for number in range(10_000):
            if not self._send(events(self.codes, [100_000 * device + number])):
                return

    def all_at_once(self):
        self._send(events(self.codes, range(5_000_000, 5_004_000)))

    def _send(self, some):
        self.sent += some
        body = {"events": some, "sent_at": some[0]["happened_at"]}
        try:
            answer = httpx.post(f"{self.address}/api/v1/events", json=body, **PATIENT)
        except httpx.HTTPError:
            return False
        assert answer.status_code == 200
        for one in answer.json()["results"]:
            assert one["result"] == "recorded"
            self.acknowledged.add(one["id"])
        if len(self.acknowledged) >= ENOUGH:
            self.enough.set()
        return True


def test_nothing_acknowledged_is_lost_and_all_can_be_sent_again(path):
    session = Session.open(path, now=now())
    with session.read() as unit:
        codes = unit.snapshots.codes()
    with served(path) as (server, address):
        devices = Devices(address, codes)
        threads = [
            threading.Thread(target=devices.one_by_one, args=(number,))
            for number in range(1, DEVICES + 1)
        ]
        threads.append(threading.Thread(target=devices.all_at_once))
        for thread in threads:
            thread.start()
        assert devices.enough.wait(60)
        server.kill()
        for thread in threads:
            thread.join()
    with session.read() as unit:
        there = set(unit.ledger.those(one["id"] for one in devices.sent))

    assert len(devices.acknowledged) >= ENOUGH
    assert devices.acknowledged <= there
    assert len(there) < len(devices.sent)  # it was in the middle of its work
    with served(path) as (_, address):
        body = {"events": devices.sent, "sent_at": devices.sent[0]["happened_at"]}
        raw = httpx.post(f"{address}/api/v1/events", json=body, **PATIENT)
        results = {x["id"]: x["result"] for x in json.loads(raw.content)["results"]}
    assert {id_ for id_, result in results.items() if result == "known"} == there
    assert set(results.values()) == {"known", "recorded"}
    with session.write() as unit:
        assert transfer.rebuild(unit)
    session.close()


def test_a_server_that_is_asked_to_stop_does_although_a_page_listens(path):
    with served(path) as (server, address):
        host, port = address.removeprefix("http://").split(":")
        with socket.create_connection((host, int(port)), timeout=10) as line:
            line.sendall(b"GET /api/v1/changes HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
            heard = b""
            while b"position" not in heard:
                heard += line.recv(4096)
            server.terminate()

            # Sooner than it would cut off who has not finished.
            assert server.wait(4) in (0, -15)
