"""Figures say what was measured, and nothing where nobody measured."""

import io
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from lidclock.errors import InputError
from lidclock.reports import drawing
from lidclock.reports.cooling import Cooling, Stage, draw_cooling
from lidclock.reports.growth import Growth, draw_growth
from lidclock.reports.heating import HeatingFigure, Worth, draw_heating
from lidclock.reports.place import Frame, Trace, Words, draw_fleet, draw_place

NEW_YORK = ZoneInfo("America/New_York")
BEGAN = datetime(2026, 10, 26, tzinfo=NEW_YORK).timestamp()
ENDED = datetime(2026, 11, 2, tzinfo=NEW_YORK).timestamp()
HOUR = 3600.0
WEEK = Frame(BEGAN, ENDED, NEW_YORK)
HEAD = Words(["Fridge 2", "Mon 26 Oct to Sun 1 Nov 2026"])


def week(name="Fridge 2", **facts):
    times = np.arange(BEGAN, ENDED, 600.0)
    temps = 3.0 + np.sin(times / 7200)
    return Trace(name, times, temps, 5.0, **facts)


def stew(**facts):
    hours = np.array([0.0, 0.5, 1.0, 1.5])
    stages = (Stage(21.0, BEGAN + 2 * HOUR), Stage(5.0, BEGAN + 6 * HOUR))
    temps = 3 + 54.2 * np.exp(-0.6 * hours)
    return Cooling("bean stew", BEGAN + hours * HOUR, temps, stages, **facts)


def grown(**facts):
    times = np.linspace(BEGAN, BEGAN + 96 * HOUR, 50)
    mid = np.linspace(0, 1, 50)
    stays = [("Counter", BEGAN, BEGAN + HOUR), ("Fridge", BEGAN + HOUR, ENDED)]
    runs = [(times[:30], np.full(30, 4.0), False), (times[29:], np.full(21, 4.4), True)]
    known = {"stays": stays, "last_moment": BEGAN + 80 * HOUR, "limit_c": 5.0}
    return Growth(
        *("stew", "Listeria", runs, times, mid / 2, mid, mid * 2), **known | facts
    )


def heated(**facts):
    minutes = np.linspace(0, 30, 61)
    temps = 5 + 2.5 * minutes
    worth = Worth("Salmonella", "log reductions", minutes, minutes / 5, 25.0, 5.0)
    levels = [(70.0, "70 °C, 2 min: met"), (70.0, "70 °C: met"), (75.0, "not met")]
    known = {"gaps": [(10.0, 12.0)], "levels": levels, "worth": [worth]}
    return HeatingFigure("stew", minutes, temps, **known | facts)


def picture(png):
    return np.asarray(Image.open(io.BytesIO(png)).convert("RGB")).astype(int)


DRAWN = {
    "place": lambda kind: draw_place(
        week(excursions=((BEGAN + HOUR, BEGAN + 9 * HOUR),)),
        *(WEEK, HEAD, kind),
    ),
    "fleet": lambda kind: draw_fleet([week(), week("Fridge 3")], WEEK, HEAD, kind),
    "cooling": lambda kind: draw_cooling(stew(), NEW_YORK, kind),
    "growth": lambda kind: draw_growth(grown(), NEW_YORK, kind),
    "heating": lambda kind: draw_heating(heated(), kind),
}


@pytest.mark.parametrize("name", DRAWN)
def test_meaning_never_hangs_on_colour(name):
    pixels = picture(DRAWN[name]("png"))

    assert (pixels.max(axis=2) - pixels.min(axis=2)).max() == 0
    assert (pixels.min(axis=2) < 60).sum() > 1000


@pytest.mark.parametrize("kind", drawing.FORMATS)
@pytest.mark.parametrize("name", DRAWN)
def test_the_same_figure_gives_the_same_bytes(name, kind):
    assert DRAWN[name](kind) == DRAWN[name](kind)


def test_what_people_type_is_text_and_no_markup():
    nasty = "<script>alert(1)</script> $\\frac{1}{0}$ & \"'"

    svg = draw_place(week(nasty), WEEK, Words([nasty]), "svg").decode()

    assert "<script" not in svg
    assert svg.rstrip().endswith("</svg>")


def test_a_gap_is_grey_and_has_no_line():
    gap = (BEGAN + 48 * HOUR, BEGAN + 96 * HOUR)
    trace = week(gaps=(gap,))
    whole = (trace.times < gap[0]) | (trace.times > gap[1])
    holed = Trace("F", trace.times[whole], trace.temps_c[whole], 5.0, gaps=(gap,))

    times, temps = drawing.broken(holed.times, holed.temps_c, holed.gaps)

    assert np.isnan(temps[times == gap[0]]).all()
    assert np.isnan(temps).sum() == 1
    grey = (picture(draw_place(holed, WEEK, HEAD)) == 224).all(axis=2)
    assert grey.sum() > 10_000


@given(
    st.lists(st.floats(-40, 90), min_size=1, max_size=60).map(np.array),
    st.integers(1, 300),
)
def test_thinning_keeps_the_coldest_and_the_warmest(temps, times_over):
    long = np.tile(temps, times_over)
    times, kept = drawing.thinned(np.arange(len(long), dtype=float), long)

    assert (kept.min(), kept.max()) == (long.min(), long.max())
    assert (np.diff(times) > 0).all()
    assert len(kept) <= max(4002, 0)


def test_a_day_of_25_hours_is_one_day_along_the_foot():
    """Clocks go back on Sun 1 Nov 2026 in New York."""
    midnights = drawing.midnights_in(BEGAN, ENDED, NEW_YORK)

    assert len(midnights) == 8
    assert midnights[7] - midnights[6] == 25 * HOUR
    assert drawing.say_days(BEGAN, ENDED, NEW_YORK) == "Mon 26 Oct to Sun 1 Nov 2026"


def test_a_short_time_is_told_in_local_hours():
    at = datetime(2026, 10, 31, 17, 10, tzinfo=NEW_YORK)
    with drawing.style():
        axes = drawing.new_figure(4, 3).add_subplot()
        end = (at + timedelta(hours=6)).astimezone(UTC).timestamp()
        drawing.days_along(axes, at.timestamp(), end, NEW_YORK)

    words = [one.get_text() for one in axes.get_xticklabels()]
    assert words == ["18:00", "19:00", "20:00", "21:00", "22:00", "23:00"]


def test_a_place_without_readings_is_drawn_empty_and_says_so():
    nothing = np.array([])
    empty = Trace("Cellar", nothing, nothing, 5.0)

    pixels = picture(draw_fleet([empty], WEEK, HEAD))

    assert (pixels < 250).any()


def test_a_time_that_ends_before_it_begins_is_refused():
    with pytest.raises(InputError, match="must end after it begins"):
        Frame(ENDED, BEGAN, NEW_YORK)
    with pytest.raises(InputError, match="no place has readings to draw"):
        draw_fleet([], WEEK, HEAD)


@pytest.mark.parametrize("is_met", [True, False, None])
def test_a_stage_tells_how_it_ended(is_met):
    stages = (Stage(21.0, BEGAN + 2 * HOUR, is_met), Stage(5.0, BEGAN + 6 * HOUR))
    cooling = Cooling("bean stew", stew().times, stew().temps_c, stages)

    pngs = draw_cooling(cooling, NEW_YORK), draw_cooling(stew(), NEW_YORK)

    assert (pngs[0] == pngs[1]) is (is_met is None)


@pytest.mark.parametrize(
    ("units", "wanted"), [("us", "70 °F by"), ("metric", "21 °C by")]
)
def test_a_cooling_is_drawn_in_the_degrees_of_the_kitchen(units, wanted):
    """21 °C is 69.8 °F, which rounds to the 70 °F of the Food Code."""
    cooling = Cooling("stew", stew().times, stew().temps_c, stew().stages)
    pdf = pypdfium2.PdfDocument(draw_cooling(cooling, NEW_YORK, "pdf", units))

    words = pdf[0].get_textpage().get_text_range()

    assert wanted in words
    assert ("°F" in words) is (units == "us")


def test_a_cooling_under_a_set_without_stages_is_drawn_all_the_same():
    bare = Cooling("stew", stew().times, stew().temps_c, ())

    assert (picture(draw_cooling(bare, NEW_YORK)).min(axis=2) < 60).sum() > 1000
