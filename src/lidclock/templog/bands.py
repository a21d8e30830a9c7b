"""A window cut where a course crosses thresholds, for clocks that compare."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from lidclock.templog.course import Course
from lidclock.templog.series import Floats, Indices, instant, micros

_PER_SECOND = 1_000_000
# Seconds since 1970 as float64 are this exact at least, in microseconds.
_NOISE_US = 0.3
_UNMEASURED = -1


@dataclass(frozen=True, slots=True)
class Band:
    """A piece of a window that lies wholly within one band between thresholds.

    `temp_c` is the warmest of the piece, so that ``temp_c > threshold`` and
    ``temp_c >= threshold`` say what holds all through it; a piece that only reaches up
    to a threshold gets the next number below. None where nobody measured.
    """

    began: datetime
    ended: datetime
    temp_c: float | None


@dataclass(frozen=True, slots=True)
class _Run:
    """A run of one class from `began` on: below, at, or above each threshold.

    Classes rise with the temperature: 2 k is between the limits k - 1 and k, 2 k + 1 is
    exactly at limit k, and -1 was not measured.
    """

    began: float
    kind: int
    temp_c: float | None


def bands(
    course: Course, began: datetime, ended: datetime, thresholds: Iterable[float]
) -> list[Band]:
    """Cut the window from `began` to `ended` at gaps and at crossings of thresholds.

    The pieces touch, follow each other in time and fill the window. An instant between
    two pieces is rounded to a microsecond so that the warmer one is not shortened.
    ValueError if the window ends before it begins, or a threshold is no number.
    """
    limits = np.unique(np.asarray([*thresholds], dtype=np.float64))
    if not np.isfinite(limits).all():
        raise ValueError("a threshold must be a number")
    if ended < began:
        raise ValueError(f"a window must not end before it begins: {began}, {ended}")
    found: list[tuple[int, int, _Run]] = []
    for first, last, run in _rounded(course, limits, micros(began), micros(ended)):
        if found and found[-1][2].kind == run.kind:
            # What lay between was shorter than a microsecond.
            first, _, earlier = found.pop()
            found.append((first, last, max(earlier, run, key=_warmth)))
        else:
            found.append((first, last, run))
    return [Band(instant(a), instant(b), run.temp_c) for a, b, run in found]


def _warmth(run: _Run) -> float:
    return -math.inf if run.temp_c is None else run.temp_c


def _rounded(
    course: Course, limits: Floats, first: int, last: int
) -> Iterator[tuple[int, int, _Run]]:
    """The runs that last at least a microsecond, from `first` to `last`  [µs]."""
    runs = _runs(course.clip(first / _PER_SECOND, last / _PER_SECOND), limits)
    at = first
    for number, run in enumerate(runs):
        end = last
        if number + 1 < len(runs):
            later = runs[number + 1]
            end = _whole(later.began, is_early=later.kind > run.kind)
            end = min(max(end, at), last)
        if end > at:
            yield at, end, run
        at = end


def _whole(at_s: float, *, is_early: bool) -> int:
    """Whole microseconds, rounded down or up unless it is one all but for noise."""
    exact = at_s * _PER_SECOND
    nearest = round(exact)
    if abs(exact - nearest) < _NOISE_US:
        return nearest
    return math.floor(exact) if is_early else math.ceil(exact)


def _runs(course: Course, limits: Floats) -> list[_Run]:
    """Runs of one class, the first from before any time on, the last without end."""
    unmeasured = _Run(-math.inf, _UNMEASURED, None)
    if len(course) < 2:
        return [unmeasured]
    times, temps, kinds = _cut(course, limits)
    firsts = np.flatnonzero(np.r_[True, kinds[1:] != kinds[:-1]])
    ends = np.r_[firsts[1:], kinds.size]
    peaks = np.maximum.reduceat(np.maximum(temps[:-1], temps[1:]), firsts)
    runs = [unmeasured]
    for first, peak in zip(firsts.tolist(), peaks.tolist(), strict=True):
        kind = int(kinds[first])
        runs.append(_Run(float(times[first]), kind, _warmest(peak, kind, limits)))
    return [*runs, _Run(float(times[ends[-1]]), _UNMEASURED, None)]


def _warmest(peak_c: float, kind: int, limits: Floats) -> float | None:
    """The warmest of a run, yet within its band."""
    if kind == _UNMEASURED:
        return None
    upper, is_at_limit = divmod(kind, 2)
    if is_at_limit or upper == limits.size or peak_c < limits[upper]:
        return peak_c
    return math.nextafter(float(limits[upper]), -math.inf)


def _cut(course: Course, limits: Floats) -> tuple[Floats, Floats, Indices]:
    """The course with points wherever it crosses a limit, and each piece's class."""
    times, temps, is_gap = course.times, course.temps, course.is_gap
    for limit in limits:
        below, above = temps[:-1], temps[1:]
        crossed = ((below < limit) & (above > limit)) | (
            (below > limit) & (above < limit)
        )
        piece = np.flatnonzero(crossed & ~is_gap)
        share = (limit - temps[piece]) / (temps[piece + 1] - temps[piece])
        at = times[piece] + share * (times[piece + 1] - times[piece])
        times = np.insert(times, piece + 1, at)
        temps = np.insert(temps, piece + 1, limit)
        is_gap = np.insert(is_gap, piece, np.zeros(piece.size, dtype=np.bool_))
    highest = np.maximum(temps[:-1], temps[1:])
    kinds = 2 * np.searchsorted(limits, highest, side="left")
    stands = temps[:-1] == temps[1:]
    kinds += stands & np.isin(highest, limits)
    return times, temps, np.where(is_gap, _UNMEASURED, kinds)
