"""Readings put into a history: each stay in pieces of the temperature it had."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime, timedelta

from lidclock.domain.history import MELTING_C, History, Stay
from lidclock.guidance.model import Rule
from lidclock.templog.bands import Band, bands
from lidclock.templog.course import Course
from lidclock.templog.series import moment, seconds

# What was put into a place this long after its last reading is still charged by it.
# Later the place counts as one that nobody reads. Our choice.
STILL_SO = timedelta(days=1)


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

    def before(self, at: datetime) -> float | None:
        """How warm it was when it was read last, within STILL_SO before `at`."""
        for band in reversed(self._bands[: bisect_right(self._begins, at)]):
            if band.ended <= at and band.temp_c is not None:
                return band.temp_c if at - band.ended <= STILL_SO else None
        return None

    def after(self, at: datetime) -> float | None:
        """How warm it was when it was read next, from `at` on; None if it was not."""
        for band in self._bands[bisect_left(self._begins, at) :]:
            if band.temp_c is not None:
                return band.temp_c
        return None


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
    last_c = record.before(stay.began)
    if last_c is None and not any(band.temp_c is not None for band in found):
        return [stay]
    next_c = None if stay.ended is None else record.after(stay.ended)
    known = [last_c, *(band.temp_c for band in found), next_c]
    return [
        _piece(stay, band, _beside(known, n), cold_c, is_last=n == len(found) - 1)
        for n, band in enumerate(found)
    ]


def _beside(known: list[float | None], n: int) -> tuple[float | None, float | None]:
    """What was read before and after the n-th piece."""
    before = (temp_c for temp_c in reversed(known[: n + 1]) if temp_c is not None)
    after = (temp_c for temp_c in known[n + 2 :] if temp_c is not None)
    return next(before, None), next(after, None)


def _piece(
    stay: Stay,
    band: Band,
    beside: tuple[float | None, float | None],
    cold_c: float,
    *,
    is_last: bool,
) -> Stay:
    """One piece; silence counts as the worse of what was read on either side of it.

    What was before the first reading, nobody can tell from it.
    """
    ended = stay.ended if is_last else band.ended
    whole = replace(stay, began=band.began, ended=ended)
    if band.temp_c is not None:
        return replace(whole, temp_c=band.temp_c)
    if beside[0] is None:
        return whole
    read = [temp_c for temp_c in beside if temp_c is not None]
    if stay.state == "hot":
        return replace(whole, temp_c=min(read), is_silent=True)
    warm_from = MELTING_C if stay.state == "freezer" else cold_c
    temp_c = max(read) if max(read) > warm_from else stay.temp_c
    return replace(whole, temp_c=temp_c, is_silent=True)
