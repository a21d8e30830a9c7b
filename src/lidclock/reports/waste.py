"""Waste week by week: grams by cause, one on the other, and the share that they are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

import numpy as np

from lidclock.domain.moments import say_short_day
from lidclock.plan.causes import CAUSES
from lidclock.reports.drawing import INK, Format, as_bytes, style
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
# Room beside the first and the last bar, in weeks; the share of the width that words
# at the right have, and the space before them; how far apart they stand at least.
_SIDE, _WORDS_WIDE, _SPACE, _LEAST_GAP = 0.6, 0.24, 0.06, 0.09
_BEHIND_WORDS = {"facecolor": "1.0", "edgecolor": "none", "pad": 0.6}
_MOST_SHARES_SHOWN = 14
# One bar is not blown up to fill the width.
_FEWEST_WEEKS = 4


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
    """The share of each week as a thin line, each figure beside its dot."""
    line = [np.nan if one.share is None else one.share * 100 for one in weeks]
    axes.plot(
        range(len(line)), line, color=INK, lw=0.8, marker="o", ms=3, clip_on=False
    )
    known = [(number, value) for number, value in enumerate(line) if value == value]
    axes.set_ylim(0, max(1.4 * max((value for _, value in known), default=0.0), 1.0))
    axes.set_yticks([])
    axes.spines["left"].set_visible(False)
    step = -(-len(known) // _MOST_SHARES_SHOWN) or 1
    peak = max(known, key=lambda one: one[1], default=(0, 0.0))
    for place, one in enumerate(known):
        if place % step == 0 or one == peak:
            axes.annotate(
                f"{one[1]:.0f} %", one, (0, 5), textcoords="offset points",
                ha="center", fontsize=8, bbox=_BEHIND_WORDS,
            )  # fmt: skip
    beside = _edge(weeks) + _SPACE * _room(weeks)
    says = "share of the grams\nthat left the kitchen" if known else "nothing left"
    axes.text(beside, 0, says, va="bottom", fontsize=8)
    axes.spines["bottom"].set_bounds(-_SIDE, _edge(weeks))
    axes.tick_params(bottom=False)


def _draw_bars(axes: Axes, waste: WasteFigure) -> None:
    """One cause on the other in every week, and their names at the right."""
    from matplotlib.ticker import MaxNLocator

    foot = np.zeros(len(waste.weeks))
    ends: list[tuple[float, str, float]] = []
    for cause in waste.causes:
        tall = np.array([one.causes.get(cause, 0.0) for one in waste.weeks])
        grey, hatch = _look(cause)
        there = np.flatnonzero(tall)
        axes.bar(
            there, tall[there], _BAR_WIDE, bottom=foot[there], color=grey, hatch=hatch,
            edgecolor=INK, linewidth=0.7,
        )  # fmt: skip
        ends.append((float(foot[-1] + tall[-1] / 2), cause, float(tall.sum())))
        foot = foot + tall
    axes.set_ylim(0, 1.05 * (float(foot.max(initial=0.0)) or 1.0))
    axes.set_ylabel(waste.unit)
    axes.yaxis.set_major_locator(MaxNLocator(5))
    axes.set_xlim(-_SIDE, _edge(waste.weeks) + _room(waste.weeks))
    axes.spines["bottom"].set_bounds(-_SIDE, _edge(waste.weeks))
    _name_causes(axes, waste, ends)
    if not ends:
        axes.set_yticks([0])
        middle = (len(waste.weeks) - 1) / 2
        axes.text(middle, 0.5, "nothing was wasted", ha="center", fontsize=10)


def _name_causes(
    axes: Axes, waste: WasteFigure, ends: Sequence[tuple[float, str, float]]
) -> None:
    """Each cause in words at the right, in the order of the bars, with its sample."""
    from matplotlib.patches import Rectangle

    high, room = axes.get_ylim()[1], _room(waste.weeks)
    left, wide = _edge(waste.weeks) + _SPACE * room, 0.1 * room
    spots = _spread([end[0] for end in ends], high * _LEAST_GAP)
    for spot, (_, cause, whole) in zip(spots, ends, strict=True):
        grey, hatch = _look(cause)
        axes.add_patch(
            Rectangle(
                (left, spot - high * 0.025), wide, high * 0.05, facecolor=grey,
                hatch=hatch, edgecolor=INK, lw=0.6, clip_on=False,
            )
        )  # fmt: skip
        words = drawable(f"{cause}: {round(whole, 1):g}")
        axes.text(left + 1.4 * wide, spot, words, va="center", fontsize=8)


def _look(cause: str) -> tuple[str, str]:
    """The grey and the hatching of a cause: the same in every figure."""
    return _LOOKS[CAUSES.index(cause) % len(_LOOKS)]


def _edge(weeks: Sequence[WasteWeek]) -> float:
    """Where the bars end and the words begin."""
    return max(len(weeks), _FEWEST_WEEKS) - 1 + _SIDE


def _room(weeks: Sequence[WasteWeek]) -> float:
    """How wide the words are, in weeks."""
    return (_edge(weeks) + _SIDE) * _WORDS_WIDE / (1 - _WORDS_WIDE)


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
    axes.set_xticks(list(shown), [_say(weeks[n].began_on) for n in shown])
    axes.set_xlabel("weeks, by their first day", loc="left")


def _say(day: date) -> str:
    """`Mon` above `7 Sep`."""
    return say_short_day(day).replace(" ", "\n", 1)
