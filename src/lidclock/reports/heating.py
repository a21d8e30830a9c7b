"""A heating with the targets it was set against, and what a model counts of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from lidclock.reports.drawing import (
    DASHES,
    HATCH,
    INK,
    SOFT,
    Floats,
    Format,
    as_bytes,
    broken,
    new_figure,
    style,
    thinned,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_WIDE_IN, _HIGH_IN = 8.0, 5.6
_LEAST_LOGS = 1.0
_LINES: tuple[Any, ...] = ("-", DASHES, (0, (1, 1.5)), (0, (6, 2, 1, 2)))
# The height of one line of words, of the figure of readings.
_WORDS_SHARE = 0.055


@dataclass(frozen=True, slots=True)
class Worth:
    """What one table counts of it: the running log reductions, or minutes where it has
    no logs. The slow way up had ended at `since`; the table ends at `most`.
    """

    name: str
    unit: str
    minutes: Floats
    so_far: Floats
    since: float
    most: float = float("inf")


@dataclass(frozen=True, slots=True)
class HeatingFigure:
    """Readings over minutes; `gaps` are where nobody measured, (from, to) in minutes.

    `levels` are the targets' temperatures with what is said of each.
    """

    name: str
    minutes: Floats
    temps_c: Floats
    gaps: Sequence[tuple[float, float]] = ()
    levels: Sequence[tuple[float, str]] = ()
    worth: Sequence[Worth] = ()


def draw_heating(heating: HeatingFigure, kind: Format = "png") -> bytes:
    """Above the readings with the targets' lines, below what the tables count."""
    with style():
        figure = new_figure(_WIDE_IN, _HIGH_IN)
        upper, lower = figure.subplots(2, 1, sharex=True, height_ratios=(1.6, 1))
        _readings(upper, heating)
        _worth(lower, heating)
        lower.set_xlabel("minutes")
        upper.set_title(f"{heating.name}: readings against targets")
        return as_bytes(figure, kind)


def _readings(axes: Axes, heating: HeatingFigure) -> None:
    first, last = float(heating.minutes[0]), float(heating.minutes[-1])
    for begin, end in heating.gaps:
        axes.axvspan(begin, end, facecolor="none", edgecolor=SOFT, hatch=HATCH, lw=0.0)
    line = broken(*thinned(heating.minutes, heating.temps_c), heating.gaps)
    axes.plot(*line, color=INK, lw=1.3, marker="o", ms=_dot(heating), zorder=3)
    for level, _ in heating.levels:
        axes.axhline(level, color=SOFT, lw=0.9, ls=DASHES, zorder=1)
    axes.set_xlim(first, last + 0.02 * (last - first))
    low, high = axes.get_ylim()
    axes.set_ylim(low, high + 0.06 * (high - low))
    axes.set_ylabel("°C")
    _levels(axes, heating.levels)


def _levels(axes: Axes, levels: Sequence[tuple[float, str]]) -> None:
    """The words beside their lines, pushed apart where lines lie close together."""
    low, high = axes.get_ylim()
    apart = _WORDS_SHARE * (high - low)
    heights = [level for level, _ in levels]
    # Up from the lowest, then down again from the top of the figure.
    for number in range(1, len(heights)):
        heights[number] = max(heights[number], heights[number - 1] + apart)
    roof = high
    for number in reversed(range(len(heights))):
        heights[number] = min(heights[number], roof)
        roof = heights[number] - apart
    for (level, words), height in zip(levels, heights, strict=True):
        axes.annotate(
            words,
            (1.0, level),
            (1.05, height),
            xycoords=axes.get_yaxis_transform(),
            textcoords=axes.get_yaxis_transform(),
            va="center",
            fontsize=7,
            arrowprops={
                **{"arrowstyle": "-", "color": SOFT, "lw": 0.6},
                **{"relpos": (0.0, 0.5), "shrinkA": 1.0, "shrinkB": 0.0},
            },
        )


def _dot(heating: HeatingFigure) -> float:
    """Dots while each can be told from its neighbours."""
    return 2.5 if heating.minutes.size <= 120 else 0.0


def _worth(axes: Axes, heating: HeatingFigure) -> None:
    top, beyond = _LEAST_LOGS, False
    for number, one in enumerate(heating.worth):
        dashes = _LINES[number % len(_LINES)]
        label = f"{one.name}, {one.unit}"
        axes.plot(one.minutes, one.so_far, color=INK, lw=1.2, ls=dashes, label=label)
        ended = float(np.interp(one.since, one.minutes, one.so_far))
        axes.plot([one.since], [ended], color=INK, marker="|", ms=12, ls="")
        top = max(top, min(float(one.so_far[-1]), one.most))
        if one.so_far[-1] > one.most:
            beyond = True
    axes.set_ylim(0, 1.08 * top)
    axes.set_ylabel("by model")
    if beyond:
        axes.annotate(
            "cut where the tables end",
            (1.0, 1.0),
            (-3, 3),
            xycoords="axes fraction",
            textcoords="offset points",
            ha="right",
            fontsize=7,
        )
    axes.legend(
        loc="upper left",
        bbox_to_anchor=(0, -0.28),
        ncols=1,
        title="slow way up credited; | marks its end. A model: it judges nothing",
        title_fontsize=8,
        alignment="left",
    )
