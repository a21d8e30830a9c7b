"""The speeds that the documents promise, as ratios measured in one run.

Every figure stands beside a floor measured on the same machine in the same minute,
since absolute times say more about the machine than about the program. Nothing here
fails a build: it prints, and people read.
"""

from __future__ import annotations

import argparse
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from allotment import allotment
from eaten import eaten_days
from exposure import exposure
from kitchen_weeks import simulation
from labels import labels
from logger_csv import csv_import, csv_memory
from mqtt import mqtt
from paint import paint
from readings import readings
from ready import ready, takeouts
from today import today

from lidclock.app import moves, prep, setup
from lidclock.app.session import Session
from lidclock.clock import judge
from lidclock.domain.foods import Food
from lidclock.domain.history import History, Placing, stays_of
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.moments import zone_of
from lidclock.domain.snapshots import Snapshot
from lidclock.guidance.load import load_set
from lidclock.store import Database, Kitchens, Snapshots
from web import web

NOW = datetime(2026, 10, 31, 21, tzinfo=UTC)
ZONE = "America/New_York"


def main() -> None:
    """Run every measurement, or those named on the command line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("names", nargs="*", help=", ".join(MEASUREMENTS))
    names = parser.parse_args().names or list(MEASUREMENTS)
    with tempfile.TemporaryDirectory() as folder:
        for name in names:
            for line in MEASUREMENTS[name](Path(folder)):
                print(f"{name:10} {line}", flush=True)


def scan(folder: Path) -> Iterator[str]:
    """Record a scan durably, against a raw insert of the same row, taken in turn."""
    session, codes = _kitchen(folder / "scan.db", 300)
    fridge = session.place("Fridge")

    def record(code: str) -> None:
        with session.write() as unit:
            moves.place(unit, code, fridge)

    raw = _raw(folder / "raw.db")
    for code in codes[:20]:
        record(code)
        next(raw)
    ours, floor = [], []
    for code in codes[20:]:
        floor.append(_seconds(lambda: next(raw)))
        ours.append(_seconds(lambda code=code: record(code)))
    ratio = statistics.median(ours) / statistics.median(floor)
    yield f"raw insert p50 {_us(floor)}"
    yield f"record a scan p50 {_us(ours)}, p99 {_p99(ours)}"
    yield f"ratio {ratio:.2f} (goal <= 4)"


def _raw(path: Path) -> Iterator[None]:
    """Insert one event row for each step, with nothing around it."""
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute(
        "CREATE TABLE event (kitchen_id TEXT, id TEXT, kind TEXT, subject TEXT,"
        " happened_us INTEGER, recorded_us INTEGER, zone TEXT, who TEXT, device TEXT,"
        " act TEXT, body TEXT, PRIMARY KEY (kitchen_id, id)) STRICT"
    )
    body = '{"place":"Fridge","state":"fridge"}'
    number = 0
    while True:
        number += 1
        key = f"{number:036}"
        row = ("k" * 36, key, "placed", "4F7K2M0", 1, 2, ZONE, "", "cli", key, body)
        connection.execute("INSERT INTO event VALUES (?,?,?,?,?,?,?,?,?,?,?)", row)
        yield


def verdict(_: Path) -> Iterator[str]:
    """Verdicts a second on one core, on a fridge life and on a frozen one."""
    zone, made = zone_of(ZONE), NOW - timedelta(hours=50)
    fridge = [Placing(made + timedelta(minutes=50), "fridge")]
    frozen = [
        *fridge,
        Placing(made + timedelta(hours=20), "freezer"),
        Placing(made + timedelta(hours=40), "fridge"),
    ]
    food = Food("stew", "soup-stew", ())
    for name, placings in (("fridge", fridge), ("frozen and thawed", frozen)):
        history = History(made_at=made, stays=stays_of(made, placings))
        for set_name in ("us-home", "us-food-code"):
            guidance = load_set(set_name)
            rates = []
            for _ in range(5):
                seconds = _seconds(
                    lambda h=history, g=guidance: [
                        judge(food, h, g, zone=zone, now=NOW) for _ in range(2000)
                    ]
                )
                rates.append(2000 / seconds)
            best = f"{max(rates):,.0f}/s, median {statistics.median(rates):,.0f}/s"
            yield f"{set_name}, {name}: {best} (goal >= 20,000)"


def guidance(_: Path) -> Iterator[str]:
    """Loading every set, against reading their files; one history under all of them."""
    import tomllib

    from lidclock.app.compare import Asked, compare
    from lidclock.guidance import load
    from lidclock.guidance.compile import DATA, source_names

    def forget() -> None:
        for cached in (load.load_set, load.load_categories, load._tree):
            cached.cache_clear()

    texts = [(DATA / f"{name}.toml").read_text("utf-8") for name in source_names()]
    loads, reads, compared = [], [], []
    for _ in range(9):
        forget()
        loads.append(_seconds(lambda: [load_set(name) for name in load.set_names()]))
        reads.append(_seconds(lambda: [tomllib.loads(text) for text in texts]))
    zone, made = zone_of(ZONE), NOW - timedelta(hours=50)
    stays = stays_of(made, [Placing(made + timedelta(minutes=50), "fridge")])
    food, history = Food("stew", "soup-stew", ()), History(made_at=made, stays=stays)
    asked = Asked(food, history, zone, NOW, load_set("us-home"))
    for _ in range(9):
        compared.append(_seconds(lambda: compare(asked)))
    ratio = statistics.median(loads) / statistics.median(reads)
    yield f"all sets load in {_ms(loads)} (goal < 60 ms)"
    yield f"tomllib alone takes {_ms(reads)}: ratio {ratio:.2f}"
    yield f"one history under all sets {_ms(compared)} (goal < 50 ms)"


def start(folder: Path) -> Iterator[str]:
    """`lidclock due`, against importing what it cannot do without."""
    path = folder / "start.db"
    _kitchen(path, 20)[0].close()
    floor_command = [sys.executable, "-c", "import click, sqlalchemy"]
    due_command = [sys.executable, "-m", "lidclock", "--db", str(path), "due"]
    floor, ours = [], []
    for _ in range(15):
        floor.append(_seconds(lambda: subprocess.run(floor_command, check=True)))
        ours.append(
            _seconds(
                lambda: subprocess.run(due_command, check=True, capture_output=True)
            )
        )
    ratio = statistics.median(ours) / statistics.median(floor)
    yield f"imports {_ms(floor)}, due {_ms(ours)}: ratio {ratio:.2f} (goal <= 1.5)"


def due(folder: Path) -> Iterator[str]:
    """The due list of a small and a very large kitchen."""
    worst = {}
    for count in (10_000, 1_000_000):
        path = folder / f"due-{count}.db"
        with Database.open(path, create=True) as database:
            kitchen = Kitchen("bench", "Bench", ZONE)
            with database.begin() as connection:
                Kitchens(connection).add(kitchen)
                Snapshots(connection, "bench").put_all(_many(count))
            with database.read() as connection:
                taken = _due_lists(Snapshots(connection, "bench"))
        worst[count] = statistics.quantiles(taken, n=100)[98]
        yield f"{count:>9,} live containers: p50 {_us(taken)}, p99 {_p99(taken)}"
    small, large = worst.values()
    yield f"p99 at 1 M is {large / small:.2f} times that at 10 k (goal <= 2, < 5 ms)"


def _due_lists(snapshots: Snapshots) -> list[float]:
    until = NOW + timedelta(hours=1)
    return [_seconds(lambda: snapshots.due(until, limit=50)) for _ in range(300)]


def _many(count: int) -> Iterable[Snapshot]:
    for number in range(count):
        ends = NOW + timedelta(seconds=number * 70 % 600_000)
        yield Snapshot(
            code=f"{number:07}",
            food=f"food {number % 100}",
            standing="dated",
            place="Fridge",
            state="fridge",
            mass_g=300.0,
            made_at=NOW - timedelta(days=1),
            last_moment=ends,
            last_day=ends.date(),
            binding="us.home.soup.fridge",
            is_labelled=True,
        )


def _kitchen(path: Path, containers: int) -> tuple[Session, list[str]]:
    setup.init_kitchen(path, Kitchen("", "Bench", ZONE))
    session = Session.open(path, now=NOW, device="bench")
    codes: list[str] = []
    made = NOW - timedelta(minutes=30)
    while len(codes) < containers:
        order = prep.Order(
            Food("stew", "soup-stew", ()), 10, portion_g=300, made_at=made
        )
        with session.write() as unit:
            codes += prep.prep(unit, order).codes
    return session, codes


def _seconds(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def _us(taken: list[float]) -> str:
    return f"{statistics.median(taken) * 1e6:,.0f} us"


def _ms(taken: list[float]) -> str:
    return f"{statistics.median(taken) * 1e3:,.0f} ms"


def _p99(taken: list[float]) -> str:
    return f"{statistics.quantiles(taken, n=100)[98] * 1e3:,.2f} ms"


MEASUREMENTS: dict[str, Callable[[Path], Iterator[str]]] = {
    "scan": scan,
    "verdict": verdict,
    "guidance": guidance,
    "start": start,
    "due": due,
    "exposure": exposure,
    "csv": csv_import,
    "csv-memory": csv_memory,
    "labels": labels,
    "readings": readings,
    "ready": ready,
    "today": today,
    "web": web,
    "paint": paint,
    "eaten": eaten_days,
    "takeouts": takeouts,
    "mqtt": mqtt,
    "allotment": allotment,
    "simulation": simulation,
}

if __name__ == "__main__":
    main()
