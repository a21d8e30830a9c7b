"""Stock: nine numbers that must make a possible sheet."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from lidclock.errors import LabelError, UnknownStockError
from lidclock.labels import data, list_stock, load_stock


@pytest.fixture
def sheet():
    return load_stock("letter-3x10")


def test_the_three_stocks_are_listed():
    assert list_stock() == ("a4-3x8", "letter-3x10", "roll-50x25")


@pytest.mark.parametrize("name", list_stock())
def test_a_stock_file_bears_the_name_it_states(name):
    assert data.read("stock", name)["name"] == name


@pytest.mark.parametrize("name", ["letter", "../stock/a4-3x8", "", "/etc/passwd"])
def test_an_unknown_stock_is_refused_and_the_known_ones_named(name):
    with pytest.raises(UnknownStockError, match="a4-3x8, letter-3x10, roll-50x25"):
        load_stock(name)


def test_cells_run_row_by_row_from_the_first(sheet):
    """Row 2, column 1 is cell 4: 4.7625 mm and 12.7 + 25.4 = 38.1 mm."""
    assert sheet.cells()[3] == pytest.approx((4.7625, 38.1))


def test_cells_start_where_a_part_used_sheet_does(sheet):
    assert sheet.cells(29) == sheet.cells()[28:]


@pytest.mark.parametrize("start", [0, -1, 31])
def test_a_cell_the_sheet_does_not_have_is_refused(sheet, start):
    with pytest.raises(LabelError, match="cells 1 to 30"):
        sheet.cells(start)


@pytest.mark.parametrize(
    ("changes", "fault"),
    [
        ({"pitch_x_mm": 60.0}, "columns overlap: 66.675 mm labels every 60.0 mm"),
        ({"pitch_y_mm": 25.0}, "rows overlap"),
        ({"down": 11}, "rows end at 292.10 mm on a page of 279.4 mm"),
        ({"left_mm": 12.0}, "columns end at 218.38 mm on a page of 215.9 mm"),
        ({"left_mm": -1.0}, "outside the page"),
        ({"label_width_mm": 0.0}, "above zero"),
        ({"across": 0}, "no sheet"),
        ({"down": 10**9}, "no sheet"),
        ({"kind": "reel"}, '"sheet" or "roll"'),
        ({"top_mm": float("nan")}, "finite"),
    ],
)
def test_impossible_sheets_are_refused_with_the_fault(sheet, changes, fault):
    with pytest.raises(LabelError, match=re.escape(fault)):
        replace(sheet, **changes)
