"""A place over a week, and all places side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from lidclock.errors import InputError
from lidclock.reports.drawing import INK, Format, as_bytes, days_along, style
from lidclock.reports.page import WORDS_PT, Words, new_page, shortened
from lidclock.reports.trace import Frame, Trace, keys_of, paint, set_heights

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

__all__ = ["Frame", "Trace", "Words", "draw_fleet", "draw_place"]

_WIDE_IN, _HIGH_IN, _STRIP_IN = 8.0, 3.0, 0.8
_ROW_IN, _SMALL_PT = 1.3, 7.0
# Up to so many places two columns are wide enough to read each; then three.
_FEW_PLACES = 8
# A gap narrower than this share of the figure has no room for words.
_WORDS_SHARE, _FEW_WORDS_SHARE = 0.12, 0.4
# What ticks and margins of a small picture take from its width.
_MARGIN_IN = 0.45


def draw_place(
    trace: Trace, frame: Frame, words: Words, kind: Format = "png", *, lag: str = ""
) -> bytes:
    """One place: line, food, limit, excursions, gaps, and containers where known."""
    with style():
        return as_bytes(place_figure(trace, frame, words, lag=lag), kind)


def place_figure(trace: Trace, frame: Frame, words: Words, *, lag: str = "") -> Figure:
    """What `draw_place` draws; call it within `style()`."""
    has_strip = trace.containers is not None
    keys = keys_of([trace], frame, lag)
    body_in = _HIGH_IN + (_STRIP_IN if has_strip else 0)
    figure = new_page(_WIDE_IN, body_in, words, keys)
    if has_strip:
        ratios = (_HIGH_IN, _STRIP_IN)
        axes, strip = figure.subplots(2, 1, sharex=True, height_ratios=ratios)
        _containers(strip, trace, frame)
        axes.tick_params(labelbottom=False)
    else:
        axes = strip = figure.add_subplot()
    paint(axes, trace, frame, _WORDS_SHARE)
    set_heights(axes, [trace], frame)
    days_along(strip, frame.began, frame.ended, frame.zone)
    # The head says which days these are.
    strip.set_xlabel("")
    axes.set_ylabel(frame.unit)
    return figure


def _containers(axes: Axes, trace: Trace, frame: Frame) -> None:
    """How many containers stood there, as steps."""
    from matplotlib.ticker import MaxNLocator

    assert trace.containers is not None
    times, numbers = trace.containers
    axes.step(
        [*times, frame.ended], [*numbers, numbers[-1]], where="post", color=INK, lw=0.9
    )
    axes.set_ylim(0, max(1.0, float(numbers.max())) * 1.15)
    axes.yaxis.set_major_locator(MaxNLocator(3, integer=True))
    axes.set_ylabel("containers")


def draw_fleet(
    traces: Sequence[Trace], frame: Frame, words: Words, kind: Format = "png"
) -> bytes:
    """Every place in a small picture of its own, all to one scale of time.

    Places of one state share a scale of temperature too. InputError if there is none.
    """
    with style():
        return as_bytes(fleet_figure(traces, frame, words), kind)


def fleet_figure(traces: Sequence[Trace], frame: Frame, words: Words) -> Figure:
    """What `draw_fleet` draws; call it within `style()`."""
    if not traces:
        raise InputError("no place has readings to draw; see `lidclock temp list`")
    columns = min(len(traces), 2 if len(traces) <= _FEW_PLACES else 3)
    rows = -(-len(traces) // columns)
    body_in = _ROW_IN * rows + 0.3
    # The food's line has no room here; that it stayed within the limit is a spike.
    bare = [replace(one, food=None) for one in traces]
    figure = new_page(_WIDE_IN, body_in, words, keys_of(bare, frame))
    grid = figure.subplots(rows, columns, squeeze=False)
    room_in = _WIDE_IN / columns - _MARGIN_IN
    for number, axes in enumerate(grid.flat):
        if number >= len(traces):
            axes.set_axis_off()
            continue
        trace = bare[number]
        paint(axes, trace, frame, _FEW_WORDS_SHARE)
        alike = [one for one in traces if one.state == trace.state]
        set_heights(axes, alike, frame, ticks=4)
        days_along(axes, frame.began, frame.ended, frame.zone)
        is_lowest = number + columns >= len(traces)
        _foot(axes, 5 - columns, is_lowest=is_lowest)
        axes.tick_params(labelsize=_SMALL_PT)
        name = shortened(trace.name, room_in, WORDS_PT + 1)
        axes.set_title(name, fontsize=WORDS_PT, pad=_SMALL_PT * 1.7)
        told = shortened(trace.told, room_in, _SMALL_PT)
        axes.text(0, 1.03, told, transform=axes.transAxes, fontsize=_SMALL_PT)
        if number % columns == 0:
            axes.set_ylabel(frame.unit, fontsize=_SMALL_PT)
    return figure


def _foot(axes: Axes, most: int, *, is_lowest: bool) -> None:
    """A few words along the foot of the lowest picture: small ones have no room."""
    ticks = list(axes.get_xticks())
    words = [one.get_text() for one in axes.get_xticklabels()]
    step = max(1, -(-len(ticks) // most))
    axes.set_xticks(ticks, [x if n % step == 0 else "" for n, x in enumerate(words)])
    axes.set_xlabel("")
    axes.tick_params(labelbottom=is_lowest)
