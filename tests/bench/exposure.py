"""How quickly exposure is built over very many readings, and looked up for stays.

Needs about 35 bytes a reading: 100 million where memory allows, else 20 million.
LIDCLOCK_BENCH_READINGS gives another number.
"""

from __future__ import annotations

import os
import statistics
import time
import tracemalloc
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np

from lidclock.kinetics.exposure import Exposure
from lidclock.kinetics.held import Held
from lidclock.kinetics.load import load_library

MANY, FEWER, STAYS, ROUNDS = 100_000_000, 20_000_000, 1_000_000, 5
_ENOUGH_KB = 6_000_000


def exposure(_: Path) -> Iterator[str]:
    """Building it against numpy's cumsum of the same array, taken in turn."""
    count = int(os.environ.get("LIDCLOCK_BENCH_READINGS", "0")) or _default_count()
    random = np.random.default_rng(1)
    temps = np.empty(count)
    # A fridge that wanders, in pieces so that no second array of this size is needed.
    for first in range(0, count, FEWER):
        here = temps[first : first + FEWER]
        here[:] = random.normal(0, 0.3, here.size)
        here += 4 + 3 * np.sin(np.arange(first, first + here.size) / 5000)
    times = np.arange(count) / 60.0
    organisms = load_library().organisms
    law = organisms["listeria-monocytogenes"].law
    floor, ours, narrow = _in_turn(times, temps, law)
    yield f"{count:,} readings: cumsum {_s(floor)}, exposure {_s(ours)}"
    yield f"ratio {_ratio(ours, floor)} (goal <= 2), float32 {_ratio(narrow, floor)}"
    tracemalloc.start()
    built = Exposure(times, temps, law)
    peak = tracemalloc.get_traced_memory()[1] + temps.nbytes + times.nbytes
    tracemalloc.stop()
    yield f"peak memory {peak / temps.nbytes:.2f} times the array (goal < 4)"
    starts = random.uniform(times[0], times[-1] * 0.99, STAYS)
    ends = np.minimum(starts + random.uniform(0, 200, STAYS), times[-1])
    looked_up = [_seconds(lambda: built.between(starts, ends)) for _ in range(ROUNDS)]
    yield f"{STAYS:,} stays looked up in {_s(looked_up)} (goal < 1 s)"
    for name, other in _other_laws(organisms):
        taken = [_seconds(lambda law=other: Exposure(times, temps, law))]
        yield f"{name}: ratio {_ratio(taken, floor)} (no goal)"


def _in_turn(times: Any, temps: Any, law: Any) -> tuple[list[float], ...]:
    """Seconds of numpy's sum, of the exposure, and of it from float32 readings."""
    narrow = temps.astype(np.float32)
    work = (
        lambda: np.cumsum(temps),
        lambda: Exposure(times, temps, law),
        lambda: Exposure(times, narrow, law),
    )
    rounds = [[_seconds(one) for one in work] for _ in range(ROUNDS)]
    return tuple(list(taken) for taken in zip(*rounds, strict=True))


def _other_laws(organisms: Any) -> Iterator[tuple[str, Any]]:
    cardinal = organisms["clostridium-perfringens-roasted-chicken"].law
    yield "cardinal law", cardinal
    yield "cardinal law held above its optimum", Held(cardinal)
    yield "extended square-root law", organisms["generic-curve"].law


def _default_count() -> int:
    try:
        text = Path("/proc/meminfo").read_text("ascii")
    except OSError:
        return FEWER
    line = next(one for one in text.splitlines() if one.startswith("MemAvailable"))
    return MANY if int(line.split()[1]) > _ENOUGH_KB else FEWER


def _seconds(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def _ratio(taken: list[float], floor: list[float]) -> str:
    return f"{statistics.median(taken) / statistics.median(floor):.2f}"


def _s(taken: list[float]) -> str:
    return f"{statistics.median(taken):.2f} s"
