"""Readings in the database: how much room they take, how soon a week is read.

A month of readings by default; `LIDCLOCK_BENCH_READINGS=full` takes the year of 20
sensors at one a minute that the design promises.
"""

from __future__ import annotations

import os
import sqlite3
import statistics
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from lidclock.app.session import Session
from lidclock.app.temp_course import place_course
from lidclock.domain.kitchens import Kitchen, Place
from lidclock.domain.readings import Assignment, Sensor
from lidclock.store import Database, Kitchens
from lidclock.store.reading_values import Mark
from lidclock.store.readings import DAY_US, ReadingStore
from lidclock.store.sensors import Sensors
from lidclock.templog.excursions import excursions
from lidclock.templog.series import micros

BEGAN = datetime(2026, 1, 1, tzinfo=UTC)
MINUTE_US = 60_000_000
SENSORS = 20
GOAL_BYTES = 150e6 / (SENSORS * 365 * 1440)


def readings(folder: Path) -> Iterator[str]:
    """Fill a database as live sensors do, a batch at a time; then read a week."""
    days = 365 if os.environ.get("LIDCLOCK_BENCH_READINGS") == "full" else 30
    path = folder / "readings.db"
    began = time.perf_counter()
    _fill(path, days)
    seconds = time.perf_counter() - began
    count = SENSORS * days * 1440
    size = path.stat().st_size
    yield (
        f"{count:,} readings in {size / 1e6:,.1f} MB, {size / count:.2f} bytes each "
        f"(goal <= {GOAL_BYTES:.1f}: a year in 150 MB)"
    )
    yield f"added in batches of 6 hours at {count / seconds:,.0f}/s"
    yield from _week(path, days)
    yield from _live(path, days)


def _fill(path: Path, days: int) -> None:
    random = np.random.default_rng(5)
    with Database.open(path, create=True) as database:
        with database.begin() as connection:
            places = [Place(f"Fridge {n}", "fridge") for n in range(SENSORS)]
            Kitchens(connection).add(Kitchen("bench", "Bench", "UTC"), places)
            sensors = Sensors(connection, "bench")
            for number, place in enumerate(places):
                sensors.add(Sensor(f"{number:036}", f"Probe {number}"))
                sensors.move(Assignment(f"{number:036}", BEGAN, place.name))
        for quarter in range(4 * days):
            first_us = micros(BEGAN) + quarter * DAY_US // 4
            with database.begin() as connection:
                store = ReadingStore(connection, "bench")
                for number in range(SENSORS):
                    times, temps = _quarter(random, first_us)
                    store.add(f"{number:036}", times, temps, Mark(first_us))
    # What is still in the log counts as well once it is checkpointed.
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()


def _quarter(
    random: np.random.Generator, first_us: int
) -> tuple[np.ndarray, np.ndarray]:
    """Six hours at one a minute, to the millisecond and to 1/16 °C, with a cycle."""
    minutes = np.arange(360)
    late = random.integers(0, 900, 360) * 1000
    air = 3.5 + np.sin(minutes / 6) + random.normal(0, 0.15, 360)
    return first_us + minutes * MINUTE_US + late, np.round(air * 16) / 16


def _week(path: Path, days: int) -> Iterator[str]:
    ended = BEGAN + timedelta(days=days)
    session = Session.open(path, now=ended)
    store_taken, course_taken, beyond_taken = [], [], []
    for number in range(SENSORS):
        place = session.places[number]
        with session.read() as unit:
            began = time.perf_counter()
            store = ReadingStore(unit.connection, "bench")
            week = micros(ended - timedelta(days=7)), micros(ended)
            found = store.get(f"{number:036}", *week)
            store_taken.append(time.perf_counter() - began)
            began = time.perf_counter()
            course = place_course(unit, place, ended - timedelta(days=7), ended)
            course_taken.append(time.perf_counter() - began)
            began = time.perf_counter()
            excursions(course.course, 4.4)
            beyond_taken.append(time.perf_counter() - began)
    session.close()
    raw = _raw_rows(found.times_us, found.temps_c)
    taken = statistics.median(store_taken)
    yield (
        f"a week of one place, {found.times_us.size:,} readings: {taken * 1e3:.1f} ms "
        f"(goal < 200), {taken / raw:.2f} times the same as plain rows"
    )
    yield (
        f"its course {statistics.median(course_taken) * 1e3:.1f} ms, its excursions "
        f"{statistics.median(beyond_taken) * 1e3:.1f} ms"
    )


def _raw_rows(times_us: np.ndarray, temps_c: np.ndarray) -> float:
    """How long the same readings take as one row each, in memory."""
    connection = sqlite3.connect(":memory:")
    connection.execute("CREATE TABLE reading (at INTEGER PRIMARY KEY, temp REAL)")
    rows = zip(times_us.tolist(), temps_c.tolist(), strict=True)
    connection.executemany("INSERT INTO reading VALUES (?, ?)", rows)
    began = time.perf_counter()
    found = connection.execute("SELECT at, temp FROM reading ORDER BY at").fetchall()
    at, temp = zip(*found, strict=True)
    np.array(at), np.array(temp)
    taken = time.perf_counter() - began
    connection.close()
    return taken


def _live(path: Path, days: int) -> Iterator[str]:
    """One reading at a time, each in a transaction of its own, compaction included."""
    first_us = micros(BEGAN + timedelta(days=days))
    taken = []
    with Database.open(path) as database:
        for minute in range(600):
            at_us = first_us + minute * MINUTE_US
            began = time.perf_counter()
            with database.begin() as connection:
                store = ReadingStore(connection, "bench")
                store.add(f"{0:036}", [at_us], [3.5], Mark(at_us))
            taken.append(time.perf_counter() - began)
    yield (
        f"one reading recorded durably: p50 {statistics.median(taken) * 1e3:.2f} ms, "
        f"p99 {statistics.quantiles(taken, n=100)[98] * 1e3:.2f} ms"
    )
