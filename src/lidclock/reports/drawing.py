"""What every figure shares: one ink, local time along the foot, the same bytes again.

Figures are read in print and in dim store rooms, so nothing hangs on colour: lines
differ by weight and dashes, areas by hatching.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Literal
from zoneinfo import ZoneInfo

import numpy as np

from lidclock.domain.moments import say_hours, say_short_day

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

Floats = np.ndarray[Any, np.dtype[np.float64]]
Format = Literal["png", "svg", "pdf"]
FORMATS: tuple[Format, ...] = ("png", "svg", "pdf")

INK, SOFT, PALE = "0.0", "0.45", "0.88"
HATCH = "////"
DASHES = (0, (5, 3))
_DAY_S, _QUARTER_S = 86_400, 900
_DPI = 144
# A run of points longer than a figure is wide shows nothing more.
_MOST_POINTS = 4_000
_STYLE: Any = {
    "font.family": "DejaVu Sans",
    "font.size": 9.0,
    "axes.linewidth": 0.6,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.titlesize": 10.0,
    "axes.titlelocation": "left",
    "axes.titleweight": "bold",
    "hatch.linewidth": 0.5,
    "hatch.color": SOFT,
    "legend.frameon": False,
    "legend.fontsize": 8.0,
    "svg.hashsalt": "lidclock",
    "svg.fonttype": "path",
    # What people type is text, never a formula.
    "text.parse_math": False,
    "axes.formatter.use_mathtext": False,
}


def style() -> AbstractContextManager[None]:
    """The look of every figure, for as long as it is drawn."""
    import matplotlib as mpl

    return mpl.rc_context(_STYLE)


def new_figure(width_in: float, height_in: float) -> Figure:
    """An empty page; no window is ever opened."""
    from matplotlib.figure import Figure

    return Figure(figsize=(width_in, height_in), layout="constrained")


def as_bytes(figure: Figure, kind: Format) -> bytes:
    """The figure in that format; the same figure always gives the same bytes."""
    out = io.BytesIO()
    metadata: dict[str, Any] = {
        "png": {"Software": None},
        "svg": {"Date": None, "Creator": None},
        "pdf": {"CreationDate": None, "Creator": None, "Producer": None},
    }[kind]
    figure.savefig(out, format=kind, dpi=_DPI, metadata=metadata)
    return out.getvalue()


def thinned(times: Floats, values: Floats) -> tuple[Floats, Floats]:
    """The points worth drawing: of each stretch its lowest and its highest."""
    if len(times) <= _MOST_POINTS:
        return times, values
    edges = np.linspace(0, len(times), _MOST_POINTS // 2 + 1).astype(int)
    chosen: set[int] = {0, len(times) - 1}
    for begin, end in pairwise(edges):
        stretch = values[begin:end]
        if np.isnan(stretch).all():
            chosen.add(int(begin))
        else:
            chosen |= {
                int(begin + np.nanargmin(stretch)),
                int(begin + np.nanargmax(stretch)),
            }
    index = np.array(sorted(chosen))
    return times[index], values[index]


def broken(
    times: Floats, values: Floats, gaps: Iterable[tuple[float, float]]
) -> tuple[Floats, Floats]:
    """The points with a break in each gap: no line where nobody measured."""
    cuts = [begin for begin, _ in gaps]
    places = np.searchsorted(times, cuts, side="right")
    return np.insert(times, places, cuts), np.insert(values, places, np.nan)


def days_along(axes: Axes, began: float, ended: float, zone: ZoneInfo) -> None:
    """Local days along the foot, or hours where the time is short."""
    axes.set_xlim(began, ended)
    span = ended - began
    if span <= 2 * _DAY_S:
        _hours_along(axes, began, ended, zone)
        return
    midnights = midnights_in(began, ended, zone)
    step = max(1, -(-len(midnights) // 9))
    shown = midnights[::step]
    axes.set_xticks(shown, [say_short_day(_local(x, zone).date()) for x in shown])
    if step > 1:
        axes.set_xticks(midnights, minor=True)


def _hours_along(axes: Axes, began: float, ended: float, zone: ZoneInfo) -> None:
    """Round hours of the local clock, also after it changed; the day at midnight."""
    step_m = next(
        minutes
        for minutes in (15, 30, 60, 120, 180, 240, 360, 720)
        if (ended - began) / (minutes * 60) <= 9
    )
    quarters = np.arange(
        np.ceil(began / _QUARTER_S) * _QUARTER_S, ended + 1, _QUARTER_S
    )
    local = [(float(x), _local(float(x), zone)) for x in quarters]
    shown = [(x, at) for x, at in local if (at.hour * 60 + at.minute) % step_m == 0]
    axes.set_xticks([x for x, _ in shown], [_hour_words(at) for _, at in shown])
    axes.set_xlabel(say_days(began, ended, zone))


def _hour_words(at: datetime) -> str:
    hour = f"{at:%H:%M}"
    is_midnight = (at.hour, at.minute) == (0, 0)
    return f"{hour}\n{say_short_day(at.date())}" if is_midnight else hour


def clock_changes(began: float, ended: float, zone: ZoneInfo) -> list[float]:
    """When the clock jumps within the span, to the second."""
    found = []
    edges = np.append(np.arange(began, ended, _DAY_S), ended)
    for early, late in pairwise(float(x) for x in edges):
        if _offset_s(early, zone) == _offset_s(late, zone):
            continue
        low, high = int(early), int(late) + 1
        while high - low > 1:
            middle = (low + high) // 2
            is_before = _offset_s(middle, zone) == _offset_s(early, zone)
            low, high = (middle, high) if is_before else (low, middle)
        found.append(float(high))
    return found


def say_change(at: float, zone: ZoneInfo) -> str:
    """`Sun 1 Nov 02:00: clocks go back 1 h`, by the clock as it was before."""
    before, after = _offset_s(at - 1, zone), _offset_s(at, zone)
    wall = datetime.fromtimestamp(at + before, UTC)
    way = "back" if after < before else "forward"
    length = say_hours(timedelta(seconds=abs(after - before)))
    return f"{say_short_day(wall.date())} {wall:%H:%M}: clocks go {way} {length}"


def _offset_s(at: float, zone: ZoneInfo) -> float:
    return (_local(at, zone).utcoffset() or timedelta(0)).total_seconds()


def midnights_in(began: float, ended: float, zone: ZoneInfo) -> list[float]:
    """Every local midnight in the span, days of 23 and 25 hours included."""
    day = _local(began, zone).date()
    found: list[float] = []
    while True:
        at = datetime(day.year, day.month, day.day, tzinfo=zone).timestamp()
        if at > ended:
            return found
        if at >= began:
            found.append(at)
        day = type(day).fromordinal(day.toordinal() + 1)


def _local(at: float, zone: ZoneInfo) -> datetime:
    return datetime.fromtimestamp(float(at), zone)


def say_days(began: float, ended: float, zone: ZoneInfo) -> str:
    """`Mon 26 Oct to Sun 1 Nov 2026`: the first and the last day."""
    first, last = _local(began, zone).date(), _local(ended - 1, zone).date()
    if first == last:
        return f"{say_short_day(first)} {first.year}"
    year = "" if first.year == last.year else f" {first.year}"
    return f"{say_short_day(first)}{year} to {say_short_day(last)} {last.year}"
