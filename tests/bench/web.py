"""The page's speed: durable scans over HTTP, and large pages."""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from lidclock.app import prep, setup
from lidclock.app.now import now
from lidclock.app.session import Session
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen

HERE = Path(__file__).parent
CLIENTS, SCANS, WARMING, TURNS = 8, 3_000, 300, 2
CONTAINERS, BATCH, LOOKS = 2_000, 20, 9


@dataclass(frozen=True)
class _Turn:
    """Scans a second, the slowest of a hundred, and processor time of one."""

    rate: float
    p99_s: float
    each_s: float


@dataclass(frozen=True)
class _Served:
    """A server that runs: where it listens, and what it has used of a processor."""

    port: int
    pid: int

    def processor_s(self) -> float:
        """Seconds of processor time so far, its own and the system's for it."""
        fields = Path(f"/proc/{self.pid}/stat").read_text("ascii").rpartition(")")[2]
        user, system = fields.split()[11:13]
        return (int(user) + int(system)) / os.sysconf("SC_CLK_TCK")


def web(folder: Path) -> Iterator[str]:
    """Scans against bare Starlette and sqlite3; the card and the shelf when large."""
    codes = kitchen(folder / "web.db")
    yield from _scans(folder, codes)
    with served("ours", folder / "web.db") as server:
        for path in ("/", "/shelf", "/api/v1/card", "/api/v1/shelf"):
            _look(server, path)
            yield _look(server, path)


def _scans(folder: Path, codes: list[str]) -> Iterator[str]:
    """In turn, since the machine is not the same from one minute to the next."""
    taken: dict[str, list[_Turn]] = {"bare": [], "ours": []}
    databases = {"bare": folder / "bare.db", "ours": folder / "web.db"}
    with ExitStack() as stack:
        servers = {
            kind: stack.enter_context(served(kind, path))
            for kind, path in databases.items()
        }
        for turn in range(TURNS):
            first = 1_000_000 * (turn + 1)
            for kind, server in servers.items():
                _sent(server.port, folder, codes, first, WARMING)
                before = server.processor_s()
                found = _sent(server.port, folder, codes, first + WARMING, SCANS)
                used = server.processor_s() - before
                assert found["failed"] == 0, "a scan was not recorded"
                tail = statistics.quantiles(found["latencies"], n=100)[98]
                taken[kind].append(_Turn(SCANS / found["seconds"], tail, used / SCANS))
    for kind, turns in taken.items():
        yield (
            f"{kind}: {max(x.rate for x in turns):,.0f} scans/s of {CLIENTS} clients, "
            f"p99 {min(x.p99_s for x in turns) * 1e3:.1f} ms, "
            f"{min(x.each_s for x in turns) * 1e3:.2f} ms of processor time each"
        )
    bare, ours = taken["bare"], taken["ours"]
    ratio = max(x.rate for x in bare) / max(x.rate for x in ours)
    work = min(x.each_s for x in ours) / min(x.each_s for x in bare)
    yield (
        f"ratio {ratio:.1f}, of processor time {work:.1f} "
        "(goal: >= 1,000 scans/s, p99 < 20 ms)"
    )


def _sent(port: int, folder: Path, codes: list[str], first: int, count: int) -> dict:  # type: ignore[type-arg]
    path = folder / "requests.jsonl"
    at = now().isoformat()
    lines = [
        json.dumps(
            {
                "events": [
                    {
                        "id": f"019a0000-0000-7000-8000-{first + number:012x}",
                        "kind": "placed",
                        "subject": codes[number % len(codes)],
                        "happened_at": at,
                        "body": {"place": "Fridge"},
                    }
                ],
                "sent_at": at,
            }
        )
        for number in range(count)
    ]
    path.write_text("\n".join(lines), "ascii")
    command = [sys.executable, str(HERE / "web_load.py"), str(port), str(path)]
    done = subprocess.run([*command, str(CLIENTS)], check=True, capture_output=True)
    return json.loads(done.stdout)


@contextmanager
def served(kind: str, path: Path) -> Iterator[_Served]:
    """A server of its own, on its own interpreter."""
    command = [sys.executable, str(HERE / "web_server.py"), kind, str(path)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
        try:
            assert server.stdout is not None
            yield _Served(int(server.stdout.readline()), server.pid)
        finally:
            server.terminate()
            server.wait(timeout=20)


def _look(server: _Served, path: str) -> str:
    """How long a large page takes at the server, and what goes over the line."""
    request = urllib.request.Request(
        f"http://127.0.0.1:{server.port}{path}", headers={"Accept-Encoding": "gzip"}
    )
    taken, size, before = [], 0, server.processor_s()
    for _ in range(LOOKS):
        began = time.perf_counter()
        with urllib.request.urlopen(request) as answer:
            size = len(answer.read())
        taken.append(time.perf_counter() - began)
    used = (server.processor_s() - before) / LOOKS
    return (
        f"{path} of {CONTAINERS:,}: {statistics.median(taken) * 1e3:.0f} ms, "
        f"{used * 1e3:.0f} ms of processor time (goal < 150), "
        f"{size / 1e3:.0f} kB packed (goal < 300)"
    )


def kitchen(path: Path, days: int = 2) -> list[str]:
    """2,000 containers, made from so many days ago on, within 34 hours."""
    setup.init_kitchen(path, Kitchen("", "Bench", "America/New_York"))
    start = now() - timedelta(days=days)
    session = Session.open(path, now=start, device="bench")
    codes: list[str] = []
    for number in range(CONTAINERS // BATCH):
        session.now = start + timedelta(minutes=20 * number)
        order = prep.Order(
            Food(f"food {number % 25}", "soup-stew", (), portion_g=300),
            BATCH,
            portion_g=300,
            made_at=session.now - timedelta(minutes=30),
            place=session.place("Fridge"),
        )
        with session.write() as unit:
            codes += prep.prep(unit, order).codes
    session.close()
    return codes
