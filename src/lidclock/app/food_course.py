"""The temperature a container had, stretch by stretch, and how each is known."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import pairwise

import numpy as np

from lidclock.app.temp_course import CourseOf
from lidclock.domain.history import History, Stay
from lidclock.templog.course import Course
from lidclock.templog.series import Floats, moment, seconds

MEASURED, FOOD, SAID, ASSUMED = "measured", "food", "said", "assumed"
# Where nobody measured. The upper end of what a room is in most kitchens: common
# practice, no source.
ROOM_C = 25.0
# What freezers are set to (0 °F); nothing here grows at it or near it.
FROZEN_C = -18.0
# Two readings of cooling food further apart than the six hours of a cool (Food Code
# 3-501.14) do not tell what it was between them.
LONGEST_COOL = timedelta(hours=6)


@dataclass(frozen=True, slots=True)
class Assumed:
    """What a place is taken to be where nobody measured  [°C]."""

    fridge: float
    hot: float
    counter: float = ROOM_C
    freezer: float = FROZEN_C

    def of(self, state: str) -> float:
        """The temperature for a state; a state nobody knows counts as the counter."""
        known = {"fridge": self.fridge, "hot": self.hot, "freezer": self.freezer}
        return known.get(state, self.counter)


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """An unbroken time in one place that is known in one way.

    `known` is `measured` for the air of the place, `food` for the food itself, `said`
    for what the thermometer said when it was put there, else `assumed`. `course` has at
    least two points, no gap, and begins and ends with the stretch.
    """

    stay: Stay
    known: str
    course: Course

    @property
    def began(self) -> datetime:
        """When it began."""
        return moment(float(self.course.times[0]))

    @property
    def ended(self) -> datetime:
        """When it ended, or up to when it is foreseen."""
        return moment(float(self.course.times[-1]))


def food_course(
    history: History, find: CourseOf, assumed: Assumed, until: datetime
) -> list[Stretch]:
    """Everything from the first stay up to `until`, without holes.

    Readings of the food itself go before those of its place's air, these before what
    was said when it was put there, and what nobody measured is assumed; beside a
    reading that was worse, it is as bad as that one. A stay that lasts goes on.
    """
    found: list[Stretch] = []
    for stay in history.stays:
        ended = min(stay.ended or until, until)
        if stay.began < ended:
            found += _stay(stay, find(stay) if stay.recorded else None, assumed, ended)
    for cool in _cools(history.coolings):
        found = list(_laid_over(found, cool))
    return found


def _stay(
    stay: Stay, course: Course | None, assumed: Assumed, ended: datetime
) -> Iterator[Stretch]:
    began_s, ended_s = seconds(stay.began), seconds(ended)
    plain_c = assumed.of(stay.state) if stay.temp_c is None else stay.temp_c
    known = ASSUMED if stay.temp_c is None else SAID
    runs = _runs(course.clip(began_s, ended_s)) if course is not None else []
    worse = min if stay.state == "hot" else max
    at = began_s
    before: float | None = None
    for times, temps in runs:
        if times[0] > at:
            # What was before the first reading, nobody can tell from it.
            beside = [] if before is None else [before, float(temps[0])]
            temp_c = worse([plain_c, *beside])
            yield Stretch(stay, known, _flat(at, float(times[0]), temp_c))
        if times.size > 1:
            yield Stretch(stay, MEASURED, _solid(times, temps))
        at, before = float(times[-1]), float(temps[-1])
    if at < ended_s:
        temp_c = plain_c if before is None else worse(plain_c, before)
        yield Stretch(stay, known, _flat(at, ended_s, temp_c))


def _runs(course: Course) -> list[tuple[Floats, Floats]]:
    """The pieces of a course without a gap; a reading alone is one of no length."""
    edges = [0, *(np.flatnonzero(course.is_gap) + 1), len(course)]
    return [
        (course.times[first:last], course.temps[first:last])
        for first, last in pairwise(edges)
        if last > first
    ]


def _solid(times: Floats, temps: Floats) -> Course:
    return Course(times, temps, np.zeros(times.size - 1, dtype=np.bool_))


def _flat(began_s: float, ended_s: float, temp_c: float) -> Course:
    return _solid(np.array([began_s, ended_s]), np.array([temp_c, temp_c]))


def _cools(readings: Iterable[tuple[datetime, float | None]]) -> Iterator[Course]:
    """Readings of the food that follow each other within the hours of a cool."""
    known = sorted({at: c for at, c in readings if c is not None}.items())
    group: list[tuple[datetime, float]] = []
    for at, temp_c in known:
        if group and at - group[-1][0] > LONGEST_COOL:
            yield from _cool(group)
            group = []
        group.append((at, temp_c))
    yield from _cool(group)


def _cool(group: list[tuple[datetime, float]]) -> Iterator[Course]:
    if len(group) > 1:
        times = np.array([seconds(at) for at, _ in group])
        yield _solid(times, np.array([temp_c for _, temp_c in group]))


def _laid_over(found: Iterable[Stretch], cool: Course) -> Iterator[Stretch]:
    """The stretches, with what was read of the food in place of what they say."""
    first, last = float(cool.times[0]), float(cool.times[-1])
    for one in found:
        began, ended = float(one.course.times[0]), float(one.course.times[-1])
        if ended <= first or began >= last:
            yield one
            continue
        if began < first:
            yield replace(one, course=one.course.clip(began, first))
        inside = cool.clip(max(began, first), min(ended, last))
        yield Stretch(one.stay, FOOD, inside)
        if ended > last:
            yield replace(one, course=one.course.clip(last, ended))
