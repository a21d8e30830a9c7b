"""A running sum over very many runs, quick to build, exact over short differences."""

from __future__ import annotations

import math
from itertools import accumulate
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from lidclock.kinetics.rates import Floats, RateLaw, SquareRoot, floats

Indices = NDArray[np.intp]

# Runs summed as a row. A long sum adds one number after the other; the columns of many
# short rows are added side by side, which the processor does several times faster.
ROW = 8
# Runs in one go: three such arrays of float64 stay near the processor.
BLOCK = 65_536


class Areas(Protocol):
    """The exposure of each run between neighbouring readings, divided by `scale`."""

    scale: float

    def fill(self, times_h: Floats, temps_c: NDArray[np.floating], out: Floats) -> None:
        """Write the n - 1 runs of n readings; ValueError where one is no number."""
        ...


class RunningSum:
    """The sum of all runs before a reading, kept in three parts that add up to it.

    Blocks of runs, rows within a block, runs within a row: sums start anew in each, so
    that a short stay late in a long record keeps its digits.
    """

    __slots__ = ("_block", "_blocks", "_rows", "_within")

    def __init__(
        self,
        times_h: Floats,
        temps_c: NDArray[np.floating],
        areas: Areas,
        block: int = BLOCK,
    ) -> None:
        runs = times_h.size - 1
        rows = -(-runs // ROW)
        self._block = block
        self._within = np.empty((rows, ROW))
        self._within[-1] = 0.0
        self._rows = np.empty(rows)
        flat = self._within.reshape(-1)
        totals = []
        for first in range(0, runs, block):
            last = min(first + block, runs)
            here = slice(first, last + 1)
            areas.fill(times_h[here], temps_c[here], flat[first:last])
            totals.append(self._sum(first // ROW, -(-last // ROW)))
            if not math.isfinite(totals[-1]):
                raise ValueError("a time or temperature is no number")
        self._blocks = np.array([*accumulate(totals, initial=0.0)])

    def _sum(self, first_row: int, last_row: int) -> float:
        """Sum the rows of one block in place; its total."""
        within = self._within[first_row:last_row]
        for column in range(1, ROW):
            np.add(within[:, column - 1], within[:, column], out=within[:, column])
        rows = self._rows[first_row:last_row]
        rows[0] = 0.0
        np.cumsum(within[:-1, -1], out=rows[1:])
        return float(rows[-1] + within[-1, -1])

    @property
    def total(self) -> float:
        """The sum of all runs, divided by scale."""
        return float(self._blocks[-1])

    def before(self, reading: Indices) -> tuple[Floats, Floats, Floats]:
        """The three parts of the sum of all runs that end at or before each reading."""
        run = np.maximum(reading - 1, 0)
        within = self._within.reshape(-1)[run]
        within[reading == 0] = 0.0
        return self._blocks[run // self._block], self._rows[run // ROW], within


class AnyAreas:
    """Any law: its mean rate times the hours."""

    def __init__(self, law: RateLaw) -> None:
        self.scale = 1.0
        self._law = law

    def fill(self, times_h: Floats, temps_c: NDArray[np.floating], out: Floats) -> None:
        """Write the exposure of each run."""
        temps = floats(temps_c)
        _refuse_gaps(float(temps.min()), float(temps.max()))
        hours = _hours(times_h, np.empty(out.size))
        np.multiply(self._law.mean_rate(temps[:-1], temps[1:]), hours, out=out)


class SquareRootAreas:
    """The square-root law in place: ``(x² + x y + y²) hours``, without ``b² / 3``.

    x and y are the degrees above tmin at either end of a run.
    """

    def __init__(self, law: SquareRoot, block: int = BLOCK) -> None:
        self.scale = law.b * law.b / 3
        self._tmin_c = law.tmin_c
        self._above, self._scratch = np.empty(block + 1), np.empty(block)

    def fill(self, times_h: Floats, temps_c: NDArray[np.floating], out: Floats) -> None:
        """Write the exposure of each run, divided by scale."""
        above, scratch = self._above[: temps_c.size], self._scratch[: out.size]
        # float32 readings are widened first: a small difference needs all its digits.
        np.subtract(temps_c, self._tmin_c, out=above, dtype=np.float64)
        crossing, shares = _cross(above, float(above.min()))
        x, y = above[:-1], above[1:]
        np.add(x, y, out=out)
        np.multiply(out, out, out=out)
        np.multiply(x, y, out=scratch)
        np.subtract(out, scratch, out=out)
        np.multiply(out, _hours(times_h, scratch), out=out)
        out[crossing] *= shares


def need_whole_rows(block: int) -> None:
    """Refuse a block that rows do not fill."""
    if block < ROW or block % ROW:
        raise ValueError(f"block must be a multiple of {ROW}, not {block}")


def areas_of(law: RateLaw, block: int = BLOCK) -> Areas:
    """The quickest exact way to the exposure of a run under this law."""
    need_whole_rows(block)
    return SquareRootAreas(law, block) if isinstance(law, SquareRoot) else AnyAreas(law)


def _cross(above: Floats, lowest: float) -> tuple[Indices, Floats]:
    """Clamp degrees above tmin at 0; the runs that cross it, and their shares above."""
    if lowest >= 0:
        return np.empty(0, dtype=np.intp), np.empty(0)
    _refuse_gaps(lowest, lowest)
    is_below = above < 0
    crossing = np.flatnonzero(is_below[:-1] != is_below[1:])
    x, y = above[crossing], above[crossing + 1]
    shares: Floats = np.maximum(x, y) / np.abs(y - x)
    np.maximum(above, 0.0, out=above)
    return crossing, shares


def _hours(times_h: Floats, scratch: Floats) -> Floats:
    np.subtract(times_h[1:], times_h[:-1], out=scratch)
    if not scratch.min() > 0:
        raise ValueError("times must rise strictly, and be numbers")
    return scratch


def _refuse_gaps(lowest: float, highest: float) -> None:
    if not (math.isfinite(lowest) and math.isfinite(highest)):
        raise ValueError("a temperature is no number: split the readings at a gap")
