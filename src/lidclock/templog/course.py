"""What a place did: straight lines between readings, and gaps where nobody measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce

import numpy as np

from lidclock.templog.gaps import Pace
from lidclock.templog.series import Bools, Floats, Series, check_rising

# Where one of two sensors begins or ends, the worst of both jumps within this time.
_JUMP_S = 0.001


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """A temperature over time, linear between its points except in gaps.

    Parameters
    ----------
    times : (n,) float64, strictly rising, seconds since 1970 in UTC  [s]
    temps : (n,) float64  [°C]
    is_gap : (n - 1,) bool, True where nobody measured between two points; (0,) if n = 0

    Raises
    ------
    ValueError
        If shapes do not match, times do not rise, or a value is no number.
    """

    times: Floats
    temps: Floats
    is_gap: Bools

    def __post_init__(self) -> None:
        check_rising(self.times, self.temps)
        if self.is_gap.shape != (max(self.times.size - 1, 0),):
            raise ValueError("need one mark between each two points")

    def __len__(self) -> int:
        return int(self.times.size)

    def at(self, moments: Floats) -> Floats:
        """The temperature at each moment; NaN where nobody measured  [°C]."""
        if not len(self):
            return np.full(moments.shape, np.nan)
        found: Floats = np.interp(moments, self.times, self.temps)
        found[~self.measures(moments)] = np.nan
        return found

    def measures(self, moments: Floats) -> Bools:
        """Whether each moment is a point, or lies between two without a gap."""
        if not len(self):
            return np.zeros(moments.shape, dtype=np.bool_)
        before = np.searchsorted(self.times, moments, side="right") - 1
        is_measured: Bools = (before >= 0) & (self.times[before] == moments)
        inside = (before >= 0) & (before < len(self) - 1)
        is_measured[inside] |= ~self.is_gap[before[inside]]
        return is_measured

    def clip(self, began: float, ended: float) -> Course:
        """The part within a window; its ends are read off the lines there  [s]."""
        inside = self.times[(self.times > began) & (self.times < ended)]
        return self.through(np.unique(np.r_[began, inside, ended]))

    def through(self, moments: Floats) -> Course:
        """The same lines with points at these moments, of those that were measured.

        Every point of the course between the first and the last must be among them.
        """
        temps = self.at(moments)
        known = ~np.isnan(temps)
        times = moments[known]
        return Course(times, temps[known], ~self.measures(_middles(times)))

    def mirrored(self) -> Course:
        """The same with every temperature negated: what is below comes out above."""
        return Course(self.times, -self.temps, self.is_gap)


EMPTY_COURSE = Course(np.empty(0), np.empty(0), np.empty(0, dtype=np.bool_))


def course_of(series: Series, pace: Pace, *, until: float = np.inf) -> Course:
    """The course that one sensor's readings tell.

    A reading that no other follows in time, the last one included, holds for one
    expected interval, though not beyond `until`; then there is a gap  [s].
    """
    if not len(series):
        return EMPTY_COURSE
    times, temps = series.times, series.temps
    is_alone = np.r_[np.diff(times) > pace.longest_s, True]
    held_until = np.minimum(times[is_alone] + pace.interval_s, until)
    is_longer = held_until > times[is_alone]
    places = np.flatnonzero(is_alone)[is_longer] + 1
    all_times = np.insert(times, places, held_until[is_longer])
    all_temps = np.insert(temps, places, temps[is_alone][is_longer])
    is_reading = np.ones(all_times.size, dtype=np.bool_)
    is_reading[places + np.arange(places.size)] = False
    # A gap begins at each held point, or at the reading itself where none was added.
    ends_alone = np.zeros(all_times.size, dtype=np.bool_)
    ends_alone[is_reading] = is_alone
    ends_alone[:-1] &= is_reading[1:]
    return Course(all_times, all_temps, (~is_reading | ends_alone)[:-1])


def worst_of(courses: Sequence[Course], *, is_floor: bool = False) -> Course:
    """Of several sensors in one place, the warmest at each instant.

    For a hot hold (`is_floor`) the coolest. Where one has a gap the others count alone.
    """
    if is_floor:
        return worst_of([one.mirrored() for one in courses]).mirrored()
    return reduce(_warmer, courses, EMPTY_COURSE)


def filled_by(
    course: Course, other: Course, *, quiet_from: float, is_floor: bool = False
) -> Course:
    """A course whose gaps another one fills; where it measures, it counts alone.

    After its end the other counts from `quiet_from` on, since a sensor that may still
    speak is not silent yet  [s]. Where one takes over from the other, the worse of both
    counts.
    """
    if is_floor:
        return filled_by(
            course.mirrored(), other.mirrored(), quiet_from=quiet_from
        ).mirrored()
    if not len(course) or not len(other):
        return course if len(course) else other
    moments = np.union1d(course.times, other.times)
    last = course.times[-1]
    if last < quiet_from < moments[-1]:
        moments = np.union1d(moments, [quiet_from])
    middles = _middles(moments)
    here = course.measures(middles)
    is_waiting = (middles > last) & (middles < quiet_from)
    return _joined(
        moments, course, other, here, other.measures(middles) & ~here & ~is_waiting
    )


def _warmer(one: Course, other: Course) -> Course:
    if not len(one) or not len(other):
        return one if len(one) else other
    moments = _with_crossings(np.union1d(one.times, other.times), one, other)
    middles = _middles(moments)
    return _joined(moments, one, other, one.measures(middles), other.measures(middles))


def _joined(
    moments: Floats, one: Course, other: Course, here: Bools, there: Bools
) -> Course:
    """The warmer of two courses, each in the pieces between `moments` that it has."""
    values, others = one.at(moments), other.at(moments)
    # What holds just after a point and just before the next one.
    starts = np.fmax(_only(values[:-1], here), _only(others[:-1], there))
    ends = np.fmax(_only(values[1:], here), _only(others[1:], there))
    temps = np.fmax(np.r_[np.nan, ends], np.r_[starts, np.nan])
    # A reading alone between gaps has no piece of its own.
    is_alone = np.isnan(temps)
    temps[is_alone] = np.fmax(values, others)[is_alone]
    known = ~np.isnan(temps)
    length = np.diff(moments)
    has_room = (here | there) & (length > 4 * _JUMP_S)
    falls = has_room & (starts < temps[:-1])
    rises = has_room & (ends < temps[1:])
    in_jump = (ends - starts) / length * _JUMP_S
    times = np.r_[
        moments[known], moments[:-1][falls] + _JUMP_S, moments[1:][rises] - _JUMP_S
    ]
    order = np.argsort(times)
    temps = np.r_[temps[known], (starts + in_jump)[falls], (ends - in_jump)[rises]]
    times, piece = times[order], np.searchsorted(moments, _middles(times[order])) - 1
    return Course(times, temps[order], ~(here | there)[piece])


def _with_crossings(moments: Floats, one: Course, other: Course) -> Floats:
    """The moments, and those between them at which the two courses cross."""
    middles = _middles(moments)
    both = one.measures(middles) & other.measures(middles)
    apart = one.at(moments) - other.at(moments)
    first, last = apart[:-1][both], apart[1:][both]
    crosses = first * last < 0
    first, last = first[crosses], last[crosses]
    began = moments[:-1][both][crosses]
    length = np.diff(moments)[both][crosses]
    return np.union1d(moments, began + length * (first / (first - last)))


def _only(values: Floats, is_known: Bools) -> Floats:
    return np.where(is_known, values, np.nan)


def _middles(times: Floats) -> Floats:
    middles: Floats = (times[1:] + times[:-1]) / 2
    return middles
