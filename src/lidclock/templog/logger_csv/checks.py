"""What a sensor's values themselves show: faults, stand-ins for no reading, sticking.

Nothing here changes a value: a row is kept as it was written, or left out and named.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidclock.domain.readings import COLDEST_C, HOTTEST_C, POWER_ON_C, UNPLUGGED_C
from lidclock.templog.logger_csv.findings import Findings
from lidclock.templog.logger_csv.numbers import FAHRENHEIT
from lidclock.templog.logger_csv.times import DAY_US, SECOND_US

Floats = NDArray[np.float64]
Numbers = NDArray[np.int64]
Flags = NDArray[np.bool_]

# Numbers that loggers write where they have no reading (common practice, no source);
# the last four are what 16 bits hold at their ends, as they are and in tenths.
SENTINELS = (
    *(-999.0, -999.9, -9999.0, -99999.0, 999.0, 999.9, 9999.0, 99999.0),
    *(-32768.0, 32767.0, 65535.0, -3276.8, 3276.7, 6553.5),
)
# DallasTemperature.h, DEVICE_DISCONNECTED_F: UNPLUGGED_C in °F.
UNPLUGGED_F = -196.6
# Air and food do not warm by so much from one reading to the next (our choice).
JUMP_C = 20.0
_LONGEST_POWER_ON = 3
# The same value for so long, in so many readings, is told (our choice): a sensor that
# resolves a tenth of a degree moves within hours.
STUCK_US = 6 * 3600 * SECOND_US
STUCK_READINGS = 12
# Clocks are off by minutes; rows later than this are of a wrong clock (our choice).
FUTURE_US = 5 * 60 * SECOND_US
# Clocks that lost their setting begin at 1970, 1980 or 2000 (common practice).
EARLIEST_US = 11_323 * DAY_US  # 2001-01-01


@dataclass(frozen=True, slots=True)
class Series:
    """Readings of one sensor in the order of the file; `raw` is in the file's unit."""

    lines: Numbers
    at_us: Numbers
    raw: Floats
    temp_c: Floats

    def at(self, places: Numbers) -> Series:
        """Those at the given places, in that order."""
        return Series(
            *(self.lines[places], self.at_us[places]),
            *(self.raw[places], self.temp_c[places]),
        )

    def kept(self, keep: Flags) -> Series:
        """Those of them that `keep` names."""
        return self if keep.all() else self.at(np.flatnonzero(keep))


@dataclass(frozen=True, slots=True)
class Checks:
    """What is noted, and how: `unit` is that of the file, `say` words a moment."""

    findings: Findings
    unit: str
    say: Callable[[int], str]
    whose: str = ""

    def values(self, series: Series) -> Series:
        """Without values that are no temperature of a kitchen, each of them named."""
        raw, temp_c = series.raw, series.temp_c
        keep = ~np.isnan(temp_c)
        is_far = keep & ((temp_c < COLDEST_C) | (temp_c > HOTTEST_C))
        known = (*SENTINELS, UNPLUGGED_C, UNPLUGGED_F)
        is_far |= keep & np.isin(raw, SENTINELS)
        for value in np.unique(raw[is_far]).tolist():
            lines = series.lines[is_far & (raw == value)]
            if value in known:
                self._tell("sentinel", self._sentinel(value), lines)
            else:
                what = f"{value:g} °{self.unit} is no temperature of a kitchen"
                self._tell("out-of-range", what, lines)
        return series.kept(keep & ~is_far)

    def _sentinel(self, value: float) -> str:
        if value == (UNPLUGGED_F if self.unit == FAHRENHEIT else UNPLUGGED_C):
            return f"{value:g} °{self.unit} means that no sensor answered"
        return f"{value:g} stands for no reading"

    def power_on(self, series: Series) -> Series:
        """Without single readings of the value a sensor has before it measures.

        Only where it comes and goes at a jump: food that passes 85 °C does not. A
        longer stretch may be true, and is kept and told.
        """
        temp_c = series.temp_c
        is_value = temp_c == POWER_ON_C
        if not is_value.any():
            return series
        keep = np.ones(temp_c.size, bool)
        for first, last in _runs(is_value):
            before = temp_c[first - 1] if first else None
            after = temp_c[last + 1] if last + 1 < temp_c.size else None
            sides = [side for side in (before, after) if side is not None]
            if not sides or min(abs(side - POWER_ON_C) for side in sides) < JUMP_C:
                continue
            lines = series.lines[first : last + 1]
            if lines.size <= _LONGEST_POWER_ON:
                keep[first : last + 1] = False
                what = f"{self._power_on()} at a jump: what a sensor shows at power-on"
                self._tell("power-on", what, lines)
            else:
                what = f"{self._power_on()} between jumps: a sensor that restarts? kept"
                self._tell("perhaps-power-on", what, lines)
        return series.kept(keep)

    def _power_on(self) -> str:
        return "185 °F" if self.unit == FAHRENHEIT else "85 °C"

    def moments(self, series: Series, now_us: int) -> Series:
        """Without readings in the future or from before there were such loggers."""
        is_future = series.at_us > now_us + FUTURE_US
        if is_future.any():
            latest = self.say(int(series.at_us[is_future].max()))
            what = (
                f"in the future, up to {latest}: a wrong clock or zone? "
                "--shift and --zone correct it"
            )
            self._tell("future", what, series.lines[is_future])
        is_old = series.at_us < EARLIEST_US
        what = "before 2001: had the logger lost its clock?"
        self._tell("too-old", what, series.lines[is_old])
        return series.kept(~is_future & ~is_old)

    def order(self, series: Series) -> Series:
        """By time, each moment once; what was otherwise is named.

        Of two values for one moment the warmer is kept: what is not known counts as
        the worst.
        """
        steps = np.diff(series.at_us)
        if (steps < 0).all():
            series = series.at(np.arange(series.at_us.size)[::-1])
        elif (steps <= 0).any():
            is_falling = np.count_nonzero(steps < 0) > np.count_nonzero(steps > 0)
            odd = np.flatnonzero(steps > 0 if is_falling else steps < 0) + 1
            what = "not in the order of time; sorted"
            self._tell("out-of-order", what, series.lines[odd])
            series = series.at(np.lexsort((-series.temp_c, series.at_us)))
        return self._once(series)

    def _once(self, series: Series) -> Series:
        is_again = np.zeros(series.at_us.size, bool)
        is_again[1:] = np.diff(series.at_us) == 0
        if not is_again.any():
            return series
        is_same = np.zeros(series.at_us.size, bool)
        is_same[1:] = np.diff(series.temp_c) == 0
        what = "the same reading again"
        self._tell("twice", what, series.lines[is_again & is_same])
        what = "another temperature for the same moment; the warmer is kept"
        self._tell("two-values", what, series.lines[is_again & ~is_same])
        return series.kept(~is_again)

    def stuck(self, series: Series) -> None:
        """Tell where a sensor shows one value for hours; the rows are kept."""
        if series.at_us.size < STUCK_READINGS:
            return
        edges = np.flatnonzero(np.diff(series.temp_c) != 0) + 1
        firsts = np.append(0, edges)
        lasts = np.append(edges - 1, series.at_us.size - 1)
        lengths = series.at_us[lasts] - series.at_us[firsts]
        is_stuck = (lengths >= STUCK_US) & (lasts - firsts >= STUCK_READINGS - 1)
        places = np.flatnonzero(is_stuck)
        if not places.size:
            return
        longest = places[np.argmax(lengths[places])]
        first = int(firsts[longest])
        hours = int(lengths[longest]) / (3600 * SECOND_US)
        what = (
            f"{series.raw[first]:g} °{self.unit} unchanged for {hours:.1f} h from "
            f"{self.say(int(series.at_us[first]))} on: is the sensor stuck? kept"
        )
        more = places.size - 1
        if more:
            what += f" ({more} more such {'stretch' if more == 1 else 'stretches'})"
        stretches = np.repeat(is_stuck, lasts - firsts + 1)
        self._tell("stuck", what, series.lines[stretches])

    def _tell(self, kind: str, what: str, lines: Numbers) -> None:
        whose = f" ({self.whose})" if self.whose else ""
        self.findings.add_rows(kind, f"{what}{whose}", lines)


def _runs(flags: Flags) -> list[tuple[int, int]]:
    """First and last place of every stretch of set flags."""
    padded = np.concatenate(([False], flags, [False]))
    edges = np.flatnonzero(padded[1:] != padded[:-1])
    return [(int(a), int(b) - 1) for a, b in zip(edges[0::2], edges[1::2], strict=True)]
