"""Local times of a logger as instants; the hour that comes twice goes by the rows.

A logger writes its rows one after the other. Where clocks go back, a step back in its
local times that fits its usual step shows where the second pass of the hour begins.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta, tzinfo

import numpy as np
from numpy.typing import NDArray

from lidclock.templog.logger_csv.findings import Findings
from lidclock.templog.logger_csv.rows import NO_OFFSET, Rows
from lidclock.templog.logger_csv.times import DAY_US, SECOND_US

Numbers = NDArray[np.int64]
Flags = NDArray[np.bool_]
Say = Callable[[int], str]

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
# Rows that lie no farther apart than so many usual steps go on without a gap.
_STEPS_WITHOUT_GAP = 1.5


@dataclass(frozen=True, slots=True)
class Change:
    """One change of a zone's offset: when, and what it was and is, in microseconds."""

    at_us: int
    before_us: int
    after_us: int

    @property
    def first_local_us(self) -> int:
        """The earlier of what clocks show just before and just after it."""
        return self.at_us + min(self.before_us, self.after_us)

    @property
    def last_local_us(self) -> int:
        """The later of the two; local times between them come twice, or never."""
        return self.at_us + max(self.before_us, self.after_us)


def offset_at(zone: tzinfo, at_us: int) -> int:
    """The offset from UTC in force at an instant."""
    moment = _EPOCH + timedelta(microseconds=at_us)
    offset = moment.astimezone(zone).utcoffset()
    assert offset is not None
    return round(offset.total_seconds() * SECOND_US)


class ZoneClock:
    """The changes of one zone, found where they are needed."""

    def __init__(self, zone: tzinfo) -> None:
        self.zone = zone
        self._changes: dict[int, Change | None] = {}
        self._offsets: dict[int, int] = {}

    def changes(self, first_us: int, last_us: int) -> list[Change]:
        """Every change between two instants, and a day around."""
        days = range(first_us // DAY_US - 1, last_us // DAY_US + 2)
        found = [self._change_on(day) for day in days]
        return [change for change in found if change is not None]

    def offset(self, at_us: int) -> int:
        """The offset in force at an instant."""
        return offset_at(self.zone, at_us)

    def _change_on(self, day: int) -> Change | None:
        """The change on a day in UTC; no zone has two within one day."""
        if day not in self._changes:
            self._changes[day] = self._change(day * DAY_US, (day + 1) * DAY_US)
        return self._changes[day]

    def _change(self, low: int, high: int) -> Change | None:
        before, after = self._known(low), self._known(high)
        if before == after:
            return None
        while high - low > SECOND_US:
            middle = (low + high) // 2 // SECOND_US * SECOND_US
            if offset_at(self.zone, middle) == before:
                low = middle
            else:
                high = middle
        return Change(high, before, after)

    def _known(self, at_us: int) -> int:
        if at_us not in self._offsets:
            self._offsets[at_us] = offset_at(self.zone, at_us)
        return self._offsets[at_us]

    def word(self, local_us: int, word: str) -> int | None:
        """The offset that a word such as EST means at a local time of this zone."""
        local = _EPOCH.replace(tzinfo=self.zone) + timedelta(microseconds=local_us)
        for fold in (0, 1):
            moment = local.replace(fold=fold)
            offset = moment.utcoffset()
            if moment.tzname() == word and offset is not None:
                return round(offset.total_seconds() * SECOND_US)
        return None


class Localiser:
    """Turns the local times of row after row into instants; keeps its place."""

    def __init__(self, clock: ZoneClock, findings: Findings, say: Say) -> None:
        self._clock = clock
        self._findings = findings
        self._say = say
        self._before: _Before | None = None

    def instants(self, rows: Rows) -> tuple[Numbers, Flags]:
        """UTC of each row, in microseconds, and whether it has one.

        A local time that does not exist has none; that is noted. So is one that comes
        twice where the rows do not tell which it is: it is the earlier then.
        """
        has_own = rows.offset_us != NO_OFFSET
        good = np.ones(rows.lines.size, bool)
        offsets = np.where(has_own, rows.offset_us, 0)
        local = np.flatnonzero(~has_own)
        if local.size:
            step_us = usual_step(rows.local_us[local])
            if step_us < 0:
                local = local[::-1]
            offsets[local], good[local] = self._offsets(
                rows.local_us[local], rows.lines[local], abs(step_us)
            )
            if step_us < 0:
                self._before = None
        return rows.local_us - offsets, good

    def _offsets(
        self, local_us: Numbers, lines: Numbers, step_us: int
    ) -> tuple[Numbers, Flags]:
        changes = self._clock.changes(int(local_us.min()), int(local_us.max()))
        base = changes[0].before_us if changes else self._clock.offset(int(local_us[0]))
        offsets = np.full(local_us.size, base)
        good = np.ones(local_us.size, bool)
        before, self._before = self._before, _Before(int(local_us[-1]), is_second=False)
        for change in changes:
            offsets[local_us >= change.last_local_us] = change.after_us
        for change in changes:
            inside = np.flatnonzero(
                (local_us >= change.first_local_us) & (local_us < change.last_local_us)
            )
            if not inside.size:
                continue
            if change.after_us > change.before_us:
                good[inside] = False
                self._tell_skipped(change, lines[inside])
                continue
            hour = _TwiceHour(change, step_us)
            is_second, unsettled = hour.second_pass(local_us, inside, before)
            offsets[inside] = np.where(is_second, change.after_us, change.before_us)
            self._tell_unsettled(change, lines[unsettled])
            if inside[-1] == local_us.size - 1:
                self._before = replace(self._before, is_second=bool(is_second[-1]))
        return offsets, good

    def _tell_skipped(self, change: Change, lines: Numbers) -> None:
        first, last = map(self._say, (change.first_local_us, change.last_local_us))
        what = (
            f"clocks jumped from {first} to {last}, no time between them exists; "
            f"{_never_changed(change.before_us)}"
        )
        self._findings.add_rows("skipped-hour", what, lines)

    def _tell_unsettled(self, change: Change, lines: Numbers) -> None:
        first, last = map(self._say, (change.first_local_us, change.last_local_us))
        what = (
            f"clocks went back from {last} to {first}, and the rows do not tell which "
            f"of the two hours it was: read as the earlier; "
            f"{_never_changed(change.after_us)}"
        )
        self._findings.add_rows("repeated-hour", what, lines)


def _never_changed(offset_us: int) -> str:
    """What to do for a logger that keeps one offset all the year."""
    minutes = abs(offset_us) // (60 * SECOND_US)
    sign = "-" if offset_us < 0 else "+"
    offset = f"{sign}{minutes // 60:02}:{minutes % 60:02}"
    return f"if its clock was never changed, give --zone {offset}"


def usual_step(times_us: Numbers) -> int:
    """The usual time from row to row, negative where the newest comes first; or 0."""
    steps = np.diff(times_us)
    steps = steps[steps != 0]
    if not steps.size:
        return 0
    middle = steps.size // 2
    return int(np.partition(steps, middle)[middle])


@dataclass(frozen=True, slots=True)
class _Before:
    """The row before the present ones: its local time, and which pass it was in."""

    local_us: int
    is_second: bool


@dataclass(frozen=True, slots=True)
class _TwiceHour:
    """Local times that come twice, in rows that lie `step_us` apart as a rule."""

    change: Change
    step_us: int

    def second_pass(
        self, local_us: Numbers, inside: Numbers, before: _Before | None
    ) -> tuple[Flags, Numbers]:
        """Which rows are of the second pass, and the places of those that do not tell.

        `inside` are the places, in rising order, of the rows within the hour.
        """
        is_second = np.zeros(inside.size, bool)
        unsettled: list[int] = []
        runs = np.split(inside, np.flatnonzero(np.diff(inside) > 1) + 1)
        done = 0
        for run in runs:
            flags, is_settled = self._run(local_us, run, before)
            is_second[done : done + run.size] = flags
            done += run.size
            if not is_settled:
                unsettled += run.tolist()
        return is_second, np.array(unsettled, np.int64)

    def _run(
        self, local_us: Numbers, run: Numbers, before: _Before | None
    ) -> tuple[Flags, bool]:
        """The same for rows that follow each other, and whether they tell."""
        first, last = int(run[0]), int(run[-1])
        carried = before if not first else None
        entry = int(local_us[first - 1]) if first else None
        if carried is not None:
            entry = carried.local_us
        state = carried is not None and carried.is_second
        flags = np.zeros(run.size, bool)
        previous = entry
        for place, local in enumerate(local_us[run].tolist()):
            state = state or self._goes_back(previous, local)
            flags[place], previous = state, local
        if state:
            return flags, True
        enters = entry is not None and self._is_next(int(local_us[first]) - entry)
        if last + 1 == local_us.size:
            return flags, enters
        leaves = int(local_us[last + 1]) - int(local_us[last])
        votes = {False} if enters else set()
        if self._is_next(leaves) and not self._fits_second(leaves):
            votes.add(True)
        elif self._is_next(leaves + self._fold_us):
            votes.add(False)
        flags[:] = votes == {True}
        return flags, len(votes) == 1

    def _goes_back(self, previous: int | None, local: int) -> bool:
        """Whether clocks went back between two rows, the first one before or in it."""
        if previous is None or previous >= self.change.last_local_us:
            return False
        step = local - previous
        return step + self._fold_us >= 0 and self._fits_second(step)

    @property
    def _fold_us(self) -> int:
        return self.change.before_us - self.change.after_us

    def _fits_second(self, step_us: int) -> bool:
        """Whether a step of the local time is a usual one if clocks went back in it."""
        usual = self.step_us
        return abs(step_us + self._fold_us - usual) < abs(step_us - usual)

    def _is_next(self, step_us: int) -> bool:
        """Whether rows so far apart follow each other without a gap."""
        return 0 <= step_us <= _STEPS_WITHOUT_GAP * self.step_us
