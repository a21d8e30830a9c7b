"""What is wasted under each policy, as points with their intervals."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from lidclock.reports.drawing import INK, SOFT, as_bytes, style
from lidclock.reports.page import Words, new_page
from simulation.policies import NOTHING, POLICIES
from simulation.tally import LOST, WASTED, Estimate, Outcome, estimate

_WIDE_IN, _HIGH_IN = 8.0, 3.4
_GREYS = 12
_ASIDE = 0.16


def draw(columns: Mapping[str, Sequence[Outcome]], bound: Estimate, path: Path) -> None:
    """Write the figure; `bound` is the least waste without a freezer."""
    seeds = len(columns[NOTHING.name])
    words = Words(
        (
            "Simulated: waste under each policy, share of the portions made",
            f"Means of {seeds} seeds of one invented kitchen over eight weeks, with "
            "95 % intervals. A model, no evidence about any real kitchen.",
        )
    )
    with style():
        figure = new_page(_WIDE_IN, _HIGH_IN, words, ())
        axes = figure.subplots()
        axes.axvline(bound.mean, color=SOFT, lw=0.8, ls=(0, (2, 2)))
        for row, policy in enumerate(reversed(POLICIES)):
            some = columns[policy.name]
            wasted, lost = (estimate([f(x) for x in some]) for f in (WASTED, LOST))
            is_first = policy is POLICIES[0]
            _point(axes, row + _ASIDE, wasted, INK, "wasted" if is_first else "")
            kept = "wasted or still frozen" if is_first else ""
            _point(axes, row - _ASIDE, lost, "white", kept)
        axes.set_yticks(range(len(POLICIES)), [x.name for x in reversed(POLICIES)])
        axes.tick_params(axis="y", length=0)
        axes.spines["left"].set_visible(False)
        axes.set_xlim(0, None)
        axes.set_ylim(-0.6, len(POLICIES) - 0.1)
        axes.set_xlabel("% of the portions made")
        axes.annotate(
            "least waste without a freezer, everything known beforehand",
            (bound.mean, len(POLICIES) - 0.35),
            xytext=(-4, 0),
            textcoords="offset points",
            ha="right",
            va="center",
            fontsize=7.5,
            color="0.3",
        )
        path.write_bytes(as_bytes(figure, "png"))
    _lighten(path)


def _point(axes, at: float, found: Estimate, fill: str, words: str) -> None:
    axes.errorbar(
        *(found.mean, at),
        xerr=found.half,
        fmt="o",
        ms=5.5,
        mfc=fill,
        mec=INK,
        color=INK,
        capsize=2.5,
        lw=1.0,
    )
    label = f"{found.mean:.1f}" + (f"  {words}" if words else "")
    axes.annotate(
        label,
        (found.high, at),
        xytext=(5, 0),
        textcoords="offset points",
        va="center",
        fontsize=8,
        bbox={"fc": "white", "ec": "none", "pad": 0.5},
    )


def _lighten(path: Path) -> None:
    """The same picture in few greys, since it is kept beside the documents."""
    from PIL import Image

    with Image.open(path) as drawn:
        few = drawn.convert("L").quantize(_GREYS)
    few.save(path, optimize=True)
