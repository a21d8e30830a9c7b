"""How small the type of a label for sale may be: published heights, measured on paper.

data/label_type.json gives each height with its source. Sizes are not taken from the
program: PDFium reads the finished PDF and tells the outline of every letter drawn
(FPDFText_GetCharBox), in points; 25.4 mm are 72 points. The tolerance is PDFium's
rounding of an outline's two ends to a thousandth of the type size; small letters are
more than half of that size, so 4 thousandths of their height.
"""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest

from lidclock.labels import draw_figures, load_stock, retail_arrange
from lidclock.labels.retail_arrange import arrange_retail
from lidclock.labels.retail_content import DATE, NAME, NET, Part, RetailLabel
from lidclock.labels.retail_data import jurisdiction
from lidclock.labels.retail_layout import load_retail_layout
from lidclock.labels.retail_text import Run

_FILE = Path(__file__).parent / "data" / "label_type.json"
CASES = {one["id"]: one for one in json.loads(_FILE.read_text("utf-8"))}
ROUNDING = 0.004
CM2_PER_SQ_IN = 2.54**2
CODE = "4F7K2M0"


def rows(case, given, told):
    return list(
        zip(CASES[case]["input"][given], CASES[case]["expected"][told], strict=1)
    )


def heights_mm(pdf):
    """Each letter drawn with the height of its outline, by another library."""
    document = pypdfium2.PdfDocument(pdf)
    text = document[0].get_textpage()
    found = []
    for place in range(text.count_chars()):
        _, bottom, _, top = text.get_charbox(place)
        letter = text.get_text_range(place, 1)
        found.append((letter, (top - bottom) * 25.4 / 72))
    return found


def drawn(under, grams, face_cm2=None, *, words=90, stock="letter-2x5", net="8"):
    """A crowded label as PDF: x and o wherever it matters, none in the code."""
    least = under.least(face_cm2)
    text = " ".join(["xo", "xooxo", "ox"][n % 3] for n in range(words))
    label = RetailLabel(
        code=CODE,
        uri=f"HTTP://LIDCLOCK.LOCAL/C/{CODE}",
        parts=(
            Part("name", (Run("Loaf xo", bold=True),), least, NAME),
            Part("date", (Run("xo", bold=True),), least, DATE),
            Part("ingredients", (Run(text), Run(" XO xo", bold=True)), least),
            Part("net", (Run(net, bold=True),), under.least_net(grams, face_cm2), NET),
        ),
    )
    kind = load_stock(stock)
    return heights_mm(draw_figures([arrange_retail(label, kind)], kind))


def of(letter, found):
    return [height for one, height in found if one == letter]


# So crowded that the label would not fit at a larger size.
CROWDED = {100: 340, 80: 340, 79: 560}


@pytest.mark.parametrize(
    ("face_cm2", "mm"),
    rows("eu-x", "largest_face_cm2", "x_height_mm")
    + rows("eu-x-edge", "largest_face_cm2", "x_height_mm"),
)
@pytest.mark.parametrize("name", ["eu", "gb"])
def test_a_crowded_european_label_goes_down_to_the_floor_and_no_further(
    name, face_cm2, mm
):
    found = of("x", drawn(jurisdiction(name), 50, face_cm2, words=CROWDED[face_cm2]))

    assert len(found) > 200
    assert is_just(min(found), mm)


@pytest.fixture
def smallest(monkeypatch):
    """Labels set in the smallest type there may be, however much room there is."""
    tiny = replace(load_retail_layout(), body_pt=1.0, net_share=0.1)
    monkeypatch.setattr(retail_arrange, "load_retail_layout", lambda: tiny)


def is_just(found, mm):
    """As tall as it must be, and no taller."""
    return abs(found - mm) <= ROUNDING * mm


def test_without_the_area_of_the_face_the_larger_size_counts():
    assert jurisdiction("eu").least(None) == jurisdiction("eu").least(100)


@pytest.mark.usefixtures("smallest")
@pytest.mark.parametrize(
    ("face_cm2", "mm"), rows("eu-x", "largest_face_cm2", "x_height_mm")
)
@pytest.mark.parametrize("name", ["eu", "gb"])
def test_the_least_x_of_a_european_label_is_the_published_one(name, face_cm2, mm):
    found = of("x", drawn(jurisdiction(name), 50, face_cm2))

    assert is_just(min(found), mm)


@pytest.mark.usefixtures("smallest")
@pytest.mark.parametrize(("grams", "mm"), rows("eu-net", "grams", "figure_mm"))
@pytest.mark.parametrize("name", ["eu", "gb"])
def test_figures_of_a_european_net_quantity_are_tall_enough(name, grams, mm):
    (height,) = of("1", drawn(jurisdiction(name), grams, net="1"))

    assert is_just(height, mm)


# Round letters go beyond both lines: an o is 1176 units tall, 1147 of them above the
# line it stands on. Only those are counted, so that it is never too small.
ROUND = 1176 / 1147


@pytest.mark.usefixtures("smallest")
def test_letters_of_an_american_label_are_a_sixteenth_of_an_inch():
    assert CASES["us-letters"]["expected"]["o_height_inch"] == "1/16"
    found = of("o", drawn(jurisdiction("us"), 50, 20))

    assert is_just(min(found) / ROUND, 25.4 / 16)


@pytest.mark.usefixtures("smallest")
def test_letters_of_a_canadian_label_are_tall_enough():
    found = of("o", drawn(jurisdiction("ca"), 50, 20))

    mm = CASES["ca-letters"]["expected"]["o_height_mm"]
    assert is_just(min(found) / ROUND, mm)


@pytest.mark.usefixtures("smallest")
@pytest.mark.parametrize(("area", "mm"), rows("ca-net", "panel_cm2", "figure_mm"))
def test_figures_of_a_canadian_net_quantity_are_tall_enough(area, mm):
    (height,) = of("1", drawn(jurisdiction("ca"), 350, area, words=20, net="1"))

    assert is_just(height, mm)


@pytest.mark.usefixtures("smallest")
@pytest.mark.parametrize(
    ("area", "sixteenths"), rows("us-net", "panel_sq_in", "letter_sixteenths")
)
def test_letters_of_an_american_net_quantity_are_tall_enough(area, sixteenths):
    """From memory, unverified, and marked so in the data."""
    under = jurisdiction("us")
    assert not under.net.cited.verified

    found = of("o", drawn(under, 350, area * CM2_PER_SQ_IN, words=20, net="o"))

    # The net quantity stands last on the page.
    assert is_just(found[-1] / ROUND, sixteenths * 25.4 / 16)


@pytest.mark.usefixtures("smallest")
def test_figures_of_an_australian_net_quantity_are_tall_enough():
    (height,) = of("1", drawn(jurisdiction("au"), 350, net="1"))

    assert is_just(height, CASES["au-net"]["expected"]["figure_mm"])


@pytest.mark.parametrize("state", ["california", "florida", "texas"])
def test_a_statement_of_a_state_is_word_for_word_and_as_large_as_it_asks(state):
    expected = CASES[state]["expected"]
    statement = jurisdiction("us").statements[f"{state}-cottage"]

    assert statement.text.rstrip(".") == expected["text"].rstrip(".")
    assert (statement.least.pt if statement.least else None) == expected.get("pt")


@pytest.mark.parametrize("case", CASES)
def test_the_data_marks_as_unverified_what_the_source_list_does(case):
    where = {"eu": "eu", "us": "us", "ca": "ca", "au": "au"}.get(case.split("-")[0])
    if where is None:
        cited = jurisdiction("us").statements[f"{case}-cottage"].cited
    else:
        under = jurisdiction(where)
        cited = under.net.cited if case.endswith("net") else under.type_cited

    assert cited.verified == CASES[case]["verified"]
