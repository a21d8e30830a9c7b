"""A recorded heating: how long it stayed hot, and what that is worth, exactly."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidclock.kinetics.arrhenius import relative_mean
from lidclock.kinetics.processes import Process
from lidclock.kinetics.rates import Floats

Bools = NDArray[np.bool_]
_INSTANT = 1e-9
# Where the way up ends. Our choice: what probes are told to differ by.
_COME_UP_C = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Heating:
    """What a probe read, straight between readings except in gaps.

    Parameters
    ----------
    minutes : (n,) strictly rising, n >= 2  [min]
    temps_c : (n,)  [°C]
    is_gap : (n - 1,) True where nobody measured between two readings

    Raises
    ------
    ValueError
        If shapes do not match, times do not rise, or a value is no number.
    """

    minutes: Floats
    temps_c: Floats
    is_gap: Bools

    def __post_init__(self) -> None:
        if self.minutes.ndim != 1 or self.minutes.size < 2:
            raise ValueError("need at least two readings")
        if self.temps_c.shape != self.minutes.shape:
            raise ValueError("need as many temperatures as times")
        if self.is_gap.shape != (self.minutes.size - 1,):
            raise ValueError("need one mark between each two readings")
        if not (np.isfinite(self.minutes).all() and np.isfinite(self.temps_c).all()):
            raise ValueError("times and temperatures must be numbers")
        if not (np.diff(self.minutes) > 0).all():
            raise ValueError("times must rise strictly")

    def cut_at(self, level_c: float) -> Heating:
        """The same lines with a point wherever they cross a temperature."""
        below, above = self.temps_c[:-1], self.temps_c[1:]
        crosses = ((below < level_c) & (above > level_c)) | (
            (below > level_c) & (above < level_c)
        )
        run = np.flatnonzero(crosses & ~self.is_gap)
        share = (level_c - below[run]) / (above[run] - below[run])
        at = self.minutes[run] + share * (self.minutes[run + 1] - self.minutes[run])
        # A crossing next to a reading may fall onto it.
        keep = (at > self.minutes[run]) & (at < self.minutes[run + 1])
        run, at = run[keep], at[keep]
        return Heating(
            np.insert(self.minutes, run + 1, at),
            np.insert(self.temps_c, run + 1, level_c),
            np.insert(self.is_gap, run, np.zeros(run.size, dtype=np.bool_)),
        )

    def first_at(self, level_c: float) -> float | None:
        """When it was first measured to be that hot  [min]; None if it never was."""
        cut = self.cut_at(level_c)
        hot = np.flatnonzero(cut.temps_c >= level_c)
        return float(cut.minutes[hot[0]]) if hot.size else None

    def last_cold(self, level_c: float, before: float) -> float | None:
        """When it was last at or below a temperature before a time  [min]."""
        cut = self.cut_at(level_c)
        cold = np.flatnonzero((cut.temps_c <= level_c) & (cut.minutes <= before))
        return float(cut.minutes[cold[-1]]) if cold.size else None


@dataclass(frozen=True, slots=True)
class Held:
    """How long it stayed at or above a temperature without a break  [min].

    `sure` was measured; `possible` is how long it may have been, where gaps, the time
    before the first or after the last reading hide some: infinite where an end does.
    `since` is when the longest sure time began, None if it was never that hot.
    """

    sure: float
    possible: float
    since: float | None


def held(heating: Heating, level_c: float) -> Held:
    """The longest time at or above a temperature; crossings by the straight lines."""
    cut = heating.cut_at(level_c)
    hot = cut.temps_c >= level_c
    sure, since = _longest(cut, hot[:-1] & hot[1:] & ~cut.is_gap)
    if hot.any() and since is None:
        since = float(cut.minutes[np.flatnonzero(hot)[0]])
    # In a gap it may have been hot; beyond an end that was hot, for ever.
    possible, _ = _longest(cut, (hot[:-1] & hot[1:]) | cut.is_gap)
    if hot[0] or hot[-1]:
        possible = math.inf
    return Held(sure, possible, since)


def _longest(cut: Heating, is_in: Bools) -> tuple[float, float | None]:
    """The longest stretch of neighbouring runs that are in, and when it began."""
    best, since = 0.0, None
    edges = np.flatnonzero(np.diff(np.r_[False, is_in, False].astype(np.int8)))
    for first, end in zip(edges[::2], edges[1::2], strict=True):
        length = float(cut.minutes[end] - cut.minutes[first])
        if length > best:
            best, since = length, float(cut.minutes[first])
    return best, since


@dataclass(frozen=True, slots=True, eq=False)
class Lethality:
    """What a heating is worth by one process  [min at its reference temperature].

    `whole` credits the slow way up, `after_come_up` only what followed `reached`: when
    it was first within 1 °C of the warmest it got. `minutes` and `so_far` are
    the running sum, the way up included. `is_beyond` says that something was warmer
    than the figures, and counted as the warmest of them; `has_gaps` that time without
    readings counted nothing.
    """

    process: Process
    whole: float
    after_come_up: float
    reached: float
    minutes: Floats
    so_far: Floats
    is_beyond: bool
    has_gaps: bool

    def logs(self, worth_min: float) -> float | None:
        """The log reductions of so many minutes; None where the process gives none."""
        return None if self.process.d_min is None else worth_min / self.process.d_min

    def is_more_than_table(self, worth_min: float) -> bool:
        """Whether it is more than the process was counted for: no figure says what."""
        return self.process.minutes is not None and worth_min > self.process.minutes


def lethality(heating: Heating, process: Process) -> Lethality:
    """The integral of ``10 ** ((T - reference) / z)``, in closed form for each run.

    Parameters
    ----------
    heating : the readings; their place counts as the slowest-heating one
    process : reference, z and range

    Notes
    -----
    As `equivalent_minutes`, within the range of the figures only. First-order
    inactivation with a constant z. Whether food was cooked or reheated is judged by the
    temperature and time of an authority, never by this.
    """
    low, high = process.valid_c
    nearly_c = float(heating.temps_c.max()) - _COME_UP_C
    reached = heating.first_at(nearly_c)
    cut = heating.cut_at(nearly_c)
    for level in (low, high):
        if math.isfinite(level):
            cut = cut.cut_at(level)
    counts = (np.minimum(cut.temps_c[:-1], cut.temps_c[1:]) >= low) & ~cut.is_gap
    exponent = (np.minimum(cut.temps_c, high) - process.reference_c) * (
        math.log(10.0) / process.z_c
    )
    worth = np.diff(cut.minutes) * np.exp(exponent[:-1])
    worth = np.where(counts, worth * relative_mean(np.diff(exponent)), 0.0)
    so_far = np.concatenate(([0.0], np.cumsum(worth)))
    assert reached is not None
    after = float(np.sum(worth[cut.minutes[:-1] >= reached - _INSTANT]))
    return Lethality(
        process,
        float(so_far[-1]),
        after,
        reached,
        cut.minutes,
        so_far,
        bool((heating.temps_c > high).any()),
        bool(heating.is_gap.any()),
    )


def heating_of(
    minutes: Floats, temps_c: Floats, longest_gap_min: float = math.inf
) -> Heating:
    """Readings as a heating; runs longer than the gap were not measured."""
    return Heating(minutes, temps_c, np.diff(minutes) > longest_gap_min)
