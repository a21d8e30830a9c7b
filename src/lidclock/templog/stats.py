"""What a course comes to in a few numbers, and fewer points that still show it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

import numpy as np

from lidclock.kinetics.mean_kinetic import mean_kinetic_temperature
from lidclock.templog.course import Course
from lidclock.templog.excursions import parts_beyond
from lidclock.templog.series import Series


@dataclass(frozen=True, slots=True)
class Stats:
    """Figures of the time that was measured; gaps count for nothing.

    `mean_c` is over time, not over readings. `kinetic_c` is the mean kinetic
    temperature, no safety criterion (`kinetics.mean_kinetic.LABEL`). `share_beyond` is
    the share of the measured time beyond the limit, None without one.
    """

    min_c: float
    mean_c: float
    max_c: float
    measured: timedelta
    kinetic_c: float
    share_beyond: float | None = None


def stats_of(
    course: Course, limit_c: float | None = None, *, is_floor: bool = False
) -> Stats | None:
    """The figures of a course; None where nothing was measured for any time."""
    is_measured = ~course.is_gap
    lengths = np.diff(course.times)[is_measured]
    total = float(lengths.sum())
    if total <= 0:
        return None
    middles = ((course.temps[1:] + course.temps[:-1]) / 2)[is_measured]
    share = None
    if limit_c is not None:
        share = _time_beyond(course, limit_c, is_floor=is_floor) / total
    return Stats(
        min_c=float(course.temps.min()),
        mean_c=float((middles * lengths).sum() / total),
        max_c=float(course.temps.max()),
        measured=timedelta(seconds=total),
        kinetic_c=mean_kinetic_temperature(middles, lengths),
        share_beyond=share,
    )


def _time_beyond(course: Course, limit_c: float, *, is_floor: bool) -> float:
    if is_floor:
        return _time_beyond(course.mirrored(), -limit_c, is_floor=False)
    parts = parts_beyond(course, limit_c, bridge=False)
    return float((parts.ends - parts.starts).sum())


def thinned(series: Series, buckets: int) -> Series:
    """At most four readings in each of so many equal spans of time, none invented.

    The first, lowest, highest and last of each are kept, so that a drawn line shows
    every extreme and every edge of a gap. ValueError unless `buckets` is above 0.
    """
    if buckets < 1:
        raise ValueError(f"buckets must be above 0, not {buckets}")
    if len(series) <= 4 * buckets:
        return series
    span = series.times[-1] - series.times[0]
    bucket = (series.times - series.times[0]) / span * buckets
    number = np.minimum(bucket.astype(np.intp), buckets - 1)
    firsts = np.flatnonzero(np.r_[True, number[1:] != number[:-1]])
    lasts = np.r_[firsts[1:], number.size] - 1
    # Ordered by temperature within each bucket: its ends are the extremes.
    order = np.lexsort((series.temps, number))
    kept = np.unique(np.concatenate([firsts, lasts, order[firsts], order[lasts]]))
    return Series(series.times[kept], series.temps[kept])
