"""How quickly the CSV of a data logger is read, and recorded, against plain Python."""

from __future__ import annotations

import csv
import os
import random
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from lidclock.app import setup
from lidclock.app.logger_file import LoggerFile
from lidclock.app.session import Session
from lidclock.app.temp_import import Open, Options, look
from lidclock.app.temp_record import record
from lidclock.domain.kitchens import Kitchen
from lidclock.templog.logger_csv.findings import Findings
from lidclock.templog.logger_csv.guess import guess
from lidclock.templog.logger_csv.reader import Clock, FileReader

ROWS, ROUNDS = 1_000_000, 5
# Rows of 24 bytes, files of some 100 and 200 MB: each several batches of a million
# rows, since with fewer the peak is that of one batch.
SMALL, LARGE = 4_000_000, 8_000_000
NOW = datetime(2026, 10, 31, 21, tzinfo=UTC)
START = datetime(2024, 11, 1)


def csv_import(folder: Path) -> Iterator[str]:
    """Reading alone against the csv module, datetime and float, taken in turn."""
    path = folder / "log.csv"
    _write(path, ROWS)
    floor, ours = [], []
    for _ in range(ROUNDS):
        floor.append(_seconds(lambda: _plainly(path)))
        ours.append(_seconds(lambda: _read(path)))
    yield f"{ROWS:,} rows, {path.stat().st_size / 1e6:.0f} MB"
    yield f"csv, datetime and float: {_speed(floor)}"
    yield f"read and checked: {_speed(ours)} (goal >= 500,000)"
    yield f"ratio {statistics.median(floor) / statistics.median(ours):.1f}"
    whole = [_seconds(lambda: _record(folder, path)) for _ in range(ROUNDS)]
    yield f"looked at and recorded: {_speed(whole)} (goal >= 500,000)"


def csv_memory(folder: Path) -> Iterator[str]:
    """Peak memory of the command itself on files of two sizes, each on its own."""
    peaks = []
    for rows in (SMALL, LARGE):
        path, database = folder / f"memory-{rows}.csv", folder / f"memory-{rows}.db"
        setup.init_kitchen(database, Kitchen("", "Bench", "UTC"))
        _write(path, rows)
        size_mb = path.stat().st_size / 1e6
        seconds, peak_mb = _import_alone(database, path)
        path.unlink()
        peaks.append((size_mb, peak_mb))
        yield (
            f"temp import of {size_mb:,.0f} MB, {rows:,} rows: peak {peak_mb:,.0f} MB "
            f"resident, {rows / seconds:,.0f} rows/s with its start"
        )
    (small_mb, low), (large_mb, high) = peaks
    grown = (high - low) / (large_mb - small_mb)
    yield f"each MB of file more takes {grown:.3f} MB of memory (goal < 0.1)"


def _import_alone(database: Path, path: Path) -> tuple[float, float]:
    """Seconds that the command took, and the most memory it had resident  [MB]."""
    command = [sys.executable, "-m", "lidclock", "--db", str(database), "temp"]
    command += ["import", str(path), "--place", "Fridge", "--yes"]
    command[3:3] = ["--now", "2026-10-31T21:00+00:00"]
    began = time.perf_counter()
    with subprocess.Popen(command, stdout=subprocess.DEVNULL) as process:
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise RuntimeError(f"temp import ended with {process.returncode}")
    return time.perf_counter() - began, used.ru_maxrss / 1024


def _write(path: Path, rows: int) -> None:
    """A reading every 30 s or less, for two years, by a clock that keeps UTC."""
    chance = random.Random(1)
    temps = [f"{chance.gauss(4, 1):.1f}" for _ in range(10_000)]
    step = timedelta(seconds=min(30, 60_000_000 // rows))
    with path.open("w", encoding="utf-8") as file:
        file.write("Serial no.: 1\nDate/Time (UTC),Temperature (°C)\n")
        for place in range(rows):
            moment = START + step * place
            file.write(f"{moment:%Y-%m-%d %H:%M:%S},{temps[place % 10_000]}\n")


def _plainly(path: Path) -> int:
    with path.open(encoding="utf-8", newline="") as file:
        rows = csv.reader(file)
        next(rows), next(rows)
        return len([(datetime.fromisoformat(at), float(temp)) for at, temp in rows])


def _read(path: Path) -> int:
    file = LoggerFile.at(path)
    layout = guess(file.head()).layout
    reader = FileReader(layout, Clock(UTC, int(NOW.timestamp()) * 1_000_000))
    batches = reader.batches(file.lines(Findings()))
    return sum(part.series.lines.size for batch in batches for part in batch)


def _record(folder: Path, path: Path) -> int:
    database = folder / f"{path.stem}-{time.perf_counter_ns()}.db"
    setup.init_kitchen(database, Kitchen("", "Bench", "UTC"))
    session = Session.open(database, now=NOW, device="bench")
    plan = look(session, LoggerFile.at(path), Options(places=("Fridge",)))
    if isinstance(plan, Open):
        raise RuntimeError(f"the file leaves something open: {plan.questions}")
    outcome = record(session, plan)
    session.close()
    return outcome.new


def _seconds(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def _speed(taken: list[float]) -> str:
    return f"{ROWS / statistics.median(taken):,.0f} rows/s"
