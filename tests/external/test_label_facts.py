"""Sizes, dots, sheets, names of media and legal facts that a label keeps to.

data/label_facts.json holds each case with its source: whole printer dots (arithmetic),
ISO/IEC 15417's width of a symbol, grids of label sheets (open label-template data), PWG
5101.1 names as libcups 2.4.2 reads them, Regulation (EU) 1169/2011 and Directive
2011/91/EU, an ASC MH10 data identifier.
"""

import json
import random
import re
from datetime import date, timedelta
from pathlib import Path

import pytest

from lidclock.domain.codes import new_code
from lidclock.domain.moments import say_day
from lidclock.gateways.media import Size, size_of, standard_name
from lidclock.labels import codes, fonts, list_stock, load_stock
from lidclock.labels.grid import grid
from lidclock.labels.symbols import bars
from lidclock.scan.payload import Unread
from lidclock.scan.reading import read_line

CASES = json.loads(
    (Path(__file__).parent / "data" / "label_facts.json").read_text("utf-8")
)
BY_ID = {case["id"]: case for case in CASES}
PAPERS = {"A4": (210.0, 297.0), "US-Letter": (215.9, 279.4)}
# Published with another rounding, or centred on the page: 8 rows of 37 mm leave 1 mm.
ROUNDED_MM, CENTRED = 0.05, {"grid-A4-3x8-70x37": {"top_mm": 0.5}}
NOT_STOCKED = {"grid-US-Letter-2x4-88.9x50.8"}
LENGTHS = {
    "w_mm": "label_width_mm",
    "h_mm": "label_height_mm",
    "left_mm": "left_mm",
    "top_mm": "top_mm",
    "pitch_x_mm": "pitch_x_mm",
    "pitch_y_mm": "pitch_y_mm",
}


def of(topic):
    """Cases of one topic as test parameters."""
    return [
        pytest.param(case, id=case["id"]) for case in CASES if case["topic"] == topic
    ]


@pytest.mark.parametrize("case", of("whole-dot"))
def test_a_dot_and_its_multiples_are_as_wide_as_published(case):
    dots, expected = grid(round(case["input"])), case["expected"]

    assert dots.mm == pytest.approx(expected["dot_mm"], abs=1e-6)
    for count, width_mm in expected["X_mm_for_dots"].items():
        assert int(count) * dots.mm == pytest.approx(width_mm, abs=1e-4)
        assert dots.module_dots(width_mm) == int(count)


def test_bars_are_as_wide_as_the_standard_says():
    """11 modules a character, 13 for the stop, 10 quiet ones at each side."""
    assert "11*n + 13" in BY_ID["c128-width"]["expected"]
    assert "add 10 modules each side" in BY_ID["c128-width"]["expected"]
    dice = random.Random(15417)
    for _ in range(500):
        code, dots = new_code(dice.randrange), grid(203)
        characters = len(codes.code128_values(code)) - 1
        _, box = bars(code, dots, 0.25, 5.0)

        assert len(codes.code128(code)) == 11 * characters + 13
        assert box.width == pytest.approx((11 * characters + 33) * 0.25)


def stocked(case):
    """The stock of that paper, grid and size of label, if there is one."""
    wanted = case["input"]
    for name in list_stock():
        stock = load_stock(name)
        sizes = (stock.label_width_mm, stock.label_height_mm)
        if (
            (stock.page_width_mm, stock.page_height_mm) == PAPERS[wanted["page"]]
            and (stock.across, stock.down) == (wanted["across"], wanted["down"])
            and sizes == pytest.approx((wanted["w_mm"], wanted["h_mm"]), abs=ROUNDED_MM)
        ):
            return stock
    return None


@pytest.mark.parametrize("case", of("label-grid"))
def test_a_published_sheet_has_our_nine_numbers(case):
    stock = stocked(case)
    if stock is None:
        assert case["id"] in NOT_STOCKED
        return
    wanted = case["input"] | CENTRED.get(case["id"], {})
    for key, ours in LENGTHS.items():
        assert getattr(stock, ours) == pytest.approx(wanted[key], abs=ROUNDED_MM), key
    last_x, last_y = stock.cells()[-1]
    shift = wanted["top_mm"] - case["input"]["top_mm"]
    assert last_x + stock.label_width_mm == pytest.approx(
        case["expected"]["right_edge_mm"], abs=3 * ROUNDED_MM
    )
    assert last_y + stock.label_height_mm == pytest.approx(
        case["expected"]["bottom_edge_mm"] + shift, abs=3 * ROUNDED_MM
    )


@pytest.mark.parametrize("case", of("pwg-media-name"))
def test_a_name_of_media_gives_its_size_and_back(case):
    size = Size(
        case["expected"]["x_hundredths_mm"], case["expected"]["y_hundredths_mm"]
    )

    assert size_of(case["input"]) == size
    assert standard_name(size) == case["input"]


def test_letters_are_as_tall_as_the_regulation_asks():
    """Regulation (EU) 1169/2011, Article 13(2) and (3): 100 cm2 and 79 cm2."""
    areas = re.findall(r"([0-9]+)(?: cm2)? ?/? ?", BY_ID["eu-x"]["input"])
    heights = re.findall(r">= ([0-9.]+) mm", BY_ID["eu-x"]["expected"])

    assert areas == ["100", "79"]
    for area, height in zip(areas, heights, strict=True):
        assert fonts.least_x_height_mm(float(area)) == float(height)


@pytest.mark.parametrize("day", [date(2028, 1, 1) + timedelta(n) for n in range(366)])
def test_a_date_shows_day_month_in_letters_and_year(day):
    """More than Annex X(1) of Regulation (EU) 1169/2011 asks of food that keeps for up
    to three months, and enough for Directive 2011/91/EU to ask for no lot mark."""
    assert BY_ID["eu-dates"]["expected"][0] == "best before day+month"
    assert BY_ID["eu-lot"]["input"] == "label shows use-by with day and month"

    said = re.fullmatch(
        r"[A-Z][a-z]{2} ([0-9]{1,2}) ([A-Z][a-z]{2}) ([0-9]{4})", say_day(day)
    )
    assert said is not None
    months = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()
    assert (int(said[1]), months.index(said[2]) + 1, int(said[3])) == (
        *(day.day, day.month, day.year),
    )


def test_nothing_is_taken_from_a_data_identifier():
    """What is not read must not be mistaken: it is no code, no pack and no action."""
    text = BY_ID["mh10-14D"]["input"]

    assert read_line(text, 2026) == Unread(text)
