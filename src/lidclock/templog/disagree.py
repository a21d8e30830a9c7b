"""Two sensors in one place that say different things: one of them is wrong."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from lidclock.templog.course import Course, worst_of
from lidclock.templog.excursions import parts_beyond
from lidclock.templog.series import Series, moment

# Two that are each right to 1.5 °C (FDA Food Code, 4-203.12) differ by no more.
DISAGREE_C = 3.0


@dataclass(frozen=True, slots=True)
class Disagreement:
    """A time in which two sensors of one place lay `most_c` apart, or less."""

    began: datetime
    ended: datetime
    most_c: float


def disagreements(
    one: Course, other: Course, more_than_c: float = DISAGREE_C
) -> list[Disagreement]:
    """When two sensors of one place lay further apart than that, both measuring."""
    parts = parts_beyond(_apart(one, other), more_than_c, bridge=False)
    if not parts.starts.size:
        return []
    firsts, lasts = parts.runs()
    most = np.maximum.reduceat(parts.peaks, firsts).tolist()
    ends = zip(parts.starts[firsts], parts.ends[lasts], most, strict=True)
    return [Disagreement(moment(a), moment(b), c) for a, b, c in ends]


def spots_apart(
    series: Series, course: Course, more_than_c: float = DISAGREE_C
) -> list[Disagreement]:
    """When single readings, such as typed ones, lay too far from what was measured.

    Between readings that far apart nobody knows what the other thermometer would have
    said; only the moments of reading are compared.
    """
    apart = np.abs(series.temps - course.at(series.times))
    found = np.flatnonzero(apart > more_than_c)
    return [
        Disagreement(moment(at), moment(at), float(most))
        for at, most in zip(series.times[found], apart[found], strict=True)
    ]


def _apart(one: Course, other: Course) -> Course:
    """How far apart two courses lie, where both were measured."""
    moments = worst_of([one, other]).times
    apart = np.abs(one.at(moments) - other.at(moments))
    known = ~np.isnan(apart)
    times = moments[known]
    middles = (times[1:] + times[:-1]) / 2
    is_both = one.measures(middles) & other.measures(middles)
    return Course(times, apart[known], ~is_both)
