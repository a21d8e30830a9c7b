"""Arranging labels for sale: nothing cut, nothing below its floor, or refused."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest

from lidclock.errors import LabelError
from lidclock.labels import list_stock, load_stock, retail_type
from lidclock.labels.figure import clash
from lidclock.labels.retail_arrange import arrange_retail
from lidclock.labels.retail_content import DATE, NAME, NET, Part, RetailLabel
from lidclock.labels.retail_data import Least
from lidclock.labels.retail_text import Run

LEAST = Least("x", 1.2)
URI = "HTTP://LIDCLOCK.LOCAL/C/4F7K2M0"
LONG = "slow-braised mushrooms, black beans, pickled greens, peppers, ginger, "


def label(*, name="Leek tart", items=1, least=LEAST, extra=(), code="4F7K2M0", **more):
    """A label with so many times the same ingredients."""
    runs = [Run("Ingredients: ", bold=True)]
    for number in range(items):
        runs += [Run(LONG), Run("WHEAT", bold=True), Run(f" flour no {number}, ")]
    parts = [
        Part("name", (Run(name, bold=True),), least, NAME),
        Part("date", (Run("Use by Thu 5 Nov 2026", bold=True),), least, DATE),
        Part("ingredients", (*runs, Run("salt.")), least, is_headed=True),
        Part("storage", (Run("Keep at 5 °C or colder. Heat through."),), least),
        *extra,
        Part("net quantity", (Run("350 g", bold=True),), Least("figure", 4.0), NET),
    ]
    uri = f"HTTP://LIDCLOCK.LOCAL/C/{code}"
    return RetailLabel(code=code, uri=uri, parts=tuple(parts), **more)


EXTRA = (
    Part("lot", (Run("Lot 12"),), LEAST, drop=2),
    Part("maker", (Run("Made by The Example Kitchen"),), LEAST),
    Part("day of making", (Run("Made Sat 31 Oct 2026"),), LEAST, drop=1),
)


def shown(figure, face=None):
    """All words of the figure, in any order."""
    texts = [one for one in figure.texts if face in (None, one.face)]
    return Counter(word for one in texts for word in one.text.split())


def whole(label):
    code = label.typed_code()
    texts = [part.text for part in label.parts] + [code]
    return Counter(word for text in texts for word in text.split())


FITTING = [
    ("letter-2x5", 1),
    ("letter-2x5", 4),
    ("letter-2x3", 8),
    ("a4-2x4", 6),
    ("a4-2x7", 2),
    ("roll-102x51", 3),
    ("roll-102x152", 12),
    ("a4-round-60", 1),
    ("roll-57x32", 0),
]


@pytest.mark.parametrize(("stock", "items"), FITTING)
def test_every_word_is_there_and_nothing_meets_or_leaves_the_label(stock, items):
    kind, asked = load_stock(stock), label(items=items)
    figure = arrange_retail(asked, kind)

    assert clash(figure.boxes, kind.label_width_mm, kind.label_height_mm) is None
    assert shown(figure) == whole(asked)
    assert sum("WHEAT" in one.text for one in figure.texts) == items


@pytest.mark.parametrize(("stock", "items"), FITTING)
def test_no_type_is_below_its_floor(stock, items):
    asked = label(items=items)
    figure = arrange_retail(asked, load_stock(stock))

    for one in figure.texts:
        if one.text in asked.typed_code():
            continue
        letter, mm = ("figure", 4.0) if one.text == "350 g" else ("x", 1.2)
        tall = retail_type.height_mm(one.text, one.face, one.size_pt, letter)
        assert tall >= mm - 1e-9, one.text


def test_a_roomy_label_is_set_large_and_a_crowded_one_small():
    stock = load_stock("letter-2x3")
    sizes = [
        min(one.size_pt for one in arrange_retail(label(items=n), stock).texts[1:])
        for n in (1, 4, 8)
    ]

    assert sizes == sorted(sizes, reverse=True)
    assert sizes[0] > sizes[-1]


def test_parts_go_in_their_declared_order_and_the_rest_stays():
    stock = load_stock("a4-2x7")
    seen = [
        arrange_retail(label(items=n, extra=EXTRA), stock).shortened
        for n in range(1, 9)
    ]

    assert list(dict.fromkeys(seen)) == [
        (),
        ("bars",),
        ("bars", "day of making"),
        ("bars", "day of making", "lot"),
    ]


def test_what_was_dropped_is_not_there_and_what_was_not_is():
    figure = arrange_retail(label(items=7, extra=EXTRA), load_stock("a4-2x7"))

    assert figure.shortened == ("bars", "day of making")
    assert {one.kind for one in figure.symbols} == {"qr"}
    assert shown(figure)["Made"] == 1
    assert shown(figure)["Kitchen"] == 1


def test_a_label_with_room_bears_bars_and_qr():
    figure = arrange_retail(label(), load_stock("letter-2x5"))

    assert {one.kind for one in figure.symbols} == {"qr", "code128"}


def test_what_does_not_fit_is_refused_and_the_stock_that_would_is_named():
    asked = label(items=14)
    with pytest.raises(LabelError) as refused:
        arrange_retail(asked, load_stock("a4-2x7"))
    named = str(refused.value).partition("fit on ")[2].split("fit on ")[1].split(", ")

    assert set(named) < set(list_stock())
    for name in named:
        assert arrange_retail(asked, load_stock(name)).texts
    for name in ("letter-2x5", "letter-2x6"):
        assert name not in named
        with pytest.raises(LabelError):
            arrange_retail(asked, load_stock(name))


def test_what_fits_nowhere_says_so():
    with pytest.raises(LabelError, match="nor on any other stock"):
        arrange_retail(label(items=60), load_stock("a4-2x7"))


def test_a_word_wider_than_the_label_is_refused_by_its_part():
    with pytest.raises(LabelError, match="a word of the name is too long"):
        arrange_retail(label(name="W" * 60), load_stock("letter-2x5"))


def test_a_floor_in_points_is_kept():
    statement = Part("statement", (Run("Made in a Home Kitchen"),), Least(pt=12.0))
    figure = arrange_retail(
        label(items=7, extra=(statement,)), load_stock("letter-2x3")
    )
    sizes = {one.size_pt for one in figure.texts if "Kitchen" in one.text}

    assert sizes == {12.0}


def test_lines_keep_the_leading_asked_for():
    figure = arrange_retail(
        label(items=3, leading_mm=2.9),
        load_stock("roll-102x51"),
    )
    tops = sorted({one.y for one in figure.boxes if one.kind == "ingredients"})

    assert all(b - a >= 2.9 - 1e-9 for a, b in pairwise(tops))


def test_a_line_stands_above_the_part_named():
    figure = arrange_retail(label(line_above="ingredients"), load_stock("letter-2x5"))
    (line,) = [one for one in figure.boxes if one.kind == "line"]
    first = min(one.y for one in figure.boxes if one.kind == "ingredients")

    assert len(figure.panels) == 1
    assert line.bottom <= first


def test_arabic_begins_at_the_right():
    asked = label(name="شوربة عدس")
    figure = arrange_retail(asked, load_stock("letter-2x5"))
    (box,) = [one for one in figure.boxes if one.kind == "name"]

    assert box.right == pytest.approx(101.6 - 2.5, abs=0.5)


@pytest.mark.parametrize("drop", ["name", "net quantity"])
def test_a_label_without_name_or_quantity_is_refused(drop):
    parts = tuple(part for part in label().parts if part.kind != drop)

    with pytest.raises(LabelError, match="needs a n"):
        RetailLabel(code="4F7K2M0", uri=URI, parts=parts)


@pytest.mark.parametrize(
    "text", ["best 03/04/26", "a\u202eb", "a\x00b", "   "], ids=repr
)
def test_what_must_not_be_printed_is_refused(text):
    with pytest.raises(LabelError):
        label(extra=(Part("storage", (Run(text),), LEAST),))


def test_a_house_number_is_no_date():
    part = Part("maker", (Run("Made by X, 12/34 Long Street"),), LEAST)

    assert label(extra=(part,)).parts[4].text.endswith("12/34 Long Street")


def test_blanks_between_runs_are_single():
    runs = (Run("  a  "), Run("  b ", bold=True), Run(" c "))

    assert label(extra=(Part("x", runs, LEAST),)).parts[4].text == "a b c"


def test_an_address_is_not_parted_where_it_has_a_line_of_its_own():
    runs = (Run("Made by The Example Kitchen, "), Run("1 Example Street, Anytown"))
    figure = arrange_retail(
        label(items=1, extra=(Part("maker", runs, LEAST),)), load_stock("roll-57x32")
    )
    lines = [one.text for one in figure.texts]

    assert "Made by The Example Kitchen," in lines
    assert "1 Example Street, Anytown" in lines


def test_sentences_are_not_parted_where_each_has_a_line_of_its_own():
    figure = arrange_retail(label(items=0), load_stock("a4-round-60"))
    lines = [one.text for one in figure.texts]

    assert "Keep at 5 °C or colder." in lines
    assert "Heat through." in lines


def test_a_run_of_nothing_but_a_blank_is_no_line():
    runs = tuple(Run(text) for text in ("Made by", " ", "The Example Kitchen"))
    figure = arrange_retail(
        label(items=1, extra=(Part("maker", runs, LEAST),)), load_stock("tape-38")
    )

    assert shown(figure)["Kitchen"] == 1
