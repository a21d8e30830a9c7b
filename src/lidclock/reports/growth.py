"""A container's temperatures and what a growth model makes of them: a warning only."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
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

_WIDE_IN, _HIGH_IN = 8.0, 5.0
_LEAST_LOG = 0.5
# A stay shorter than this share of the whole has no room for its place's name.
_WORDS_SHARE = 0.12


@dataclass(frozen=True, slots=True)
class Growth:
    """Temperatures of the food's places, and log10 increase at the same times.

    `stays` are (place, began, ended) in seconds since 1970 in UTC, like `times`;
    `last_moment` is the authority's, which no model moves.
    """

    name: str
    organism: str
    times: Floats
    temps_c: Floats
    low: Floats
    mid: Floats
    high: Floats
    stays: Sequence[tuple[str, float, float]] = ()
    last_moment: float | None = None
    limit_c: float | None = None


def draw_growth(growth: Growth, zone: ZoneInfo, kind: Format = "png") -> bytes:
    """Above the temperatures, below the band; the last moment runs through both."""
    began, ended = float(growth.times[0]), float(growth.times[-1])
    ended = max(ended, growth.last_moment or ended)
    with style():
        figure = new_figure(_WIDE_IN, _HIGH_IN)
        upper, lower = figure.subplots(2, 1, sharex=True, height_ratios=(1, 1.2))
        _temperatures(upper, growth)
        _band(lower, growth)
        for axes in (upper, lower):
            if growth.last_moment is not None:
                axes.axvline(growth.last_moment, color=INK, lw=1.4)
        days_along(lower, began, ended, zone)
        upper.tick_params(labelbottom=False)
        upper.set_title(
            f"{growth.name}: {growth.organism}, a warning and no permission"
        )
        return as_bytes(figure, kind)


def _temperatures(axes: Axes, growth: Growth) -> None:
    for number, (place, begin, end) in enumerate(growth.stays):
        if number % 2:
            axes.axvspan(begin, end, facecolor=PALE, edgecolor="none", zorder=0)
        if end - begin < _WORDS_SHARE * (growth.times[-1] - growth.times[0]):
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
    axes.plot(*thinned(growth.times, growth.temps_c), color=INK, lw=0.9)
    if growth.limit_c is not None:
        axes.axhline(growth.limit_c, color=INK, lw=0.9, ls=DASHES)
    axes.set_ylabel("°C")
    low, high = axes.get_ylim()
    # Room for the names of the places.
    axes.set_ylim(low, high + 0.2 * (high - low))


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
    axes.set_ylim(0, max(_LEAST_LOG, 1.05 * float(growth.high.max())))
    axes.set_ylabel("log10 increase")
    handles, labels = axes.get_legend_handles_labels()
    if growth.last_moment is not None:
        from matplotlib.lines import Line2D

        handles.append(Line2D([], [], color=INK, lw=1.4))
        labels.append("last moment, by the guidance")
    axes.legend(
        handles, labels, loc="upper left", bbox_to_anchor=(0, -0.14), ncols=len(labels)
    )
