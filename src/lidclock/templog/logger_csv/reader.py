"""A whole file, block after block, into readings of sensors with instants."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import tzinfo

import numpy as np

from lidclock.templog.logger_csv.checks import EARLIEST_US, Checks, Series
from lidclock.templog.logger_csv.findings import Findings
from lidclock.templog.logger_csv.layout import Layout
from lidclock.templog.logger_csv.quick import QuickReader
from lidclock.templog.logger_csv.rows import NO_OFFSET, Rows, joined
from lidclock.templog.logger_csv.text import Lines
from lidclock.templog.logger_csv.times import DAY_US, SECOND_US
from lidclock.templog.logger_csv.words import say_local, say_moment
from lidclock.templog.logger_csv.zones import Localiser, ZoneClock

_HOUR_US = 3600 * SECOND_US
# So many rows are sorted and checked together: two years at one a minute.
BATCH_ROWS = 1_000_000


@dataclass(frozen=True, slots=True)
class Clock:
    """How the times of a file become instants: zone, shift, and what is future."""

    zone: tzinfo
    now_us: int
    shift_us: int = 0


@dataclass(frozen=True, slots=True)
class Part:
    """Readings of one sensor, by time: the column they stood in, and the name."""

    column: int
    name: str
    series: Series


@dataclass(slots=True)
class FileReader:
    """Reads blocks of lines by one layout; `findings` grows as it goes."""

    layout: Layout
    clock: Clock
    findings: Findings = field(default_factory=Findings)
    batch_rows: int = 0
    _hours: set[int] = field(default_factory=set)
    _falls_back: int = 0

    def batches(self, blocks: Iterable[Lines]) -> Iterator[list[Part]]:
        """Readings, batch after batch; sensors without any are not in it."""
        zone_clock = ZoneClock(self.clock.zone)
        localiser = Localiser(zone_clock, self.findings, say_local)
        reader = QuickReader(self.layout, self.findings, zone_clock.word)
        waiting: list[Rows] = []
        count = 0
        for lines in blocks:
            waiting.append(reader.read(lines))
            count += waiting[-1].lines.size
            if count >= (self.batch_rows or BATCH_ROWS):
                yield self._parts(joined(waiting), localiser, reader.names)
                waiting, count = [], 0
        if count:
            yield self._parts(joined(waiting), localiser, reader.names)

    @property
    def lacks_halves(self) -> bool:
        """Whether hours run from 1 to 12 twice a day with nothing to tell the halves.

        Then each day goes back once after 12:59, and no row is of hour 0 or past 12.
        """
        return self._falls_back > 0 and self._hours <= set(range(1, 13))

    def _look_at_hours(self, rows: Rows) -> None:
        hours = rows.local_us // _HOUR_US % 24
        self._hours |= set(np.unique(hours).tolist())
        if self._hours <= set(range(1, 13)):
            pairs = np.sort(np.stack((hours[:-1], hours[1:])), axis=0)
            days = rows.local_us // DAY_US
            is_one_day = days[1:] == days[:-1]
            falls = is_one_day & (pairs[0] == 1) & (pairs[1] == 12)
            self._falls_back += int(np.count_nonzero(falls))

    def _parts(
        self, rows: Rows, localiser: Localiser, names: dict[str, int]
    ) -> list[Part]:
        rows = self._near(rows)
        if not rows.lines.size:
            return []
        self._look_at_hours(rows)
        at_us, good = localiser.instants(rows)
        at_us = at_us + self.clock.shift_us
        found = []
        for name, number in sorted(names.items()) or [("", 0)]:
            of_name = good & (rows.names == number) if len(names) > 1 else good
            for column in range(len(self.layout.temps)):
                series = Series(
                    rows.lines[of_name],
                    at_us[of_name],
                    rows.raw[of_name, column],
                    rows.temp_c[of_name, column],
                )
                series = self._checked(series, column, name)
                if series.lines.size:
                    found.append(Part(column, name, series))
        return found

    def _checked(self, series: Series, column: int, name: str) -> Series:
        checks = self._checks(column, name)
        series = checks.moments(series, self.clock.now_us)
        series = checks.values(series)
        series = checks.power_on(series)
        series = checks.order(series)
        checks.stuck(series)
        return series

    def _checks(self, column: int, name: str) -> Checks:
        temps = self.layout.temps
        whose = [temps[column].label] if len(temps) > 1 else []
        whose += [name] if name else []
        return Checks(
            self.findings,
            temps[column].unit,
            lambda us: say_moment(us, self.clock.zone),
            ", ".join(whose),
        )

    def _near(self, rows: Rows) -> Rows:
        """Without local times that are no date of this century, whatever the zone.

        They would make the search for clock changes a long one.
        """
        margin_us = 2 * DAY_US + abs(self.clock.shift_us)
        is_late = rows.local_us > self.clock.now_us + margin_us
        is_early = rows.local_us < EARLIEST_US - margin_us
        if not (is_late | is_early).any():
            return rows
        checks = Checks(self.findings, "", say_local)
        offsets = np.where(rows.offset_us == NO_OFFSET, 0, rows.offset_us)
        far = is_late | is_early
        nothing = np.zeros(rows.lines.size)
        series = Series(rows.lines, rows.local_us - offsets, nothing, nothing)
        checks.moments(series.kept(far), self.clock.now_us)
        return rows.kept(~far)
