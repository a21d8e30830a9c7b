"""What a sensor said: instants and temperatures, merged, cut and put right."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lidclock.domain.readings import Offset

Floats: TypeAlias = NDArray[np.float64]
Bools: TypeAlias = NDArray[np.bool_]
Micros: TypeAlias = NDArray[np.int64]
Indices: TypeAlias = NDArray[np.intp]

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_TICK = timedelta(microseconds=1)
_PER_SECOND = 1_000_000


def check_rising(times: Floats, temps: Floats) -> None:
    """ValueError unless these are n instants, strictly rising, and n temperatures."""
    if times.ndim != 1 or times.shape != temps.shape:
        raise ValueError(
            f"need two equal 1-d arrays, not {times.shape} and {temps.shape}"
        )
    if not (np.isfinite(times).all() and np.isfinite(temps).all()):
        raise ValueError("times and temperatures must be numbers")
    if times.size > 1 and not (np.diff(times) > 0).all():
        raise ValueError("times must rise strictly")


@dataclass(frozen=True, slots=True, eq=False)
class Series:
    """Readings of one sensor.

    Parameters
    ----------
    times : (n,) float64, strictly rising, seconds since 1970 in UTC  [s]
    temps : (n,) float64, no NaN  [°C]

    Raises
    ------
    ValueError
        If the shapes differ, times do not rise, or a value is no number. `joined`
        takes readings in any order.
    """

    times: Floats
    temps: Floats

    def __post_init__(self) -> None:
        check_rising(self.times, self.temps)

    @classmethod
    def from_micros(cls, times_us: ArrayLike, temps: ArrayLike) -> Series:
        """Readings whose times are whole microseconds since 1970, strictly rising."""
        times = np.asarray(times_us, dtype=np.int64) / _PER_SECOND
        return cls(times, np.asarray(temps, dtype=np.float64))

    @property
    def times_us(self) -> Micros:
        """The times in whole microseconds, exactly as they came."""
        return np.rint(self.times * _PER_SECOND).astype(np.int64)

    def __len__(self) -> int:
        return int(self.times.size)

    def between(self, began: float, ended: float) -> Series:
        """The readings from `began` up to and including `ended`  [s]."""
        first = int(np.searchsorted(self.times, began, side="left"))
        last = int(np.searchsorted(self.times, ended, side="right"))
        return Series(self.times[first:last], self.temps[first:last])

    def put_right(self, offsets: Iterable[Offset]) -> Series:
        """Each reading with the offset in force at its time added; before any, none."""
        known = sorted(offsets, key=lambda one: one.since)
        if not known:
            return self
        since = np.array([seconds(one.since) for one in known])
        added = np.array([0.0, *(one.offset_c for one in known)])
        in_force = np.searchsorted(since, self.times, side="right")
        # 6.5 - 0.4 is to be 6.1, not 6.1000000000000005.
        return Series(self.times, np.round(self.temps + added[in_force], 6))


EMPTY = Series(np.empty(0), np.empty(0))


@dataclass(frozen=True, slots=True)
class Conflict:
    """Two values of one sensor for one instant: the one recorded first is kept."""

    at: datetime
    kept_c: float
    other_c: float


@dataclass(frozen=True, slots=True, eq=False)
class Merged:
    """Readings without duplicates, and what did not agree."""

    series: Series
    conflicts: tuple[Conflict, ...] = ()
    duplicates: int = 0


def joined(times: ArrayLike, temps: ArrayLike) -> Merged:
    """A series of readings in any order; of several for one instant the first given.

    Equal values for one instant are duplicates, others are conflicts. ValueError if a
    value is no number.
    """
    raw_times = np.asarray(times, dtype=np.float64)
    raw_temps = np.asarray(temps, dtype=np.float64)
    # Stable, so that of several readings for one instant the one given first leads.
    order = np.argsort(raw_times, kind="stable")
    times_in_order, temps_in_order = raw_times[order], raw_temps[order]
    leads = np.ones(order.size, dtype=np.bool_)
    leads[1:] = times_in_order[1:] != times_in_order[:-1]
    kept = np.flatnonzero(leads)
    leader = kept[np.cumsum(leads) - 1] if order.size else kept
    differs = temps_in_order != temps_in_order[leader]
    found = {
        (float(times_in_order[i]), float(temps_in_order[i])): float(
            temps_in_order[leader[i]]
        )
        for i in np.flatnonzero(differs)
    }
    return Merged(
        Series(times_in_order[kept], temps_in_order[kept]),
        tuple(Conflict(moment(at), kept_c, c) for (at, c), kept_c in found.items()),
        int(order.size - kept.size - differs.sum()),
    )


def merge(*parts: Series) -> Merged:
    """All readings of one sensor, each instant once; earlier parts lead."""
    if not parts:
        return Merged(EMPTY)
    return joined(
        np.concatenate([part.times for part in parts]),
        np.concatenate([part.temps for part in parts]),
    )


def micros(at: datetime) -> int:
    """Whole microseconds since 1970 in UTC."""
    return (at - EPOCH) // _TICK


def instant(us: int) -> datetime:
    """The UTC instant that `micros` counted."""
    return EPOCH + timedelta(microseconds=us)


def seconds(at: datetime) -> float:
    """Seconds since 1970 in UTC."""
    return micros(at) / _PER_SECOND


def moment(at_s: float) -> datetime:
    """The UTC instant that `seconds` counted, to the microsecond."""
    return instant(round(at_s * _PER_SECOND))
