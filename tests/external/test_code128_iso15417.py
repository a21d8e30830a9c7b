"""ISO/IEC 15417:2007, Figure 1 and Annex A.1; GS1 General Specifications' figures.

Symbol values, check characters and bar/space widths are in data/code128_iso15417.json,
from the published-figure transcriptions in github.com/zint/zint
(backend/tests/test_code128.c). Three further check characters come from tutorials
whose addresses stand beside them. Whole numbers throughout: no tolerance.
"""

from __future__ import annotations

import json
from itertools import groupby
from pathlib import Path

import pytest

from lidclock.labels import codes
from lidclock.labels.grid import grid

DATA = json.loads(
    (Path(__file__).parent / "data" / "code128_iso15417.json").read_text("utf-8")
)
PLAIN = [row for row in DATA["figures"] if row["kind"] == "plain"]
DRAWN = [row for row in DATA["figures"] if row["widths"]]


def widths(modules: str) -> str:
    return "".join(str(len(list(run))) for _, run in groupby(modules))


@pytest.mark.parametrize("row", PLAIN, ids=lambda row: row["text"])
def test_published_texts_get_the_published_symbol_values(row):
    """Start, data, code-set switch, check and stop character, one by one."""
    assert codes.code128_values(row["text"]) == row["values"]


@pytest.mark.parametrize("row", DATA["figures"], ids=lambda row: row["id"])
def test_published_figures_have_our_check_character(row):
    assert codes.check_value(row["values"][:-2]) == row["values"][-2]


@pytest.mark.parametrize("row", DATA["checks"], ids=lambda row: row["id"])
def test_worked_examples_have_our_check_character(row):
    assert codes.check_value(row["values_before_check"]) == row["check"]


@pytest.mark.parametrize("row", DRAWN, ids=lambda row: row["id"])
def test_published_figures_have_our_bars_and_spaces(row):
    assert widths(codes.modules(row["values"])) == row["widths"]


@pytest.mark.parametrize("row", DRAWN, ids=lambda row: row["id"])
def test_published_figures_have_our_width(row):
    """11 modules a character and 13 for the stop: 11 * (n + 2) + 13."""
    assert len(codes.modules(row["values"])) == row["modules"]


@pytest.mark.parametrize("text", ["4F7K2M0", "B1C2D3B", "WXVT5R4"])
def test_seven_characters_of_set_b_make_112_modules(text):
    """11 * (7 + 2) + 13 = 112; with 20 quiet modules of 0.25 mm, 33.0 mm."""
    assert len(codes.code128(text)) == 112


@pytest.mark.parametrize(
    ("dpi", "width_mm", "dots"),
    [(203, 0.25, 2), (203, 0.375, 3), (203, 0.5, 4), (300, 0.254, 3), (600, 0.254, 6)],
)
def test_module_widths_are_whole_dots(dpi, width_mm, dots):
    """203 dpi heads have 8 dots to the millimetre (0.125 mm); 600 dpi: 0.0423 mm."""
    assert grid(dpi).module_dots(width_mm) == dots
    assert dots * grid(dpi).mm == pytest.approx(width_mm, abs=1e-4)
