"""Writing from right to left ends at the right of its column; nothing else moves."""

from __future__ import annotations

import pytest

from lidclock.labels import ActionLabel, arrange_all, bidi, fonts, load_stock
from lidclock.labels.actions import arrange_action
from lidclock.labels.layout import load_layout

# One of each arrangement: beside the symbol, across, small and low, small and tall.
STOCKS = ("letter-3x10", "roll-50x25", "roll-100x62", "letter-4x20", "a4-round-40")
HEBREW = {
    "name": "מרק עוף 12",
    "lines": ("נעשה Sat 31 Oct 17:40",),
    "handling": "לשמור ב 5 °C.",
    "allergens": ("חלב", "סויה"),
}
ENGLISH = {
    "name": "Soup 12",
    "lines": ("made Sat 31 Oct",),
    "handling": "Keep at 5 °C.",
    "allergens": ("milk",),
}
stocks = pytest.mark.parametrize("name", STOCKS)


def arranged(make, name, words):
    stock = load_stock(name)
    (figure,) = arrange_all([make(**words, ruler=None)], stock)
    return stock, figure


def end_of(text):
    return text.x + fonts.width_mm(text.text, text.face, text.size_pt)


def box(figure, kind):
    return next(one for one in figure.boxes if one.kind == kind)


def right_to_left(figure):
    return [text for text in figure.texts if bidi.base(text.text)]


@stocks
def test_right_to_left_rows_end_together_short_of_the_symbols(make, name):
    _, figure = arranged(make, name, HEBREW)
    symbols = [one for one in figure.boxes if one.kind in ("qr", "data-matrix", "code")]
    (heading, *body), *_ = [right_to_left(figure)]

    assert heading.text == HEBREW["name"]
    assert len(body) >= 2
    assert len({round(end_of(text), 6) for text in body}) == 1
    for text in body:
        beside = [one for one in symbols if one.y < text.baseline < one.bottom]
        assert all(end_of(text) <= one.x + 1e-6 for one in beside)


@pytest.mark.parametrize("name", ["roll-50x25", "roll-100x62", "a4-round-40"])
def test_a_name_above_the_symbols_ends_at_the_right_margin(make, name):
    stock, figure = arranged(make, name, HEBREW)
    layout = load_layout(stock.layout)
    inset, _ = stock.inset_mm(layout)
    margin = stock.label_width_mm - inset - layout.margin_side_mm

    assert end_of(right_to_left(figure)[0]) == pytest.approx(margin, abs=0.15)


def test_a_name_beside_the_symbol_keeps_off_the_code(make):
    _, figure = arranged(make, "letter-3x10", HEBREW)

    gap = box(figure, "code").x - end_of(right_to_left(figure)[0])
    assert 0.5 < gap < 2.5


@stocks
def test_other_rows_and_the_date_stay_at_the_left(make, name):
    """The date and its word, of a Hebrew label as of an English one."""
    _, hebrew = arranged(make, name, HEBREW)
    _, english = arranged(make, name, ENGLISH)

    assert right_to_left(english) == []
    starts = {
        kind: box(figure, kind).x
        for figure in (english,)
        for kind in ("name", "word", "allergens")
    }
    assert len(set(starts.values())) == 1
    assert box(hebrew, "word").x == starts["word"]
    assert box(hebrew, "name").x > starts["name"]
    assert box(hebrew, "allergens").x > starts["allergens"]


@stocks
def test_mixed_text_goes_by_the_way_it_runs_as_a_whole(make, name):
    mixed = HEBREW | {"name": "Soup מרק 12", "allergens": ("soy",)}
    _, figure = arranged(make, name, mixed)

    assert box(figure, "name").x == box(figure, "word").x
    assert box(figure, "allergens").x == box(figure, "word").x


def test_all_lines_of_a_long_name_end_together(make):
    words = HEBREW | {"name": "קציצות תפוחי אדמה ממולאות בפטריות יער וירקות שורש"}
    _, figure = arranged(make, "roll-57x32", words)
    size = right_to_left(figure)[0].size_pt
    lines = [text for text in right_to_left(figure) if text.size_pt == size]

    assert len(lines) == 2
    assert end_of(lines[0]) == pytest.approx(end_of(lines[1]))


def test_an_action_and_its_hint_end_at_the_symbol():
    action = ActionLabel(
        "הקפאה", "FREEZE", "HTTP://LIDCLOCK.LOCAL/A/FREEZE", "עד 2 שבועות"
    )
    stock = load_stock("letter-3x10")
    figure = arrange_action(action, stock, load_layout(stock.layout), 300)

    for kind in ("word", "hint"):
        assert box(figure, kind).right == pytest.approx(box(figure, "qr").x)
    assert box(figure, "code").x == pytest.approx(2.5)
