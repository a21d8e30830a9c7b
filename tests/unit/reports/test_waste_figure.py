"""The figure of waste: bars as tall as what was wasted, nothing where nothing was."""

import io
from datetime import date, timedelta

import numpy as np
import pytest
from PIL import Image

from lidclock.plan.causes import CAUSES, COLD, PAST_DAY
from lidclock.reports.waste import WasteFigure, WasteWeek, draw_waste_weeks

MONDAY = date(2026, 9, 7)


def week(number, share=None, **causes):
    day = MONDAY + timedelta(days=7 * number)
    named = {"past": PAST_DAY, "cold": COLD}
    return WasteWeek(day, {named[key]: value for key, value in causes.items()}, share)


def figure(weeks, causes=(PAST_DAY, COLD), **facts):
    known = {"title": "Corner kitchen: wasted", "unit": "grams"} | facts
    return WasteFigure(weeks=weeks, causes=causes, **known)


def ink(png):
    return (np.asarray(Image.open(io.BytesIO(png)).convert("L")) < 128).sum()


def test_the_same_figure_gives_the_same_bytes():
    drawn = figure([week(0, 0.1, past=300.0), week(1, 0.0)])

    assert draw_waste_weeks(drawn) == draw_waste_weeks(drawn)


def test_nothing_hangs_on_colour():
    every = dict.fromkeys(CAUSES, 100.0)
    weeks = [WasteWeek(MONDAY, every, 0.3), WasteWeek(MONDAY, every, 0.2)]

    png = draw_waste_weeks(figure(weeks, CAUSES))

    red, green, blue = Image.open(io.BytesIO(png)).convert("RGB").split()
    assert red.tobytes() == green.tobytes() == blue.tobytes()


def test_more_waste_is_more_ink():
    little, much = (
        draw_waste_weeks(figure([week(0, 0.1, past=500.0), week(1, 0.1, past=grams)]))
        for grams in (50.0, 500.0)
    )

    assert ink(much) > ink(little) + 5_000


@pytest.mark.parametrize(
    "weeks",
    [[week(0)], [week(n) for n in range(4)], [week(n, 0.0) for n in range(3)]],
)
def test_a_time_without_waste_says_so(weeks):
    """Letters are paths in an SVG; their words stand beside them in a comment."""
    empty = draw_waste_weeks(figure(weeks, ()), "svg")

    assert empty.count(b"nothing was wasted") == 1


@pytest.mark.parametrize("kind", ["png", "svg", "pdf"])
@pytest.mark.parametrize("count", [1, 4, 53])
def test_one_week_and_a_year_are_drawn(kind, count):
    weeks = [week(n, 0.05, past=10.0 * n, cold=3.0) for n in range(count)]

    assert len(draw_waste_weeks(figure(weeks, notes=["a note"]), kind)) > 5_000


def test_a_cause_looks_the_same_whatever_stands_beside_it():
    """Cold failure alone, and with a cause of no grams before it."""
    alone = draw_waste_weeks(figure([week(0, 0.1, cold=300.0)], (COLD,)), "svg")
    both = draw_waste_weeks(figure([week(0, 0.1, cold=300.0)]), "svg")

    hatches = [one.split(b"</pattern>")[0] for one in alone.split(b"<pattern")[1:]]
    assert hatches
    assert all(hatch in both for hatch in hatches)


def test_names_that_the_font_has_not_and_control_characters_are_drawn():
    title = "kitchen \U0001f95f \u202e $x^2$ \x1b[31m"

    assert draw_waste_weeks(figure([week(0, 0.1, past=300.0)], title=title))
