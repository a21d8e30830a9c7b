"""Readings of one place in order: arrays of instants and degrees."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np

Floats = np.ndarray[Any, np.dtype[np.float64]]

# Silence of more than so many usual intervals is a gap (our choice): one reading may
# come late and one may be lost, without an alarm each time.
PATIENCE = 3.0


@dataclass(frozen=True, slots=True)
class Series:
    """Readings of one place; between two of them the temperature goes straight.

    `times` are seconds since 1970 in UTC, ascending and each once; `temps_c` are
    degrees Celsius, as many. `interval_s` is how often a reading is expected; where
    nobody said, the median of what came.
    """

    times: Floats
    temps_c: Floats
    interval_s: float | None = None

    def __post_init__(self) -> None:
        if len(self.times) != len(self.temps_c):
            raise ValueError("there must be one temperature for each time")
        if len(self.times) > 1 and not (np.diff(self.times) > 0).all():
            raise ValueError("times must ascend, each once")

    def __len__(self) -> int:
        return len(self.times)

    @property
    def longest_s(self) -> float:
        """The longest time between two readings that is no gap, in seconds."""
        if self.interval_s is not None:
            return self.interval_s * PATIENCE
        if len(self.times) < 2:
            return 0.0
        return float(np.median(np.diff(self.times))) * PATIENCE

    def within(self, began: float, ended: float) -> Series:
        """The readings of a time, and the one before and after it."""
        first = max(0, int(np.searchsorted(self.times, began, side="right")) - 1)
        last = int(np.searchsorted(self.times, ended, side="left")) + 1
        chosen = slice(first, last)
        return Series(self.times[chosen], self.temps_c[chosen], self.interval_s)

    def gaps(self) -> list[tuple[float, float]]:
        """Where nobody measured for too long, between two readings."""
        if len(self.times) < 2:
            return []
        (wide,) = np.nonzero(np.diff(self.times) > self.longest_s)
        return [(float(self.times[n]), float(self.times[n + 1])) for n in wide]

    def silent_since(self, now: datetime) -> timedelta | None:
        """How long nothing came, if that is too long; None if nothing ever did."""
        if not len(self.times):
            return None
        span = timedelta(seconds=now.timestamp() - float(self.times[-1]))
        return span if span.total_seconds() > self.longest_s > 0 else None


def series_of(
    readings: Iterable[tuple[datetime, float]], interval_s: float | None = None
) -> Series:
    """A series from readings in any order; of two at one instant the warmer counts."""
    warmest: dict[float, float] = {}
    for at, temp_c in readings:
        second = at.timestamp()
        warmest[second] = max(temp_c, warmest.get(second, temp_c))
    times = sorted(warmest)
    return Series(
        np.array(times, dtype=np.float64),
        np.array([warmest[one] for one in times], dtype=np.float64),
        interval_s,
    )


def instant(second: float) -> datetime:
    """Seconds since 1970 as an instant, to the microsecond."""
    return datetime.fromtimestamp(round(second, 6), UTC)
