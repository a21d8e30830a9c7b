"""Stock: nine numbers that must make a possible sheet."""

from __future__ import annotations

import re
from dataclasses import replace
from math import hypot

import pytest

from lidclock.errors import LabelError, UnknownStockError
from lidclock.labels import data, list_stock, load_stock
from lidclock.labels.layout import load_layout


@pytest.fixture
def sheet():
    return load_stock("letter-3x10")


def test_sheets_of_both_papers_round_labels_and_rolls_are_there():
    kinds = {(load_stock(name).kind, load_stock(name).shape) for name in list_stock()}

    assert kinds == {("sheet", "rectangle"), ("sheet", "round"), ("roll", "rectangle")}
    assert {"letter-3x10", "a4-3x8", "roll-50x25"} <= set(list_stock())


@pytest.mark.parametrize("name", list_stock())
def test_a_stock_file_bears_the_name_it_states(name):
    assert data.read("stock", name)["name"] == name


@pytest.mark.parametrize("name", ["letter", "../stock/a4-3x8", "", "/etc/passwd"])
def test_an_unknown_stock_is_refused_and_the_known_ones_named(name):
    with pytest.raises(UnknownStockError, match="a4-3x8, "):
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
        ({"top_mm": float("nan")}, "every length must be a number"),
    ],
)
def test_impossible_sheets_are_refused_with_the_fault(sheet, changes, fault):
    with pytest.raises(LabelError, match=re.escape(fault)):
        replace(sheet, **changes)


def test_a_round_label_is_as_high_as_it_is_wide():
    round_one = load_stock("a4-round-40")

    with pytest.raises(LabelError, match="as high as it is wide"):
        replace(round_one, label_height_mm=39.0)


def test_a_shape_nobody_cuts_is_refused(sheet):
    with pytest.raises(LabelError, match='"rectangle" or "round"'):
        replace(sheet, shape="star")


def test_what_stands_on_a_round_label_stays_inside_the_circle():
    """The corners of four fifths by three fifths lie on it: 0.4^2 + 0.3^2 = 0.5^2."""
    stock = load_stock("a4-round-60")
    x, y = stock.inset_mm(load_layout(stock.layout))

    assert hypot(30 - x, 30 - y) == pytest.approx(30)


def test_a_sheet_without_margins_keeps_to_what_a_printer_reaches():
    """Nothing beyond 4 mm from the paper's edge: 2.5 mm are margin already."""
    stock = load_stock("a4-3x8-70")
    layout = load_layout(stock.layout)
    x, _ = stock.inset_mm(layout)

    assert stock.left_mm == 0
    assert x + layout.margin_side_mm == pytest.approx(4.0)


def test_a_roll_is_printed_to_its_edge():
    stock = load_stock("roll-50x25")

    assert stock.inset_mm(load_layout(stock.layout)) == (0.0, 0.0)
