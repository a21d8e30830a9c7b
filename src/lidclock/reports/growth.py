"""A container's temperatures and what a growth model makes of them: a warning only."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from lidclock.reports.drawing import (
    DASHES,
    HATCH,
    INK,
    PALE,
    SOFT,
    Floats,
    Format,
    as_bytes,
    days_along,
    new_figure,
    style,
    thinned,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_WIDE_IN, _HIGH_IN = 8.0, 5.4
_LEAST_LOG = 0.5
# A stay shorter than this share of the whole has no room for its place's name.
_WORDS_SHARE = 0.12
_DOTS = (0, (1, 1.5))
_LOG_2 = math.log10(2.0)


@dataclass(frozen=True, slots=True)
class Growth:
    """Temperatures of the food's places, and the log10 increase over time.

    `runs` are (times, °C, whether it is assumed), one after another; `stays` are
    (place, began, ended); all times are seconds since 1970 in UTC. `last_moment` is the
    authority's, which no model moves. `passed` is when the first figure passes
    `doublings` before it; where `is_known` is False the model is beyond its figures.
    """

    name: str
    organism: str
    runs: Sequence[tuple[Floats, Floats, bool]]
    times: Floats
    low: Floats
    mid: Floats
    high: Floats
    stays: Sequence[tuple[str, float, float]] = ()
    now: float | None = None
    last_moment: float | None = None
    limit_c: float | None = None
    doublings: float | None = None
    passed: float | None = None
    is_known: bool = True


def draw_growth(growth: Growth, zone: ZoneInfo, kind: Format = "png") -> bytes:
    """Above the temperatures, below the band; the last moment runs through both."""
    began, ended = float(growth.times[0]), float(growth.times[-1])
    ended = max(ended, growth.last_moment or ended)
    with style():
        figure = new_figure(_WIDE_IN, _HIGH_IN)
        upper, lower = figure.subplots(2, 1, sharex=True, height_ratios=(1, 1.2))
        _temperatures(upper, growth, ended - began)
        # First, since the key stands below the line that names the days.
        days_along(lower, began, ended + 0.01 * (ended - began), zone)
        _band(lower, growth)
        for axes in (upper, lower):
            if growth.now is not None and began < growth.now < ended:
                axes.axvline(growth.now, color=SOFT, lw=0.9, ls=_DOTS)
            if growth.last_moment is not None:
                axes.axvline(growth.last_moment, color=INK, lw=1.8)
        upper.tick_params(labelbottom=False)
        unknown = "" if growth.is_known else " (unknown: beyond its figures)"
        upper.set_title(
            f"{growth.name}\n{growth.organism}, by model{unknown}: "
            "a warning and no permission"
        )
        return as_bytes(figure, kind)


def _temperatures(axes: Axes, growth: Growth, span: float) -> None:
    for number, (place, begin, end) in enumerate(growth.stays):
        if number % 2:
            axes.axvspan(begin, end, facecolor=PALE, edgecolor="none", zorder=0)
        if end - begin < _WORDS_SHARE * span:
            continue
        axes.annotate(
            place,
            (begin, 1.0),
            (3, -3),
            xycoords=axes.get_xaxis_transform(),
            textcoords="offset points",
            va="top",
            fontsize=7,
            color=SOFT,
        )
    for times, temps, is_assumed in growth.runs:
        dashes: Any = _DOTS if is_assumed else "-"
        axes.plot(*thinned(times, temps), color=INK, lw=1.2, ls=dashes)
    if growth.limit_c is not None:
        axes.axhline(growth.limit_c, color=SOFT, lw=0.9, ls=DASHES)
    axes.set_ylabel("°C")
    low, high = axes.get_ylim()
    # Room for the names of the places.
    axes.set_ylim(low, high + 0.2 * (high - low))
    _upper_key(axes, growth)


def _upper_key(axes: Axes, growth: Growth) -> None:
    from matplotlib.lines import Line2D

    words: list[tuple[str, dict[str, Any], bool]] = [
        ("measured", {"ls": "-", "color": INK}, not all(x for *_, x in growth.runs)),
        ("assumed", {"ls": _DOTS, "color": INK}, any(x for *_, x in growth.runs)),
        ("cold limit", {"ls": DASHES, "color": SOFT}, growth.limit_c is not None),
    ]
    handles = [
        Line2D([], [], lw=1.2, label=label, **look)
        for label, look, is_there in words
        if is_there
    ]
    axes.legend(
        handles=handles,
        loc="upper left",
        bbox_to_anchor=(0, -0.02),
        ncols=len(handles),
    )


def _band(axes: Axes, growth: Growth) -> None:
    axes.fill_between(
        growth.times,
        growth.low,
        growth.high,
        facecolor="none",
        edgecolor=SOFT,
        hatch=HATCH,
        lw=0.4,
        label="low to high",
    )
    axes.plot(growth.times, growth.mid, color=INK, lw=1.2, label="middle")
    top = max(_LEAST_LOG, 1.05 * float(growth.high.max()))
    axes.set_ylim(0, top)
    axes.set_ylabel("log10 increase")
    if growth.doublings is not None:
        _doublings(axes, growth, growth.doublings * _LOG_2, top)
    handles, labels = axes.get_legend_handles_labels()
    if growth.last_moment is not None:
        from matplotlib.lines import Line2D

        handles.append(Line2D([], [], color=INK, lw=1.8))
        labels.append("last moment, by the guidance")
    if growth.now is not None:
        from matplotlib.lines import Line2D

        handles.append(Line2D([], [], color=SOFT, lw=0.9, ls=_DOTS))
        labels.append("now")
    # Below the line that names the days, where hours stand at the axis.
    below = -0.24 if axes.get_xlabel() else -0.14
    axes.legend(
        handles, labels, loc="upper left", bbox_to_anchor=(0, below), ncols=len(labels)
    )


def _doublings(axes: Axes, growth: Growth, height: float, top: float) -> None:
    """The number that is warned of, and where the first figure passes it."""
    if height > top:
        return
    axes.axhline(height, color=SOFT, lw=0.9, ls=DASHES)
    axes.annotate(
        f"{growth.doublings:g} doublings",
        (0.0, height),
        (3, 3),
        xycoords=axes.get_yaxis_transform(),
        textcoords="offset points",
        fontsize=7,
        color=SOFT,
    )
    if growth.passed is not None:
        axes.plot([growth.passed], [height], color=INK, marker="v", ms=7, ls="")
        axes.annotate(
            "the high figure passes them",
            (growth.passed, height),
            (-6, 5),
            textcoords="offset points",
            ha="right",
            fontsize=7,
        )
