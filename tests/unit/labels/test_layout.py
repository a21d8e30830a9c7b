"""Layouts: data a user edits, checked when it is read."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lidclock.errors import LabelError
from lidclock.labels import data, list_stock, load_stock
from lidclock.labels.layout import load_layout


@pytest.mark.parametrize("name", list_stock())
def test_every_stock_names_a_layout_there_is(name):
    assert load_layout(load_stock(name).layout).name in data.names("layout")


@pytest.mark.parametrize("name", data.names("layout"))
def test_the_smallest_type_keeps_its_x_height(name):
    """0.9 mm x-height (Regulation (EU) 1169/2011, Article 13(3)).

    The faces' x-height is 1120/2048 em (their OS/2 table): 0.547 * 25.4/72 mm a point.
    """
    assert load_layout(name).body_pt[1] * 1120 / 2048 * 25.4 / 72 >= 0.9


def test_an_unknown_layout_is_refused_and_the_known_ones_named():
    with pytest.raises(LabelError, match="there is across, across-large, side"):
        load_layout("../layout/side")


def test_an_arrangement_nobody_drew_is_refused():
    with pytest.raises(LabelError, match="one of side, across, small"):
        replace(load_layout("side"), arrangement="below")


def test_a_smallest_size_above_the_preferred_one_is_refused():
    with pytest.raises(LabelError, match="body_pt"):
        replace(load_layout("side"), body_pt=(5.0, 6.0))


@pytest.mark.parametrize("value", ["6.6", None, True, [6.6]])
def test_a_number_must_be_a_number(value):
    with pytest.raises(LabelError, match=r"layout side: margin_mm must be a number"):
        data.number({"margin_mm": value}, "margin_mm", "layout side")
