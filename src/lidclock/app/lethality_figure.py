"""A probe's trace as a figure: readings, targets, and what the tables count."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from lidclock.app.cooling_figure import kind_of
from lidclock.app.files import write_whole
from lidclock.app.targets import set_title
from lidclock.kinetics.heating import Heating, Lethality, lethality

if TYPE_CHECKING:
    from lidclock.app.lethality import Answer
    from lidclock.reports.heating import HeatingFigure, Worth

_GRID = 600


def draw_answer(found: Answer, name: str, path: Path) -> None:
    """Draw it to a file; InputError for a file of another kind."""
    from lidclock.reports.heating import draw_heating

    kind = kind_of(path)
    write_whole(path, [draw_heating(_figure(found, name), kind)])


def _figure(found: Answer, name: str) -> HeatingFigure:
    from lidclock.reports.heating import HeatingFigure

    heating = found.trace.heating
    edges = zip(heating.minutes[:-1], heating.minutes[1:], strict=True)
    gaps = [
        (float(first), float(last))
        for (first, last), is_gap in zip(edges, heating.is_gap, strict=True)
        if is_gap
    ]
    return HeatingFigure(
        name,
        heating.minutes,
        heating.temps_c,
        tuple(gaps),
        tuple(_levels(found)),
        tuple(_worth(lethality(_finer(heating), one.process)) for one in found.worth),
    )


def _finer(heating: Heating) -> Heating:
    """The same lines with many points, so that what is counted is drawn as it bends."""
    ends = heating.minutes[0], heating.minutes[-1]
    times = np.union1d(heating.minutes, np.linspace(*ends, _GRID))
    run = np.searchsorted(heating.minutes, times[:-1], side="right") - 1
    temps_c = np.interp(times, heating.minutes, heating.temps_c)
    return Heating(times, temps_c, heating.is_gap[run])


def _levels(found: Answer) -> list[tuple[float, str]]:
    """Each temperature with what is said of it, once."""
    said: dict[tuple[float, str], None] = {}
    for one in found.judged:
        if one.needed_c is not None and one.needed_min is not None:
            hold = f", {_hold(one.needed_min)}" if one.needed_min else ""
            words = f"{one.needed_c:.1f} °C{hold}, {set_title(one.target.set)}"
            said[one.needed_c, f"{words}: {one.state}"] = None
    return sorted(said)


def _hold(minutes: float) -> str:
    return f"{minutes:g} min" if minutes >= 1 else f"{minutes * 60:.0f} s"


def _worth(one: Lethality) -> Worth:
    from lidclock.reports.heating import Worth

    process = one.process
    if process.d_min is None:
        unit = f"minutes at {process.reference_c:.1f} °C"
        return Worth(process.name, unit, one.minutes, one.so_far, one.reached)
    logs = one.so_far / process.d_min
    most = math.inf if process.logs is None else process.logs
    return Worth(process.name, "log reductions", one.minutes, logs, one.reached, most)
