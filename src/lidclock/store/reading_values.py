"""Readings as values, and comparing new ones with those that are there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lidclock.store.blocks import Floats, Micros


@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """n readings: whole microseconds since 1970 in UTC, strictly rising, and °C."""

    times_us: Micros
    temps_c: Floats


@dataclass(frozen=True, slots=True)
class Mark:
    """When readings were recorded, by whom, on which device."""

    recorded_us: int
    who: str = ""
    device: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """Readings that were recorded together."""

    readings: Readings
    mark: Mark


@dataclass(frozen=True, slots=True)
class Clash:
    """Two values for one instant: the one that was there is kept."""

    at_us: int
    kept_c: float
    other_c: float


@dataclass(frozen=True, slots=True)
class Added:
    """What became of readings: how many were new or known, and which clash."""

    new: int
    known: int
    clashes: tuple[Clash, ...] = ()


@dataclass(frozen=True, slots=True)
class Correction:
    """A reading put right afterwards; `temp_c=None` strikes it."""

    at_us: int
    temp_c: float | None
    recorded_us: int
    who: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Extent:
    """The first and last instant a sensor was read, and how often; raw."""

    first_us: int
    last_us: int
    count: int


def in_order(
    times_us: ArrayLike, temps_c: ArrayLike
) -> tuple[Readings, list[Clash], int]:
    """Readings in order, each instant once; what clashes in them, and repeats."""
    times = np.asarray(times_us, dtype=np.int64)
    temps = np.asarray(temps_c, dtype=np.float64)
    if times.ndim != 1 or times.shape != temps.shape:
        raise ValueError(f"need equal 1-d arrays, not {times.shape}, {temps.shape}")
    if not np.isfinite(temps).all():
        raise ValueError("a temperature must be a number")
    if (times[1:] > times[:-1]).all():
        return Readings(times, temps), [], 0
    # Stable, so that of several values for one instant the one given first leads.
    order = np.argsort(times, kind="stable")
    times, temps = times[order], temps[order]
    leads = np.r_[True, times[1:] != times[:-1]]
    leaders = Readings(times[leads], temps[leads])
    others = Readings(times[~leads], temps[~leads])
    _, clashes = compared(others, leaders)
    return leaders, clashes, others.times_us.size - len(clashes)


def compared(
    given: Readings, stored: Readings
) -> tuple[NDArray[np.bool_], list[Clash]]:
    """Which of the given instants are not stored; which are, with another value."""
    if not stored.times_us.size:
        return np.ones(given.times_us.size, dtype=np.bool_), []
    place = np.searchsorted(stored.times_us, given.times_us)
    place = np.minimum(place, stored.times_us.size - 1)
    is_new = stored.times_us[place] != given.times_us
    kept_c = stored.temps_c[place]
    clashing = np.flatnonzero(~is_new & (kept_c != given.temps_c))
    clashes = [
        Clash(int(given.times_us[i]), float(kept_c[i]), float(given.temps_c[i]))
        for i in clashing
    ]
    return is_new, clashes


def runs(days: Micros) -> Iterator[tuple[int, int]]:
    """Begin and end of each run of equal days."""
    edges = np.flatnonzero(days[1:] != days[:-1]) + 1
    yield from pairwise([0, *edges.tolist(), days.size] if days.size else [])
