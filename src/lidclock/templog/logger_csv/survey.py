"""What a file holds, sensor by sensor: how many readings, from when to when."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from lidclock.templog.logger_csv.reader import Part
from lidclock.templog.logger_csv.zones import usual_step


@dataclass(frozen=True, slots=True)
class Span:
    """Readings of one sensor in a file; `typical_c` is their median at its start."""

    column: int
    name: str
    count: int
    first_us: int
    last_us: int
    coldest_c: float
    warmest_c: float
    typical_c: float
    step_us: int

    def and_then(self, more: Span) -> Span:
        """Both together, as one."""
        return replace(
            self,
            count=self.count + more.count,
            first_us=min(self.first_us, more.first_us),
            last_us=max(self.last_us, more.last_us),
            coldest_c=min(self.coldest_c, more.coldest_c),
            warmest_c=max(self.warmest_c, more.warmest_c),
        )


def spans(batches: Iterable[list[Part]]) -> list[Span]:
    """One span for each column and name, in the order of columns, then names."""
    found: dict[tuple[int, str], Span] = {}
    for batch in batches:
        for part in batch:
            span = _span(part)
            key = (part.column, part.name)
            found[key] = found[key].and_then(span) if key in found else span
    return [found[key] for key in sorted(found)]


def _span(part: Part) -> Span:
    series = part.series
    return Span(
        part.column,
        part.name,
        int(series.at_us.size),
        int(series.at_us[0]),
        int(series.at_us[-1]),
        float(series.temp_c.min()),
        float(series.temp_c.max()),
        float(np.median(series.temp_c)),
        usual_step(series.at_us),
    )
