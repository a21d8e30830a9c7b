"""Waste week by week: grams by cause, one on the other, and the share that they are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from lidclock.domain.moments import say_short_day
from lidclock.reports.drawing import INK, SOFT, Format, as_bytes, style
from lidclock.reports.page import Words, drawable, new_page

if TYPE_CHECKING:
    from matplotlib.axes import Axes

_WIDE_IN, _BODY_IN = 8.0, 4.2
_SHARE_HIGH, _BARS_HIGH = 1.0, 2.8
_BAR_WIDE = 0.62
_MOST_DAYS_SHOWN = 9
# A grey and a hatching for each cause, told apart in print and by those who see no
# colour; what lies beside another differs in both.
_LOOKS: tuple[tuple[str, str], ...] = (
    ("0.25", ""),
    ("1.0", "////"),
    ("0.7", ""),
    ("1.0", "xxxx"),
    ("0.88", "...."),
    ("1.0", "----"),
    ("0.5", "\\\\\\\\"),
)
# Room for words at the right of the last bar, as a share of the weeks' width.
_LABEL_ROOM = 0.34
_LEAST_GAP = 0.075


@dataclass(frozen=True, slots=True)
class WasteWeek:
    """A week from its first day on: grams (or portions) by cause, and the share.

    `share` is of all that left in the week; None where nothing left.
    """

    began_on: date
    causes: Mapping[str, float]
    share: float | None


@dataclass(frozen=True, slots=True)
class WasteFigure:
    """What is drawn: weeks in order, causes from the foot up, and the words around.

    `unit` stands at the left of the bars, such as `grams`.
    """

    title: str
    weeks: Sequence[WasteWeek]
    causes: Sequence[str]
    unit: str
    notes: Sequence[str] = ()


def draw_waste_weeks(waste: WasteFigure, kind: Format = "png") -> bytes:
    """Bars of causes for each week, each named beside the last; the share above."""
    with style():
        page = new_page(_WIDE_IN, _BODY_IN, Words([waste.title], waste.notes), [])
        heights = [_SHARE_HIGH, _BARS_HIGH]
        share, bars = page.subplots(2, 1, sharex=True, height_ratios=heights)
        _draw_share(share, waste.weeks)
        _draw_bars(bars, waste)
        _days_beneath(bars, waste.weeks)
        return as_bytes(page, kind)


def _draw_share(axes: Axes, weeks: Sequence[WasteWeek]) -> None:
    known = [
        (n, one.share * 100) for n, one in enumerate(weeks) if one.share is not None
    ]
    line = [np.nan if one.share is None else one.share * 100 for one in weeks]
    axes.plot(
        range(len(weeks)), line, color=INK, lw=0.9, marker="o", ms=3, clip_on=False
    )
    most = max((value for _, value in known), default=0.0)
    axes.set_ylim(0, max(1.35 * most, 1.0))
    axes.set_yticks([0])
    axes.set_ylabel("% of what left")
    step = -(-len(known) // 14) or 1
    peak = max(known, key=lambda one: one[1], default=(0, 0.0))[0]
    for place, (number, value) in enumerate(known):
        if place % step == 0 or number == peak:
            axes.annotate(
                f"{value:.0f} %",
                (number, value),
                (0, 4),
                textcoords="offset points",
                ha="center",
                fontsize=8,
            )
    axes.text(
        len(weeks) - 0.4, 0, "  share of the grams that\n  left, thrown away",
        va="bottom", fontsize=8,
    )  # fmt: skip


def _draw_bars(axes: Axes, waste: WasteFigure) -> None:
    foot = np.zeros(len(waste.weeks))
    ends: list[tuple[float, str, float]] = []
    for number, cause in enumerate(waste.causes):
        tall = np.array([one.causes.get(cause, 0.0) for one in waste.weeks])
        grey, hatch = _LOOKS[number % len(_LOOKS)]
        axes.bar(
            range(len(tall)), tall, _BAR_WIDE, bottom=foot, color=grey, hatch=hatch,
            edgecolor=INK, linewidth=0.7,
        )  # fmt: skip
        ends.append((float(foot[-1] + tall[-1] / 2), cause, float(tall.sum())))
        foot = foot + tall
    most = float(foot.max(initial=0.0)) or 1.0
    axes.set_ylim(0, 1.08 * most)
    axes.set_ylabel(waste.unit)
    _name_causes(axes, waste, ends)
    if not foot.any():
        axes.text(
            (len(waste.weeks) - 1) / 2, 0.5, "nothing was wasted", ha="center",
            fontsize=10, color=SOFT,
        )  # fmt: skip


def _name_causes(
    axes: Axes, waste: WasteFigure, ends: Sequence[tuple[float, str, float]]
) -> None:
    """Each cause in words at the right, in the order of the bars, with its sample."""
    from matplotlib.patches import Rectangle

    count = len(waste.weeks)
    high = axes.get_ylim()[1]
    spots = _spread([end[0] for end in ends], high * _LEAST_GAP * 1.3)
    left = count - 0.4 + 0.02 * count
    wide = 0.03 * count
    for number, (spot, (_, cause, whole)) in enumerate(zip(spots, ends, strict=True)):
        grey, hatch = _LOOKS[number % len(_LOOKS)]
        axes.add_patch(
            Rectangle(
                (left, spot - high * 0.025), wide, high * 0.05, facecolor=grey,
                hatch=hatch, edgecolor=INK, lw=0.6, clip_on=False,
            )
        )  # fmt: skip
        words = f"{cause}, {whole:,.0f}".replace(",", " ", 0)
        axes.text(left + 1.6 * wide, spot, drawable(words), va="center", fontsize=8)
    axes.set_xlim(-0.6, count - 0.4 + _LABEL_ROOM * count)


def _spread(wanted: Sequence[float], gap: float) -> list[float]:
    """Places near those wanted, in their order, each at least `gap` above the last."""
    spots: list[float] = []
    for one in wanted:
        least = spots[-1] + gap if spots else gap / 2
        spots.append(max(one, least))
    return spots


def _days_beneath(axes: Axes, weeks: Sequence[WasteWeek]) -> None:
    step = -(-len(weeks) // _MOST_DAYS_SHOWN) or 1
    shown = range(0, len(weeks), step)
    axes.set_xticks(list(shown), [say_short_day(weeks[n].began_on) for n in shown])
    axes.set_xlabel("week from")
    axes.xaxis.set_label_coords(0, -0.13)
    axes.xaxis.label.set_ha("left")
