"""What a place did, and how it is painted: air, food, limit, excursions, gaps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np

from lidclock.errors import InputError
from lidclock.reports.drawing import (
    DASHES,
    HATCH,
    INK,
    PALE,
    SOFT,
    Floats,
    broken,
    clock_changes,
    midnights_in,
)
from lidclock.templog.series import Series
from lidclock.templog.stats import thinned

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from lidclock.reports.page import Key

Span = tuple[float, float]

# More stretches than a figure has dots across; of each the extremes are drawn.
_STRETCHES = 1_200
# Room above and below the line, in degrees; a flat line is not blown up to fill it.
_LEAST_SPAN_C, _AIR_C = 6.0, 0.8
_DOTS = (0, (1, 1.2))
_FINE = "0.8"
_HATCH_LW = 0.6
_FOOD, _FOOD_LW = "0.6", 2.2


@dataclass(frozen=True, slots=True)
class Frame:
    """The time that a figure shows (seconds since 1970), whose clock, which units.

    InputError unless it ends after it begins.
    """

    began: float
    ended: float
    zone: ZoneInfo
    units: str = "metric"

    def __post_init__(self) -> None:
        if not self.began < self.ended:
            raise InputError("the time to draw must end after it begins")

    def degrees(self, temps_c: Floats) -> Floats:
        """Temperatures in the units of the kitchen."""
        return temps_c * 1.8 + 32 if self.units == "us" else temps_c

    @property
    def unit(self) -> str:
        """`°C` or `°F`."""
        return "°F" if self.units == "us" else "°C"


@dataclass(frozen=True, slots=True)
class Trace:
    """What a place did: readings, limits, and what was made of them.

    `times` are seconds since 1970 in UTC, ascending; `temps_c` has the same length.
    Above `limit_c`, or below it where `is_floor` (a hot hold), is an excursion.
    `excursions`, `spikes` and `gaps` are pairs of seconds. `food` is the curve of food
    that lags behind the air: times and temperatures; `dots` are readings to be marked
    one by one, where there are few or a hand typed them. `containers` is when their
    number changed, and what it was from then on. `told` is what is worth saying in a
    small picture.
    """

    name: str
    times: Floats
    temps_c: Floats
    limit_c: float | None = None
    is_floor: bool = False
    excursions: tuple[Span, ...] = ()
    spikes: tuple[Span, ...] = ()
    gaps: tuple[Span, ...] = ()
    food: tuple[Floats, Floats] | None = None
    dots: tuple[Floats, Floats] | None = None
    containers: tuple[Floats, Floats] | None = None
    state: str = ""
    told: str = ""

    def __post_init__(self) -> None:
        if len(self.times) != len(self.temps_c):
            raise ValueError("there must be one temperature for each time")
        if len(self.times) > 1 and not (np.diff(self.times) > 0).all():
            raise ValueError("times must ascend")

    def within(self, frame: Frame) -> tuple[Floats, Floats]:
        """The readings that the frame shows."""
        inside = (self.times >= frame.began) & (self.times <= frame.ended)
        return self.times[inside], self.temps_c[inside]


def paint(axes: Axes, trace: Trace, frame: Frame, words_share: float) -> None:
    """Everything of one place within the frame, except its heights and axes.

    A gap wider than `words_share` of the whole says in words that there are none.
    """
    gaps = clipped(trace.gaps, frame)
    for begin, end in gaps:
        axes.axvspan(begin, end, facecolor=PALE, edgecolor="none", zorder=0)
        if (end - begin) > words_share * (frame.ended - frame.began):
            _words_in(axes, (begin + end) / 2, "no readings")
    for at in midnights_in(frame.began, frame.ended, frame.zone):
        axes.axvline(at, color=_FINE, lw=0.4, zorder=0.5)
    for at in clock_changes(frame.began, frame.ended, frame.zone):
        axes.axvline(at, color=SOFT, lw=0.8, ls=_DOTS, zorder=0.6)
    for begin, end in clipped(trace.excursions, frame):
        axes.axvspan(
            begin,
            end,
            facecolor="none",
            edgecolor=SOFT,
            hatch=HATCH,
            lw=_HATCH_LW,
            zorder=1,
        )
    _lines(axes, trace, frame, gaps)
    for begin, _ in clipped(trace.spikes, frame):
        axes.plot(
            [begin],
            [0.96],
            transform=axes.get_xaxis_transform(),
            marker="v",
            ms=4,
            color=INK,
            ls="none",
            zorder=5,
        )


def _words_in(axes: Axes, at: float, text: str) -> None:
    axes.text(
        at,
        0.75,
        text,
        transform=axes.get_xaxis_transform(),
        ha="center",
        va="center",
        fontsize=8,
        color=INK,
    )


def _lines(axes: Axes, trace: Trace, frame: Frame, gaps: Sequence[Span]) -> None:
    times, temps = trace.within(frame)
    line = _line(times, temps, frame, gaps)
    axes.plot(*line, color=INK, lw=0.9, zorder=3, gid="air")
    if trace.dots is not None:
        when, said = trace.dots
        inside = (when >= frame.began) & (when <= frame.ended)
        axes.plot(
            when[inside],
            frame.degrees(said[inside]),
            color=INK,
            marker="o",
            mfc="1.0",
            mew=0.8,
            ms=3.2,
            ls="none",
            zorder=4.5,
            gid="dots",
        )
    if trace.food is not None:
        when, food = trace.food
        inside = (when >= frame.began) & (when <= frame.ended)
        line = _line(when[inside], food[inside], frame, gaps)
        # Broad and behind: the air swings about it.
        axes.plot(*line, color=_FOOD, lw=_FOOD_LW, zorder=2.5, gid="food")
    if trace.limit_c is not None:
        limit = float(frame.degrees(np.array(trace.limit_c)))
        axes.axhline(limit, color=INK, lw=0.9, ls=DASHES, zorder=2, gid="limit")


def _line(
    times: Floats, temps: Floats, frame: Frame, gaps: Sequence[Span]
) -> tuple[Floats, Floats]:
    """The points of a line: every extreme of a crowd, and a break in each gap."""
    few = thinned(Series(times, temps), _STRETCHES)
    return broken(few.times, frame.degrees(few.temps), gaps)


def set_heights(
    axes: Axes, traces: Sequence[Trace], frame: Frame, ticks: int = 7
) -> None:
    """From the coldest to the warmest that these show, their limits in sight."""
    from matplotlib.ticker import MaxNLocator

    shown: list[float] = []
    for trace in traces:
        _, temps = trace.within(frame)
        shown += [] if not len(temps) else [float(temps.min()), float(temps.max())]
        shown += [] if trace.limit_c is None else [trace.limit_c]
    low, high = (min(shown), max(shown)) if shown else (0.0, _LEAST_SPAN_C)
    spare = max(0.0, _LEAST_SPAN_C - (high - low)) / 2
    # Room above for the triangles of spikes.
    air = max(_AIR_C, 0.08 * (high - low))
    ends = np.array([low - spare - air, high + spare + 1.5 * air])
    axes.set_ylim(*frame.degrees(ends))
    axes.yaxis.set_major_locator(MaxNLocator(ticks, integer=True))


def clipped(spans: Sequence[Span], frame: Frame) -> list[Span]:
    """The parts of spans of time that the frame shows."""
    cut = [(max(a, frame.began), min(b, frame.ended)) for a, b in spans]
    return [(a, b) for a, b in cut if a < b]


def keys_of(traces: Sequence[Trace], frame: Frame, lag: str = "") -> list[Key]:
    """What lines, hatching, grey and triangles mean, as far as they occur."""
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    has = {
        name: any(clipped(getattr(one, name), frame) for one in traces)
        for name in ("excursions", "spikes", "gaps")
    }
    keys: list[Key] = []
    if any(len(one.within(frame)[0]) for one in traces):
        keys.append(Line2D([], [], color=INK, lw=0.9, label="air"))
    if any(one.dots is not None for one in traces):
        keys.append(
            Line2D([], [], color=INK, marker="o", mfc="1.0", mew=0.8, ms=3.2,
                   ls="none", label="one reading")
        )  # fmt: skip
    if any(one.food is not None for one in traces):
        label = f"food, {lag} behind the air" if lag else "food behind the air"
        keys.append(Line2D([], [], color=_FOOD, lw=_FOOD_LW, label=label))
    if any(one.limit_c is not None for one in traces):
        keys.append(Line2D([], [], color=INK, ls=DASHES, lw=0.9, label="limit"))
    if has["excursions"]:
        keys.append(
            Patch(
                facecolor="none",
                edgecolor=SOFT,
                hatch=HATCH,
                lw=_HATCH_LW,
                label="excursion: beyond the limit",
            )
        )
    if has["spikes"]:
        keys.append(
            Line2D([], [], color=INK, marker="v", ms=4, ls="none",
                   label="spike: the food stays within it")
        )  # fmt: skip
    if has["gaps"]:
        keys.append(Patch(facecolor=PALE, edgecolor="none", label="no readings"))
    return keys
