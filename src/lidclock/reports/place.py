"""A place over a week, and all places side by side."""

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
    Format,
    as_bytes,
    broken,
    days_along,
    new_figure,
    say_span,
    style,
    thinned,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_WIDE_IN, _HIGH_IN, _ROW_IN = 8.0, 3.2, 1.5
_COLUMNS = 2
# Room above and below the line, in degrees; a flat line is not blown up to fill it.
_LEAST_SPAN_C, _AIR_C = 6.0, 0.8
# A gap narrower than this share of the figure has no room for words.
_WORDS_SHARE, _FEW_WORDS_SHARE = 0.1, 0.25


@dataclass(frozen=True, slots=True)
class Trace:
    """What a place did: readings, limits, and what was made of them.

    `times` are seconds since 1970 in UTC, ascending; `temps_c` has the same length.
    Above `limit_c`, or below it where `is_floor` (a hot hold), is an excursion.
    `excursions`, `spikes` and `gaps` are pairs of seconds.
    """

    name: str
    times: Floats
    temps_c: Floats
    limit_c: float | None = None
    is_floor: bool = False
    excursions: tuple[tuple[float, float], ...] = ()
    spikes: tuple[tuple[float, float], ...] = ()
    gaps: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        if len(self.times) != len(self.temps_c):
            raise ValueError("there must be one temperature for each time")
        if len(self.times) > 1 and not (np.diff(self.times) > 0).all():
            raise ValueError("times must ascend")


def draw_place(
    trace: Trace, began: float, ended: float, zone: ZoneInfo, kind: Format = "png"
) -> bytes:
    """One place from `began` to `ended` (seconds): line, limit, excursions, gaps."""
    _check_span(began, ended)
    with style():
        figure = new_figure(_WIDE_IN, _HIGH_IN)
        axes = figure.add_subplot()
        _trace(axes, trace, began, ended, _WORDS_SHARE)
        days_along(axes, began, ended, zone)
        axes.set_title(f"{trace.name}: {say_span(began, ended, zone)}")
        axes.set_ylabel("°C")
        _legend(axes, [trace])
        return as_bytes(figure, kind)


def draw_fleet(
    traces: Sequence[Trace],
    began: float,
    ended: float,
    zone: ZoneInfo,
    kind: Format = "png",
) -> bytes:
    """Every place in a small picture of its own, all to one scale of time.

    InputError if there is none.
    """
    _check_span(began, ended)
    if not traces:
        raise InputError("no place has readings to draw; see `lidclock temp list`")
    rows = -(-len(traces) // _COLUMNS)
    with style():
        figure = new_figure(_WIDE_IN, 0.5 + _ROW_IN * rows)
        grid = figure.subplots(rows, _COLUMNS, squeeze=False)
        for number, axes in enumerate(grid.flat):
            if number >= len(traces):
                axes.set_axis_off()
                continue
            _trace(axes, traces[number], began, ended, _FEW_WORDS_SHARE)
            days_along(axes, began, ended, zone)
            axes.tick_params(labelsize=7)
            _fewer(axes)
            axes.set_title(_told(traces[number]), fontsize=8)
        figure.suptitle(
            say_span(began, ended, zone), x=0.01, ha="left", fontweight="bold"
        )
        return as_bytes(figure, kind)


def _check_span(began: float, ended: float) -> None:
    if not began < ended:
        raise InputError("the time to draw must end after it begins")


def _fewer(axes: Axes) -> None:
    """Every second word along the foot: small pictures have room for no more."""
    ticks = list(axes.get_xticks())
    words = [one.get_text() for one in axes.get_xticklabels()]
    step = max(1, -(-len(ticks) // 4))
    axes.set_xticks(ticks, [x if n % step == 0 else "" for n, x in enumerate(words)])
    axes.set_xlabel("")


def _told(trace: Trace) -> str:
    """The name, and what is worth saying of it."""
    count = len(trace.excursions)
    facts = [f"{count} excursion{'' if count == 1 else 's'}"] if count else []
    facts += ["no readings"] if not len(trace.times) else []
    return ": ".join([trace.name, ", ".join(facts)]) if facts else trace.name


def _trace(
    axes: Axes, trace: Trace, began: float, ended: float, words_share: float
) -> None:
    gaps = _clipped(trace.gaps, began, ended)
    for begin, end in gaps:
        axes.axvspan(begin, end, facecolor=PALE, edgecolor="none", zorder=0)
        if (end - begin) > words_share * (ended - began):
            axes.text(
                (begin + end) / 2,
                0.5,
                "no readings",
                transform=axes.get_xaxis_transform(),
                ha="center",
                va="center",
                fontsize=7,
                color=SOFT,
            )
    for begin, end in _clipped(trace.excursions, began, ended):
        axes.axvspan(
            begin, end, facecolor="none", edgecolor=SOFT, hatch=HATCH, lw=0.6, zorder=1
        )
    inside = (trace.times >= began) & (trace.times <= ended)
    times, temps = trace.times[inside], trace.temps_c[inside]
    axes.plot(*broken(*thinned(times, temps), gaps), color=INK, lw=0.9, zorder=3)
    if len(times) == 1:
        axes.plot(times, temps, color=INK, marker="o", ms=3, ls="none")
    for begin, _ in _clipped(trace.spikes, began, ended):
        axes.plot(
            [begin],
            [0.97],
            transform=axes.get_xaxis_transform(),
            marker="v",
            ms=3.5,
            color=SOFT,
            ls="none",
        )
    _heights(axes, temps, trace.limit_c)
    if trace.limit_c is not None:
        axes.axhline(trace.limit_c, color=INK, lw=0.9, ls=DASHES, zorder=2)


def _heights(axes: Axes, temps: Floats, limit_c: float | None) -> None:
    shown = [*temps[~np.isnan(temps)], *([limit_c] if limit_c is not None else [])]
    low, high = (min(shown), max(shown)) if shown else (0.0, _LEAST_SPAN_C)
    spare = max(0.0, _LEAST_SPAN_C - (high - low)) / 2
    axes.set_ylim(low - spare - _AIR_C, high + spare + _AIR_C)


def _clipped(
    spans: Sequence[tuple[float, float]], began: float, ended: float
) -> list[tuple[float, float]]:
    cut = [(max(a, began), min(b, ended)) for a, b in spans]
    return [(a, b) for a, b in cut if a < b]


def _legend(axes: Axes, traces: Sequence[Trace]) -> None:
    """What hatching, grey and triangles mean, as far as they occur."""
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    keys: list[Line2D | Patch] = []
    for limit, is_floor in {(one.limit_c, one.is_floor) for one in traces}:
        if limit is not None:
            word = "or hotter" if is_floor else "or colder"
            keys.append(
                Line2D([], [], color=INK, ls=DASHES, lw=0.9,
                       label=f"limit: {limit:g} °C {word}")
            )  # fmt: skip
    if any(one.excursions for one in traces):
        keys.append(
            Patch(facecolor="none", edgecolor=SOFT, hatch=HATCH, label="excursion")
        )
    if any(one.spikes for one in traces):
        keys.append(
            Line2D([], [], color=SOFT, marker="v", ms=4, ls="none",
                   label="spike: the food lags the air")
        )  # fmt: skip
    if any(one.gaps for one in traces):
        keys.append(Patch(facecolor=PALE, edgecolor="none", label="no readings"))
    if keys:
        axes.legend(
            handles=keys, loc="upper left", bbox_to_anchor=(0, -0.12), ncols=len(keys)
        )
