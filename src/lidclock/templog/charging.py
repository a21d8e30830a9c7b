"""Readings put into a history: each stay in pieces of the temperature it had."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np

from lidclock.domain.history import MELTING_C, History, Stay
from lidclock.guidance.model import Rule
from lidclock.templog.bands import Band, bands
from lidclock.templog.course import Course
from lidclock.templog.series import moment, seconds

# What was put into a place this long after its last reading is still charged by it.
# Later the place counts as one that nobody reads. Our choice.
STILL_SO = timedelta(days=1)
# Seconds since 1970 as float64 are within this of the instants that they stand for.
_NOISE_S = 1e-5


def limits_of(rules: Iterable[Rule], cold_c: float) -> tuple[float, ...]:
    """Every temperature on which something hangs: where pieces have to be cut."""
    found = {cold_c, MELTING_C}
    for rule in rules:
        for limit in (rule.above_c, rule.below_c, rule.ceiling_c):
            found |= {limit} if limit is not None else set()
    return tuple(sorted(found))


class Record:
    """What one place did, cut once at limits, then asked for each stay there.

    What was read last holds until `quiet_from`, when somebody should have read again.
    Cutting takes time in proportion to the readings, a stay that of the pieces it
    gets. ValueError if a limit is no number.
    """

    def __init__(
        self,
        course: Course,
        limits_c: Iterable[float],
        quiet_from: datetime | None = None,
    ) -> None:
        self._course = course
        self._bands: list[Band] = []
        if len(course):
            began, ended = moment(course.times[0]), moment(course.times[-1])
            self._bands = bands(course, began, ended, limits_c)
        if self._bands and quiet_from is not None:
            # Who may still speak is not silent yet.
            last = self._bands[-1]
            self._bands[-1] = replace(last, ended=max(last.ended, quiet_from))
        self._begins = [band.began for band in self._bands]

    def during(self, stay: Stay) -> list[Band]:
        """The bands within a stay, what lies outside of the record unmeasured.

        They touch and fill the stay; the last one of a stay that lasts ends where the
        record ends, or where the stay begins if that is later.
        """
        first = max(bisect_right(self._begins, stay.began) - 1, 0)
        found: list[Band] = []
        at = stay.began
        for band in self._bands[first:]:
            began, ended = max(band.began, at), band.ended
            if stay.ended is not None:
                if began >= stay.ended:
                    break
                ended = min(ended, stay.ended)
            if ended <= began:
                continue
            if began > at:
                found.append(Band(at, began, None))
            found.append(Band(began, ended, band.temp_c))
            at = ended
        if stay.ended is None or at < stay.ended:
            found.append(Band(at, stay.ended or at, None))
        return found

    def is_within(self, least_c: float, most_c: float) -> bool:
        """Whether all that was read lies within these two, either one included."""
        known = [band.temp_c for band in self._bands if band.temp_c is not None]
        return all(least_c <= temp_c <= most_c for temp_c in known)

    def beside(
        self, began: datetime, ended: datetime | None, entered: datetime
    ) -> tuple[float | None, float | None]:
        """What was read last before an unmeasured time, and next after it.

        None where nothing was, or last longer than STILL_SO before the stay began.
        """
        times, temps = self._course.times, self._course.temps
        first = int(np.searchsorted(times, seconds(began) + _NOISE_S, side="right"))
        before = after = None
        if first and times[first - 1] >= seconds(entered - STILL_SO) - _NOISE_S:
            before = float(temps[first - 1])
        if ended is not None:
            last = int(np.searchsorted(times, seconds(ended) - _NOISE_S, side="left"))
            after = float(temps[last]) if last < len(self._course) else None
        return before, after


Find = Callable[[Stay], Record | None]


def stay_by_stay(course: Course, limits_c: Iterable[float]) -> Find:
    """One course for all stays; what was read in one says nothing of the next place."""
    limits = tuple(limits_c)

    def find(stay: Stay) -> Record:
        ended = math.inf if stay.ended is None else seconds(stay.ended)
        return Record(course.clip(seconds(stay.began), ended), limits)

    return find


def measured(history: History, find: Find, cold_c: float) -> History:
    """The history with every stay cut where its place crossed a limit.

    `find` gives what a stay's place did, or None. Air counts as the food's
    temperature, which is the worse reading. Time in which nobody measured stays what
    it was; but between readings of which one was above `cold_c`, and after a last one
    that was, it counts as that warm. In a freezer that holds from the melting point
    on, in a hot hold the cooler of the two counts. What went into a mixture is charged
    for its own stays.
    """
    stays = tuple(
        piece for stay in history.stays for piece in _pieces(stay, find(stay), cold_c)
    )
    parts = tuple(
        replace(part, history=measured(part.history, find, cold_c))
        for part in history.components
    )
    if stays == history.stays and parts == history.components:
        return history
    return replace(history, stays=stays, components=parts)


def _pieces(stay: Stay, record: Record | None, cold_c: float) -> list[Stay]:
    if record is None or not stay.recorded:
        return [stay]
    found = record.during(stay)
    return [
        _piece(stay, band, record, cold_c, is_last=n == len(found) - 1)
        for n, band in enumerate(found)
    ]


def _piece(
    stay: Stay, band: Band, record: Record, cold_c: float, *, is_last: bool
) -> Stay:
    """One piece; silence counts as the worse of what was read on either side of it.

    What was before the first reading, nobody can tell from it.
    """
    ended = stay.ended if is_last else band.ended
    whole = replace(stay, began=band.began, ended=ended)
    if band.temp_c is not None:
        return replace(whole, temp_c=band.temp_c)
    before, after = record.beside(band.began, ended, stay.began)
    if before is None:
        return whole
    read = [temp_c for temp_c in (before, after) if temp_c is not None]
    if stay.state == "hot":
        return replace(whole, temp_c=min(read), is_silent=True)
    warm_from = MELTING_C if stay.state == "freezer" else cold_c
    temp_c = max(read) if max(read) > warm_from else stay.temp_c
    return replace(whole, temp_c=temp_c, is_silent=True)
