"""How small the type of a label for sale may be: published heights, measured on paper.

data/label_type.json gives each height with its source. Sizes are not taken from the
program: PDFium reads the finished PDF and tells the outline of every letter drawn
(FPDFText_GetCharBox), in points; 25.4 mm are 72 points. The tolerance is PDFium's
rounding of outlines to a thousandth of the type size: 0.02 mm at 20 points.
"""

from __future__ import annotations

import json
from pathlib import Path

import pypdfium2
import pytest

from lidclock.labels import draw_figures, load_stock
from lidclock.labels.retail_arrange import arrange_retail
from lidclock.labels.retail_content import DATE, NAME, NET, Part, RetailLabel
from lidclock.labels.retail_data import jurisdiction
from lidclock.labels.retail_text import Run

_FILE = Path(__file__).parent / "data" / "label_type.json"
CASES = {one["id"]: one for one in json.loads(_FILE.read_text("utf-8"))}
ROUNDING_MM = 0.02
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
    """A crowded label as PDF: x, o and 8 wherever it matters, none in the code."""
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
    assert mm - ROUNDING_MM <= min(found) <= mm + ROUNDING_MM


def test_without_the_area_of_the_face_the_larger_size_counts():
    assert jurisdiction("eu").least(None) == jurisdiction("eu").least(100)


@pytest.mark.parametrize(("grams", "mm"), rows("eu-net", "grams", "figure_mm"))
@pytest.mark.parametrize("name", ["eu", "gb"])
def test_figures_of_a_european_net_quantity_are_tall_enough(name, grams, mm):
    found = of("8", drawn(jurisdiction(name), grams))

    assert len(found) == 1
    assert found[0] >= mm - ROUNDING_MM


def test_letters_of_an_american_label_are_a_sixteenth_of_an_inch():
    assert CASES["us-letters"]["expected"]["o_height_inch"] == "1/16"
    found = of("o", drawn(jurisdiction("us"), 50, 20))

    assert min(found) >= 25.4 / 16 - ROUNDING_MM


def test_letters_of_a_canadian_label_are_tall_enough():
    found = of("o", drawn(jurisdiction("ca"), 50, 20))

    assert min(found) >= CASES["ca-letters"]["expected"]["o_height_mm"] - ROUNDING_MM


@pytest.mark.parametrize(("area", "mm"), rows("ca-net", "panel_cm2", "figure_mm"))
def test_figures_of_a_canadian_net_quantity_are_tall_enough(area, mm):
    found = of("8", drawn(jurisdiction("ca"), 350, area, words=20))

    assert min(found) >= mm - ROUNDING_MM


@pytest.mark.parametrize(
    ("area", "sixteenths"), rows("us-net", "panel_sq_in", "letter_sixteenths")
)
def test_letters_of_an_american_net_quantity_are_tall_enough(area, sixteenths):
    """From memory, unverified, and marked so in the data."""
    under = jurisdiction("us")
    assert not under.net.cited.verified

    found = of("o", drawn(under, 350, area * CM2_PER_SQ_IN, words=20, net="8 o"))
    tallest = max(found)

    assert tallest >= sixteenths * 25.4 / 16 - ROUNDING_MM


def test_figures_of_an_australian_net_quantity_are_tall_enough():
    found = of("8", drawn(jurisdiction("au"), 350))

    assert min(found) >= CASES["au-net"]["expected"]["figure_mm"] - ROUNDING_MM


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
