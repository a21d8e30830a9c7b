"""Arranging: everything in its cell, nothing on anything else, nothing lost."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest

from lidclock.errors import LabelError
from lidclock.labels import load_stock
from lidclock.labels.draw import arrange_all
from lidclock.labels.figure import Box, clash


def printed(figure) -> str:
    """All type on the label, in the order it was set."""
    return " ".join(text.text for text in figure.texts)


def box(figure, kind: str) -> Box:
    return next(one for one in figure.boxes if one.kind == kind)


@pytest.mark.parametrize("dpi", [203, 300, 600])
def test_nothing_leaves_its_cell(case, stock, dpi):
    (figure,) = arrange_all([case], stock, dpi=dpi)

    size = (stock.label_width_mm, stock.label_height_mm)
    assert [one.kind for one in figure.boxes if not one.lies_within(*size)] == []


@pytest.mark.parametrize("dpi", [203, 300, 600])
def test_no_two_boxes_overlap(case, stock, dpi):
    (figure,) = arrange_all([case], stock, dpi=dpi)

    pairs = combinations(figure.boxes, 2)
    assert [(a.kind, b.kind) for a, b in pairs if a.overlaps(b)] == []


def test_every_label_has_both_symbols_and_the_code_in_type(case, stock):
    (figure,) = arrange_all([case], stock)

    kinds = {one.kind for one in figure.boxes}
    assert {"code128", "qr", "code", "name", "word", "headline"} <= kinds


def test_the_date_is_the_largest_type(case, stock):
    (figure,) = arrange_all([case], stock)

    largest = max(figure.texts, key=lambda text: text.size_pt)
    assert largest.text == case.headline


def test_the_date_has_at_least_ten_points(case, stock):
    (figure,) = arrange_all([case], stock)

    assert max(text.size_pt for text in figure.texts) >= 10


def test_no_type_is_smaller_than_five_points(case, stock):
    (figure,) = arrange_all([case], stock)

    assert min(text.size_pt for text in figure.texts) >= 5


def test_every_allergen_is_printed_whole(case, stock):
    (figure,) = arrange_all([case], stock)

    words = printed(figure).replace("· ", "")
    assert case.allergen_line().replace("· ", "") in words


def test_made_lines_are_printed_whole(case, stock):
    (figure,) = arrange_all([case], stock)

    words = printed(figure).replace("· ", "")
    assert [one for one in case.lines if one.replace("· ", "") not in words] == []


def test_only_the_smallest_stock_cuts_a_long_name(crowded):
    figures = {
        name: arrange_all([crowded], load_stock(name))[0].shortened
        for name in ("a4-3x8", "letter-3x10", "roll-50x25")
    }

    assert figures == {
        "a4-3x8": (),
        "letter-3x10": (),
        "roll-50x25": ("name", "handling"),
    }


def test_the_first_handling_sentence_is_never_given_up(crowded):
    (figure,) = arrange_all([crowded], load_stock("roll-50x25"))

    assert "Keep at 5 °C or colder." in printed(figure)


def test_lines_after_the_first_give_way_and_that_is_told(make, stock):
    lines = ("pulled Tue 10 Nov 09:00", *("made Sat 31 Oct 17:40",) * 30)

    (figure,) = arrange_all([make(lines=lines)], stock)

    assert "pulled" in " ".join(one.text for one in figure.texts)
    assert "line" in figure.shortened


@pytest.mark.parametrize(
    "changes",
    [
        {"allergens": tuple(f"an allergen of long name {n}" for n in range(20))},
        {"headline": "Wednesday the thirtieth of September 2026, at midday"},
        {"lines": ("made Sat 31 Oct 17:40 " * 30,)},
        {"handling": "W" * 200},
        {"headline_note": "w" * 150},
        {"allergens": ("W" * 100,)},
    ],
)
def test_what_may_not_be_clipped_is_refused(make, stock, changes):
    with pytest.raises(LabelError, match=r"4F7K2M0 .* does not fit on stock"):
        arrange_all([make(**changes)], stock)


@pytest.mark.parametrize("field", ["name", "headline", "handling", "headline_note"])
def test_text_that_no_font_shows_is_refused_wherever_it_stands(make, stock, field):
    with pytest.raises(LabelError, match=r"U\+E000"):
        arrange_all([make(**{field: "\ue000"})], stock)


def test_an_address_too_long_for_the_label_is_refused(make):
    uri = "HTTP://LIDCLOCK.LOCAL/C/" + "A" * 170
    with pytest.raises(LabelError, match="does not fit"):
        arrange_all([make(uri=uri)], load_stock("roll-50x25"))


def test_a_label_too_small_for_its_symbols_is_refused(make):
    small = replace(load_stock("roll-50x25"), label_width_mm=25.0)
    with pytest.raises(LabelError, match="does not fit"):
        arrange_all([make()], small)


@pytest.mark.parametrize("dpi", [203, 300, 600])
def test_the_widest_code_fits_every_stock(make, stock, dpi):
    (figure,) = arrange_all([make("WWWWWWW")], stock, dpi=dpi)

    assert "WWW WWWW" in printed(figure)


def test_symbols_stand_on_the_dot_grid(case, stock):
    """0.125 mm dots: every symbol's corner is a whole number of them."""
    (figure,) = arrange_all([case], stock, dpi=203)

    corners = [at / 0.125 for one in figure.symbols for at in (one.x, one.y)]
    assert corners == pytest.approx([round(at) for at in corners], abs=1e-6)


def test_bars_keep_ten_modules_clear_on_both_sides(case, stock):
    """Ten modules of two dots of 0.125 mm are 2.5 mm, of three dots 3.75 mm."""
    (figure,) = arrange_all([case], stock, dpi=203)
    symbol = next(one for one in figure.symbols if one.kind == "code128")
    last, length = symbol.rows[0][-1]
    module = symbol.module_dots * 0.125

    around = box(figure, "code128")
    assert symbol.x - around.x == pytest.approx(10 * module)
    end = symbol.x + (last + length) * module
    assert around.right - end == pytest.approx(10 * module)


def test_the_qr_symbol_keeps_four_modules_clear_all_round(case, stock):
    (figure,) = arrange_all([case], stock, dpi=203)
    symbol = next(one for one in figure.symbols if one.kind == "qr")
    module = symbol.module_dots * 0.125
    side = len(symbol.rows) * module

    around = box(figure, "qr")
    assert around.width == pytest.approx(side + 8 * module)
    assert (symbol.x - around.x, symbol.y - around.y) == pytest.approx(
        (4 * module,) * 2
    )


def test_a_week_gets_its_day_rule_on_both_sheets(make):
    label = make()
    figures = [
        arrange_all([label], load_stock(n))[0] for n in ("a4-3x8", "letter-3x10")
    ]

    assert all(figure.rule is not None for figure in figures)


def test_a_clash_is_named():
    boxes = [Box("name", 0, 0, 5, 5), Box("code", 4, 4, 5, 5)]

    assert clash(boxes, 20, 20) == "name meets code"


def test_a_box_outside_the_label_is_named():
    assert clash([Box("name", 0, 0, 5, 5)], 4, 20) == "name leaves the label"


def test_boxes_that_share_an_edge_do_not_clash():
    assert clash([Box("name", 0, 0, 5, 5), Box("code", 5, 0, 5, 5)], 20, 20) is None
