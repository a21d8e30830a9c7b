"""What a figure of a place shows, read off its lines, bands and words."""

from datetime import datetime
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from lidclock.reports import drawing, page
from lidclock.reports.place import Frame, Trace, Words, fleet_figure, place_figure

NEW_YORK = ZoneInfo("America/New_York")
BEGAN = datetime(2026, 10, 26, tzinfo=NEW_YORK).timestamp()
ENDED = datetime(2026, 11, 2, tzinfo=NEW_YORK).timestamp()
HOUR = 3600.0
WEEK = Frame(BEGAN, ENDED, NEW_YORK)
WEEK_US = Frame(BEGAN, ENDED, NEW_YORK, "us")
WORDS = Words(["Fridge 2 (fridge)", "a week"], ["what happened"])


def trace(name="Fridge 2", step_s=600.0, **facts):
    times = np.arange(BEGAN, ENDED, step_s)
    temps = 3.0 + np.sin(times / 7200)
    return Trace(name, times, temps, 5.0, state="fridge", **facts)


def silent(name="Cellar"):
    nothing, whole = np.array([]), ((BEGAN, ENDED),)
    return Trace(name, nothing, nothing, 5.0, state="fridge", gaps=whole, told="none")


def drawn(figure):
    """The figure once it is laid out, as for a file."""
    drawing.as_bytes(figure, "svg")
    return figure


def of(one, frame=WEEK, words=WORDS):
    with drawing.style():
        return drawn(place_figure(one, frame, words, lag="30 min"))


def fleet(traces, frame=WEEK, words=WORDS):
    with drawing.style():
        return drawn(fleet_figure(traces, frame, words))


def line(axes, gid):
    (found,) = [one for one in axes.lines if one.get_gid() == gid]
    return found


def key(figure):
    return [one.get_text() for one in figure.legends[0].get_texts()]


def texts(figure):
    own = [one for axes in figure.axes for one in [*axes.texts, axes._left_title]]
    ticks = [
        one
        for axes in figure.axes
        if axes.axison
        for one in [*axes.get_xticklabels(), *axes.get_yticklabels(), axes.yaxis.label]
    ]
    legend = [text for one in figure.legends for text in one.get_texts()]
    return [x for x in [*figure.texts, *own, *ticks, *legend] if x.get_text().strip()]


def cut_off(figure):
    """Words that reach beyond the paper."""
    with drawing.style():
        canvas = FigureCanvasAgg(figure)
        canvas.draw()
        renderer = canvas.get_renderer()
        paper = figure.bbox
        boxes = [(one.get_text(), one.get_window_extent(renderer))
                 for one in texts(figure) if one.get_visible()]  # fmt: skip
    return [
        text
        for text, box in boxes
        if box.x0 < paper.x0 - 1
        or box.x1 > paper.x1 + 1
        or box.y0 < paper.y0 - 1
        or box.y1 > paper.y1 + 1
    ]


def test_ten_thousand_readings_a_day_keep_every_peak():
    """One reading of 70,000 is a peak, another a trough: both are drawn."""
    times = np.linspace(BEGAN, ENDED, 70_000)
    temps = np.full(70_000, 3.0)
    temps[41_234], temps[12_345] = 9.5, -1.5
    axes = of(Trace("F", times, temps, 5.0)).axes[0]
    when, said = line(axes, "air").get_data()

    assert len(when) < 6_000
    assert said.max() == 9.5
    assert when[np.argmax(said)] == times[41_234]
    assert said.min() == -1.5
    low, high = axes.get_ylim()
    assert low < -1.5
    assert high > 9.5


def test_a_kitchen_in_fahrenheit_reads_fahrenheit():
    axes = of(trace(), WEEK_US).axes[0]

    assert axes.get_ylabel() == "°F"
    assert line(axes, "limit").get_ydata()[0] == pytest.approx(41.0)
    assert line(axes, "air").get_ydata().max() == pytest.approx(4 * 1.8 + 32, abs=0.1)


def test_a_gap_breaks_the_line_and_is_named():
    gap = (BEGAN + 48 * HOUR, BEGAN + 96 * HOUR)
    figure = of(trace(gaps=(gap,)))
    when, said = line(figure.axes[0], "air").get_data()

    assert list(when[np.isnan(said)]) == [gap[0]]
    assert [one.get_text() for one in figure.axes[0].texts] == ["no readings"]
    assert key(figure)[-1] == "no readings"


def test_what_is_beyond_is_hatched_and_a_spike_is_a_mark_instead():
    beyond, spike = (BEGAN + 9 * HOUR, BEGAN + 12 * HOUR), (BEGAN + 60, BEGAN + 600)
    figure = of(trace(excursions=(beyond,), spikes=(spike,)))
    axes = figure.axes[0]
    hatched = [one for one in axes.patches if one.get_hatch()]
    marks = [one for one in axes.lines if one.get_marker() == "v"]

    assert [(one.get_x(), one.get_width()) for one in hatched] == [
        (beyond[0], 3 * HOUR)
    ]
    assert [list(one.get_xdata()) for one in marks] == [[spike[0]]]
    assert "excursion: beyond the limit" in key(figure)
    assert "spike: the food stays within it" in key(figure)


def test_only_what_occurs_is_in_the_key():
    assert key(of(trace())) == ["air", "limit"]
    assert key(of(silent())) == ["limit", "no readings"]


def test_lines_differ_without_colour():
    food = (np.array([BEGAN, ENDED]), np.array([3.0, 3.5]))
    axes = of(trace(food=food)).axes[0]
    looks = {
        (one.get_linestyle(), one.get_linewidth(), one.get_color())
        for one in (line(axes, name) for name in ("air", "food", "limit"))
    }

    assert len(looks) == 3
    assert line(axes, "food").get_linewidth() > 2 * line(axes, "air").get_linewidth()
    assert line(axes, "limit").get_linestyle() == "--"


def test_containers_are_steps_on_an_axis_of_their_own():
    counts = (np.array([BEGAN, BEGAN + HOUR]), np.array([2.0, 5.0]))
    figure = of(trace(containers=counts))

    assert len(figure.axes) == 2
    assert list(figure.axes[1].lines[0].get_ydata()) == [2, 5, 5]
    assert figure.axes[1].get_ylabel() == "containers"


def test_the_hour_that_comes_twice_is_marked_and_hours_stay_round():
    """Clocks go back on Sun 1 Nov 2026 at 02:00 in New York."""
    began = datetime(2026, 10, 31, 18, tzinfo=NEW_YORK).timestamp()
    day = Frame(began, began + 24 * HOUR, NEW_YORK)
    times = np.arange(began, began + 24 * HOUR, 600.0)
    axes = of(Trace("F", times, np.full(len(times), 3.0), 5.0), day).axes[0]
    ticks = list(axes.get_xticks())
    words = [one.get_text() for one in axes.get_xticklabels()]

    assert words[:4] == ["18:00", "21:00", "00:00\nSun 1 Nov", "03:00"]
    assert [b - a for a, b in pairwise(ticks)][:3] == [3 * HOUR, 3 * HOUR, 4 * HOUR]
    (change,) = drawing.clock_changes(day.began, day.ended, NEW_YORK)
    assert change == began + 8 * HOUR
    assert drawing.say_change(change, NEW_YORK) == "Sun 1 Nov 02:00: clocks go back 1 h"


def test_the_hour_that_is_left_out_is_said():
    began = datetime(2026, 3, 1, tzinfo=NEW_YORK).timestamp()
    (change,) = drawing.clock_changes(began, began + 14 * 24 * HOUR, NEW_YORK)

    said = drawing.say_change(change, NEW_YORK)
    assert said == "Sun 8 Mar 02:00: clocks go forward 1 h"


def test_a_place_that_was_silent_all_week_is_grey_and_says_so():
    figure = fleet([trace(), silent()])
    grey = figure.axes[1]

    assert [one.get_text() for one in grey.texts] == ["no readings", "none"]
    (band,) = [one for one in grey.patches if one.get_width() == ENDED - BEGAN]
    assert band.get_hatch() is None


LONG = "The walk-in refrigerator behind the bakery on the left, second door " * 2


@pytest.mark.parametrize("name", ["Fridge 2", LONG, "W" * 300])
@pytest.mark.parametrize("frame", [WEEK, WEEK_US])
def test_no_word_is_cut_off(name, frame):
    words = Words([name, name], [name, "what happened"])

    assert cut_off(of(trace(name), frame, words)) == []
    assert cut_off(fleet([trace(name)], frame, words)) == []


def test_twenty_places_are_all_told_and_none_is_cut_off():
    places = [trace(f"Fridge {n} {LONG}", told=LONG) for n in range(19)]
    figure = fleet([*places, silent()])
    shown = [axes for axes in figure.axes if axes.axison]

    assert len(shown) == 20
    assert cut_off(figure) == []
    assert all(axes.get_title("left").endswith("…") for axes in shown[:19])


def test_places_of_one_state_share_a_scale():
    warm = Trace("W", np.array([BEGAN, ENDED]), np.array([3.0, 20.0]), state="fridge")
    cold = Trace("C", np.array([BEGAN, ENDED]), np.array([-20.0, -18.0]), state="frz")
    heights = [axes.get_ylim() for axes in fleet([trace(), warm, cold]).axes[:3]]

    assert heights[0] == heights[1] != heights[2]


def test_every_word_is_kept_when_lines_are_wrapped():
    with drawing.style():
        lines = page.wrapped(LONG, 2.0)
        divided = page.wrapped("W" * 300, 2.0, is_title=True)

    assert " ".join(lines) == " ".join(LONG.split())
    assert "".join(divided) == "W" * 300
    assert all(page.width_in(one, page.WORDS_PT) <= 2.0 for one in lines)


def test_a_letter_that_the_font_has_not_is_no_empty_box():
    assert page.drawable("Fridge 茶") == "Fridge ?"
    assert not page.has("\n")
    assert page.drawable("Ψυγείο 2") == "Ψυγείο 2"
