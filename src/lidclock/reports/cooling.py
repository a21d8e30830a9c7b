"""A cooling curve with the stages that it has to keep, and what was foreseen."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np

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
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_WIDE_IN, _HIGH_IN = 8.0, 4.0
_AFTER_S, _AIR_C = 4_800.0, 4.0
# Far above every pan.
_TOP_C = 600.0


@dataclass(frozen=True, slots=True)
class Stage:
    """`to_c` by `due` (seconds): one stage of cooling; `is_met` None while open."""

    to_c: float
    due: float
    is_met: bool | None = None


@dataclass(frozen=True, slots=True)
class Cooling:
    """Readings of one pan, its stages, and the band that was foreseen from them.

    `band` holds times and the low and high temperature expected then; empty arrays
    where nothing could be foreseen. Times are seconds since 1970 in UTC.
    """

    name: str
    times: Floats
    temps_c: Floats
    stages: tuple[Stage, ...]
    band: tuple[Floats, Floats, Floats] | None = None


def draw_cooling(
    cooling: Cooling, zone: ZoneInfo, kind: Format = "png", units: str = "metric"
) -> bytes:
    """Readings as dots, each stage as a corner not to be passed, the band hatched.

    In degrees Fahrenheit where `units` are US ones.
    """
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    degrees = "°F" if units == "us" else "°C"
    if units == "us":
        cooling = _in_fahrenheit(cooling)
    began = float(cooling.times[0]) if len(cooling.times) else cooling.stages[0].due
    ended = max([*(stage.due for stage in cooling.stages), *cooling.times]) + _AFTER_S
    with style():
        figure = new_figure(_WIDE_IN, _HIGH_IN)
        axes = figure.add_subplot()
        keys: list[Line2D | Patch] = []
        if cooling.band is not None and len(cooling.band[0]):
            times, low, high = cooling.band
            axes.fill_between(
                times, low, high, facecolor="none", edgecolor=SOFT, hatch=HATCH, lw=0.4
            )
            keys.append(
                Patch(facecolor="none", edgecolor=SOFT, hatch=HATCH,
                      label="foreseen, no pass")
            )  # fmt: skip
        measured = (cooling.times, cooling.temps_c)
        axes.plot(*measured, color=INK, lw=1.0, marker="o", ms=3.5, zorder=3)
        keys.insert(0, Line2D([], [], color=INK, marker="o", ms=3.5, label="measured"))
        # Some sets publish no stage at all.
        ends = [*(stage.due for stage in cooling.stages), ended][1:]
        for stage, end in zip(cooling.stages, ends, strict=True):
            _stage(axes, stage, end, zone, degrees)
        shown = [*cooling.temps_c, *(stage.to_c for stage in cooling.stages)]
        axes.set_ylim(min(shown) - _AIR_C, max(shown) + _AIR_C)
        days_along(axes, began - 300, ended, zone)
        axes.set_title(f"{cooling.name}: cooling")
        axes.set_ylabel(degrees)
        axes.legend(
            handles=keys, loc="upper left", bbox_to_anchor=(0, -0.12), ncols=len(keys)
        )
        return as_bytes(figure, kind)


def _in_fahrenheit(one: Cooling) -> Cooling:
    band = one.band
    if band is not None:
        band = (band[0], band[1] * 1.8 + 32, band[2] * 1.8 + 32)
    stages = tuple(replace(x, to_c=x.to_c * 1.8 + 32) for x in one.stages)
    return replace(one, temps_c=one.temps_c * 1.8 + 32, stages=stages, band=band)


def _stage(
    axes: Axes, stage: Stage, ended: float, zone: ZoneInfo, degrees: str
) -> None:
    """The corner not to be in: warmer than the stage allows, after its hour."""
    axes.fill_between(
        np.array([stage.due, ended]), stage.to_c, _TOP_C, facecolor=PALE, zorder=0
    )
    corner = ([stage.due, stage.due, ended], [_TOP_C, stage.to_c, stage.to_c])
    axes.plot(*corner, color=INK, lw=0.9, ls=DASHES, zorder=2)
    hour = f"{datetime.fromtimestamp(stage.due, zone):%H:%M}"
    word = {True: ", met", False: ", missed", None: ""}[stage.is_met]
    axes.annotate(
        f"{stage.to_c:.0f} {degrees} by {hour}{word}",
        (stage.due, stage.to_c),
        (4, 4),
        textcoords="offset points",
        fontsize=8,
    )
