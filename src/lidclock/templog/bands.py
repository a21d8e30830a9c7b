"""A time cut where the temperature crosses a limit: pieces wholly in one band."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from lidclock.templog.series import Series


@dataclass(frozen=True, slots=True)
class Band:
    """A piece of time between two limits, in seconds since 1970.

    `temp_c` is the warmest of it, or None where nobody measured. Above a limit the
    whole piece is, but for the instants at its ends; else it is nowhere above it.
    """

    began: float
    ended: float
    temp_c: float | None


def bands(
    series: Series, began: float, ended: float, limits_c: Iterable[float]
) -> list[Band]:
    """Pieces that cover `began` to `ended` without a gap, in order.

    Between two readings the temperature goes straight, unless that is a gap; the last
    one holds until the next would be overdue. Before the first, in gaps and after that
    nobody measured.
    """
    if not began < ended:
        return []
    limits = np.array(sorted(set(limits_c)), dtype=np.float64)
    near = series.within(began, ended)
    pieces: list[Band] = []
    at = began
    for start, end, first, last in _runs(near, series, began, ended):
        if start > at:
            pieces.append(Band(at, start, None))
        pieces += _cut(start, end, first, last, limits)
        at = end
    if at < ended:
        pieces.append(Band(at, ended, None))
    return _joined(pieces, limits)


def _runs(
    series: Series, whole: Series, began: float, ended: float
) -> Iterable[tuple[float, float, float, float]]:
    """Straight runs inside the time: where from, where to, and how warm at each end."""
    longest = whole.longest_s
    for n in range(len(series) - 1):
        t0, t1 = float(series.times[n]), float(series.times[n + 1])
        start, end = max(t0, began), min(t1, ended)
        if start >= end or t1 - t0 > longest:
            continue
        c0, c1 = float(series.temps_c[n]), float(series.temps_c[n + 1])
        slope = (c1 - c0) / (t1 - t0)
        first = c0 if start == t0 else c0 + slope * (start - t0)
        last = c1 if end == t1 else c0 + slope * (end - t0)
        yield start, end, first, last
    if len(whole):
        newest, temp_c = float(whole.times[-1]), float(whole.temps_c[-1])
        start, end = max(newest, began), min(newest + longest, ended)
        if start < end:
            yield start, end, temp_c, temp_c


def _cut(
    start: float, end: float, first: float, last: float, limits: np.ndarray
) -> list[Band]:
    """One straight run cut at the limits that it crosses."""
    low, high = min(first, last), max(first, last)
    inside = [float(one) for one in limits if low < one < high]
    if first > last:
        inside.reverse()
    cuts = [start]
    cuts += [start + (end - start) * (one - first) / (last - first) for one in inside]
    ends = [*cuts[1:], end]
    warm = [first, *inside, last]
    return [
        Band(begin, finish, max(warm[n], warm[n + 1]))
        for n, (begin, finish) in enumerate(zip(cuts, ends, strict=True))
        if begin < finish
    ]


def _joined(pieces: list[Band], limits: np.ndarray) -> list[Band]:
    """Pieces of the same band that touch, as one with the warmest of them."""
    found: list[Band] = []
    for piece in pieces:
        last = found[-1] if found else None
        if last is not None and _level(last, limits) == _level(piece, limits):
            warmest = (
                None
                if piece.temp_c is None or last.temp_c is None
                else max(last.temp_c, piece.temp_c)
            )
            found[-1] = Band(last.began, piece.ended, warmest)
        else:
            found.append(piece)
    return found


def _level(band: Band, limits: np.ndarray) -> int:
    """Which limits it is above of; a temperature at a limit is not above it."""
    if band.temp_c is None:
        return -1
    return int(np.searchsorted(limits, band.temp_c, side="left"))
