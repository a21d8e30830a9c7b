"""The code in type: one line if it can be, two before it is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lidclock.errors import LabelError
from lidclock.labels import list_stock, load_stock
from lidclock.labels.draw import arrange_all
from lidclock.labels.examples import EVERYDAY
from lidclock.labels.headline import Code
from lidclock.labels.typed import CodeRoom

WIDEST = "WWW WWWW"


def placed(room, code=WIDEST):
    """The lines that were set, or None."""
    texts, boxes = [], []
    if not room.put(code, texts, boxes):
        return None
    assert len(boxes) == 1
    return [text.text for text in texts], boxes[0]


def room_of(width, height):
    """A room for type of 10 to 6 points, its foot at 20 mm."""
    return CodeRoom(30.0, width, 20.0 - height, 20.0, (10.0, 6.0), stacked=False)


def test_a_code_stands_on_one_line_where_there_is_room():
    lines, box = placed(room_of(25.0, 6.0))

    assert lines == [WIDEST]
    assert (box.right, box.bottom) == pytest.approx((30.0, 20.0))


def test_a_code_too_wide_for_one_line_takes_two():
    least = Code((WIDEST,), 6.0).width_mm()
    lines, box = placed(room_of(least - 0.1, 6.0))

    assert lines == ["WWW", "WWWW"]
    assert (box.right, box.bottom) == pytest.approx((30.0, 20.0))
    assert box.y >= 14.0


def test_one_line_is_kept_as_long_as_it_fits():
    least = Code((WIDEST,), 6.0).width_mm()

    assert placed(room_of(least, 6.0))[0] == [WIDEST]


@pytest.mark.parametrize(("width", "height"), [(5.0, 6.0), (12.0, 2.0)])
def test_a_room_for_neither_refuses(width, height):
    assert placed(room_of(width, height)) is None


def test_the_widest_code_stands_on_all_stock_but_the_lowest():
    """Seven W: one code in 28^6. On labels of 12.7 mm height six of them do."""
    refused = []
    for name in list_stock():
        stock = load_stock(name)
        try:
            arrange_all([replace(EVERYDAY, code="W" * 7)], stock, dpi=stock.dpi)
        except LabelError:
            refused.append(name)

    assert refused == ["letter-4x20"]


@pytest.mark.parametrize("code", ["WWWWWW0", "MWMWMWM", "4WWMWWW"])
def test_a_wide_code_is_no_reason_to_refuse_a_round_label(code):
    """One code in 190 was too wide for one line beside the bars."""
    label = replace(EVERYDAY, code=code, uri=f"HTTP://LIDCLOCK.LOCAL/C/{code}")
    stock = load_stock("a4-round-60")
    (figure,) = arrange_all([label], stock, dpi=stock.dpi)

    assert [code[:3], code[3:]] == [
        text.text for text in figure.texts if text.text in code
    ]
