"""The code in type: as large as it goes, where it is told to stand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lidclock.labels.headline import Code
from lidclock.labels.typed import CodeRoom

ROOM = CodeRoom(30.0, 20.0, 5.0, 15.0, (12.0, 6.0), stacked=True)
TYPED = "4F7 K2M0"


def put(room: CodeRoom, code: str = TYPED):
    """The lines, and the box; None where it cannot be set."""
    texts, boxes = [], []
    if not room.put(code, texts, boxes):
        assert texts == boxes == []
        return None
    return texts, boxes[0]


def test_it_stands_in_two_lines_from_the_top_flush_right():
    texts, box = put(ROOM)

    assert [text.text for text in texts] == ["4F7", "K2M0"]
    assert (box.y, box.right) == (5.0, 30.0)
    assert texts[0].baseline < texts[1].baseline


def test_or_in_one_line_on_the_foot():
    (text,), box = put(replace(ROOM, stacked=False))

    assert text.text == TYPED
    assert box.bottom == pytest.approx(15.0)


@pytest.mark.parametrize("room", [ROOM, replace(ROOM, stacked=False)])
@pytest.mark.parametrize(("width", "foot"), [(20.0, 9.3), (11.5, 30.0), (14.0, 10.0)])
def test_it_is_as_large_as_its_room_allows(room, width, foot):
    """The next size, 0.2 points larger, would not fit."""
    room = replace(room, width=width, foot=foot)
    texts, box = put(room)
    larger = Code(tuple(text.text for text in texts), texts[0].size_pt + 0.2)
    too_high = room.top + larger.height_mm > room.foot

    assert box.width <= width
    assert box.bottom <= foot + 1e-9
    assert larger.width_mm() > width or too_high or texts[0].size_pt == 12.0
    assert texts[0].size_pt < 12.0


def test_a_code_too_wide_is_not_set():
    narrow = replace(ROOM, width=5.0)

    assert put(narrow, "WWW WWWW") is None
    assert not narrow.is_too_low


def test_a_room_too_low_for_any_code_says_so():
    low = replace(ROOM, foot=8.0)

    assert put(low) is None
    assert low.is_too_low
