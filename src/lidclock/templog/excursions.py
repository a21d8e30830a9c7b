"""Excursions: a place beyond its limit, from when to when, how far, how much."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from lidclock.templog.course import Course
from lidclock.templog.food import LAG_S, peaks_behind
from lidclock.templog.series import Bools, Floats, Indices, moment

_HOUR_S = 3600.0
_LEAST_S = 1e-6


@dataclass(frozen=True, slots=True)
class Excursion:
    """One unbroken time beyond a limit; for a hot hold, below it.

    `peak_c` is the worst reading, `degree_hours` the integral of the distance to the
    limit. Of its length `bridged` was not measured: it is taken as bad as the worse of
    the readings around the gap, so the figures bound it and do not measure it.
    `food_peak_c` is how far food behind the air got; where that stays within the limit
    it is a spike, as when a door stood open. `is_open` if it lasts to the end.
    """

    began: datetime
    ended: datetime
    peak_c: float
    mean_c: float
    degree_hours: float
    bridged: timedelta
    food_peak_c: float
    is_spike: bool
    is_open: bool

    @property
    def length(self) -> timedelta:
        """How long it lasted."""
        return self.ended - self.began

    @property
    def is_bounded(self) -> bool:
        """Whether a part of it was not measured."""
        return self.bridged > timedelta(0)


def excursions(
    course: Course, limit_c: float, *, is_floor: bool = False, lag_s: float = LAG_S
) -> list[Excursion]:
    """Every time beyond the limit, in order; exactly at it is within.

    Parameters
    ----------
    course : the air of a place
    limit_c : above it is beyond; with `is_floor`, below it  [°C]
    lag_s : how far the food lags behind the air; 0 for none  [s]

    Notes
    -----
    Exact for air that is linear between readings: begin and end are the instants of
    crossing, degree-hours sums of trapezoids. Times beyond that only touch at an
    instant are one. A gap counts as beyond where either reading at its ends is.
    """
    if is_floor:
        found = excursions(course.mirrored(), -limit_c, lag_s=lag_s)
        return [_mirrored(one) for one in found]
    parts = parts_beyond(course, limit_c)
    if not parts.starts.size:
        return []
    food = peaks_behind(course, lag_s)[parts.piece]
    firsts, lasts = parts.runs()
    unmeasured = np.where(parts.is_gap, parts.ends - parts.starts, 0.0)
    sums = zip(
        parts.starts[firsts].tolist(),
        parts.ends[lasts].tolist(),
        np.maximum.reduceat(parts.peaks, firsts).tolist(),
        np.add.reduceat(parts.areas, firsts).tolist(),
        np.add.reduceat(unmeasured, firsts).tolist(),
        np.maximum.reduceat(food, firsts).tolist(),
        strict=True,
    )
    return [
        Excursion(
            began=moment(began),
            ended=moment(ended),
            peak_c=peak,
            mean_c=limit_c + area / (ended - began),
            degree_hours=area / _HOUR_S,
            bridged=timedelta(seconds=bridged),
            food_peak_c=food_peak,
            is_spike=food_peak <= limit_c,
            is_open=bool(ended == course.times[-1]),
        )
        for began, ended, peak, area, bridged, food_peak in sums
    ]


@dataclass(frozen=True, slots=True, eq=False)
class Parts:
    """The parts of the pieces of a course that lie beyond a limit, in order.

    `areas` are integrals of the distance to the limit  [°C s].
    """

    piece: Indices
    starts: Floats
    ends: Floats
    peaks: Floats
    areas: Floats
    is_gap: Bools

    def runs(self) -> tuple[Indices, Indices]:
        """The first and the last part of each run of parts that touch."""
        touches = self.starts[1:] == self.ends[:-1]
        firsts = np.flatnonzero(np.r_[True, ~touches])
        return firsts, np.r_[firsts[1:], self.starts.size] - 1


def parts_beyond(course: Course, limit_c: float, *, bridge: bool = True) -> Parts:
    """Where a course lies above the limit, piece by piece.

    With `bridge` a gap is as warm as the warmer of its ends; without, it is left out.
    """
    first, last = course.temps[:-1], course.temps[1:]
    worse = np.maximum(first, last)
    first = np.where(course.is_gap, worse, first)
    last = np.where(course.is_gap, worse, last)
    is_beyond = worse > limit_c
    piece = np.flatnonzero(is_beyond if bridge else is_beyond & ~course.is_gap)
    began, ended = course.times[:-1][piece], course.times[1:][piece]
    first, last, peaks = first[piece], last[piece], worse[piece]
    # How much of the piece lies beyond: all, or from or up to the crossing.
    share = np.ones(piece.size)
    crosses = np.minimum(first, last) < limit_c
    share[crosses] = (peaks - limit_c)[crosses] / np.abs(last - first)[crosses]
    length = (ended - began) * share
    starts = np.where(crosses & (first < limit_c), ended - length, began)
    ends = np.where(crosses & (last < limit_c), began + length, ended)
    lowest = np.maximum(np.minimum(first, last), limit_c)
    areas = length * ((peaks + lowest) / 2 - limit_c)
    # Time is kept to the microsecond: less than one is a touch.
    kept = length >= _LEAST_S
    return Parts(
        *(piece[kept], starts[kept], ends[kept]),
        *(peaks[kept], areas[kept], course.is_gap[piece][kept]),
    )


def _mirrored(one: Excursion) -> Excursion:
    return replace(
        one,
        peak_c=-one.peak_c,
        mean_c=-one.mean_c,
        food_peak_c=-one.food_peak_c,
    )
