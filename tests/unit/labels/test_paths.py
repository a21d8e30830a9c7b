"""Symbols as operators: each dark module once, nothing else, in whole dots."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from lidclock.labels import paths, symbols
from lidclock.labels.figure import Panel, Symbol
from lidclock.labels.grid import grid
from lidclock.labels.ruler import rule

DOTS = grid(203)
URI = "HTTP://LIDCLOCK.LOCAL/C/4F7K2M0"
NUMBER = r"(-?[\d.]+)"
RECTANGLE = re.compile(rf"{NUMBER} {NUMBER} {NUMBER} {NUMBER} re\n")
TRANSFORM = re.compile(rf"q {NUMBER} 0 0 {NUMBER} {NUMBER} {NUMBER} cm ")


def covered(operators: str, tall: int) -> Counter[tuple[int, int]]:
    """How often each module is filled; sides are rounded to whole modules."""
    found: Counter[tuple[int, int]] = Counter()
    for sides in RECTANGLE.findall(operators):
        left, top, wide, high = (round(float(side)) for side in sides)
        rows = range(top, top + max(1, round(high / tall)))
        found.update(
            (row, column) for row in rows for column in range(left, left + wide)
        )
    return found


def dark(symbol: Symbol) -> Counter[tuple[int, int]]:
    return Counter(
        (row, column)
        for row, modules in enumerate(symbol.modules)
        for column, module in enumerate(modules)
        if module
    )


@pytest.mark.parametrize(
    "symbol",
    [
        symbols.matrix(URI, DOTS, 0.375)[0],
        symbols.matrix("HTTPS://KITCHEN.EXAMPLE.ORG/LIDS/C/4F7K2M0", DOTS, 0.5)[0],
        symbols.small_matrix("4F7K2M0", DOTS, 0.5)[0],
        symbols.small_matrix("1234567", DOTS, 0.375)[0],
    ],
    ids=["qr", "larger qr", "data matrix", "figures"],
)
def test_every_dark_module_of_a_matrix_is_filled_once(symbol):
    assert covered(paths.symbol(symbol, DOTS), tall=1) == dark(symbol)


@pytest.mark.parametrize("code", ["4F7K2M0", "0000000", "WWWWWWW"])
def test_every_bar_is_filled_once_over_its_whole_height(code):
    symbol = symbols.bars(code, DOTS, 0.25, 6.0)[0]

    assert covered(paths.symbol(symbol, DOTS), tall=symbol.row_dots) == dark(symbol)


def test_a_symbol_is_drawn_in_whole_dots_from_its_corner():
    """A dot is 0.125 mm, 0.125 / 25.4 * 72 = 0.354331 points; y runs upwards. The
    corner keeps a thousandth of a module off, or it would touch the dot beside it.
    """
    symbol = symbols.matrix(URI, DOTS, 0.375)[0].at(10.0, 2.5)
    made = [float(one) for one in TRANSFORM.match(paths.symbol(symbol, DOTS)).groups()]

    dot = 0.125 / 25.4 * 72
    corner = [(80 + 0.003) * dot, -(20 + 0.003) * dot]
    assert made == pytest.approx([3 * dot, -3 * dot, *corner], abs=1e-6)


def test_no_rectangle_ends_on_a_dot():
    """What ends just before the next dot does not touch it."""
    sides = [
        float(side)
        for made in (symbols.matrix(URI, DOTS, 0.5), symbols.bars("4F7", DOTS, 0.25, 6))
        for found in RECTANGLE.findall(paths.symbol(made[0], DOTS))
        for side in found[2:]
    ]

    assert {round(side % 1, 3) for side in sides} == {0.998}


@pytest.mark.parametrize(
    ("value", "written"),
    [(0.0, "0"), (-0.0001, "0"), (1.0, "1"), (-2.5, "-2.5"), (1 / 3, "0.333")],
)
def test_numbers_are_short(value, written):
    assert paths.number(value) == written


def test_a_filled_panel_is_filled_and_another_outlined():
    filled, outlined = (
        paths.panel(Panel(1.0, 2.0, 6.0, 4.0, one)) for one in (True, False)
    )

    assert filled.endswith(" f")
    assert outlined.endswith(" S")


def test_a_rule_has_a_stroke_for_each_day_but_the_last(make):
    """Four days: three notches and the line itself; the last day is the disc."""
    made = rule(make().ruler, 30.0)
    operators = " ".join(paths.notches(made))

    assert operators.count(" l") == 3 + 1
    assert operators.endswith("f")
