"""What the readings of one place tell of a time without power."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lidclock.guidance.outage_readings import Seen
from lidclock.templog.series import Bools, Floats, Series

_HOUR_S = 3600.0


@dataclass(frozen=True, slots=True, eq=False)
class OutageReadings:
    """What the sensors of a place said between two instants, each framed  [s].

    A place without power only warms, so a reading speaks for the time before it: the
    time up to a reading counts as warm if it or the one before it is, else as cold.
    After a sensor's last reading nothing is known. Of several sensors the worst counts.
    """

    began: float
    ended: float
    series: tuple[Series, ...]

    @property
    def count(self) -> int:
        """How many readings were taken after its beginning, up to its end."""
        return int((self._times() > self.began).sum())

    @property
    def peak_c(self) -> float | None:
        """The warmest of them; None where there is none."""
        return self._peak(self.began, self.ended)

    @property
    def silent_h(self) -> float:
        """The longest time in which no sensor said anything."""
        times = np.unique(np.r_[self.began, self.ended, self._times()])
        return float(np.diff(times).max(initial=0.0)) / _HOUR_S

    def seen(
        self, limit_c: float, began: float | None = None, ended: float | None = None
    ) -> Seen:
        """Hours above `limit_c` and hours unknown, in all of it or in a part  [s]."""
        began = self.began if began is None else max(began, self.began)
        ended = self.ended if ended is None else min(ended, self.ended)
        if ended <= began:
            return Seen(0.0, 0.0)
        times = self._times()
        inside = times[(times > began) & (times < ended)]
        edges = np.unique(np.r_[began, inside, ended])
        middles, lengths = (edges[1:] + edges[:-1]) / 2, np.diff(edges)
        is_warm, is_cold = np.zeros((2, middles.size), dtype=np.bool_)
        for one in self.series:
            warm, told = _told(one, middles, limit_c, self.ended)
            is_warm |= warm
            is_cold |= told & ~warm
        return Seen(
            float(lengths[is_warm].sum()) / _HOUR_S,
            float(lengths[~is_warm & ~is_cold].sum()) / _HOUR_S,
            self._peak(began, ended),
        )

    def _times(self) -> Floats:
        inside = [one.between(self.began, self.ended).times for one in self.series]
        found: Floats = np.concatenate([np.empty(0), *inside])
        return found

    def _peak(self, began: float, ended: float) -> float | None:
        inside = [one.between(began, ended).temps for one in self.series]
        temps = np.concatenate([np.empty(0), *inside])
        return float(temps.max()) if temps.size else None


def framed(series: Series, began: float, ended: float, wait_s: float) -> Series:
    """The readings from `began` to `ended`, with what stands just outside  [s].

    The last one up to `wait_s` before counts as taken at the beginning; the first one
    up to that long after the end is kept as it is.
    """
    near = series.between(began - wait_s, ended + wait_s)
    before, after = near.times < began, near.times > ended
    is_kept = ~before & ~after
    is_kept[np.flatnonzero(after)[:1]] = True
    times, temps = near.times[is_kept], near.temps[is_kept]
    if before.any() and not (times.size and times[0] == began):
        times = np.r_[began, times]
        temps = np.r_[near.temps[before][-1], temps]
    return Series(times, temps)


def _told(
    series: Series, middles: Floats, limit_c: float, ended: float
) -> tuple[Bools, Bools]:
    """For each moment between readings: counts as warm, and whether anything is told.

    By a reading after the end the power may have cooled the place: it tells something
    only if it is still warm.
    """
    if not len(series):
        nothing = np.zeros(middles.size, dtype=np.bool_)
        return nothing, nothing
    warm = series.temps > limit_c
    found = np.searchsorted(series.times, middles, side="left")
    has_later, has_earlier = found < len(series), found > 0
    later, earlier = np.minimum(found, len(series) - 1), np.maximum(found - 1, 0)
    is_warm = (has_later & warm[later]) | (has_earlier & warm[earlier])
    return is_warm, is_warm | (has_later & (series.times[later] <= ended))
