"""Attempts: what has failed is not tried again, what may succeed is."""

from __future__ import annotations

from collections import Counter

import pytest

from lidclock.errors import LabelError
from lidclock.labels import Label, arrange, fonts, load_stock
from lidclock.labels.attempts import Attempts, every
from lidclock.labels.draft import NoRoomError, NoRoomForCodeError
from lidclock.labels.figure import Figure
from lidclock.labels.layout import load_layout

SIDE = load_layout("side")
EMPTY = Figure((), (), (), ())


class Arranger:
    """Fails as it is told to, and counts what it was asked."""

    def __init__(self, **failing: type[NoRoomError]) -> None:
        self.failing, self.asked = failing, Counter()

    def __call__(self, draft):
        key = f"at_{round(draft.scale * 100)}"
        self.asked[key] += 1
        if key in self.failing:
            raise self.failing[key]("no room")
        return EMPTY


def attempts(arrange_one, admit=Label.texts) -> Attempts:
    cell = arrange.room(load_stock("letter-3x10"), SIDE, 203).cell
    return Attempts(cell, list(every(SIDE))[:3], arrange_one, admit)


def test_what_failed_for_a_label_is_not_tried_for_its_like(make):
    """The first scale is 1.00, the next 0.96: tried once with marks for figures and,
    where no stencil can be cut, once for each label.
    """
    arranger = Arranger(at_100=NoRoomError)
    tries = attempts(arranger)
    for code in ("4F7K2M0", "B1C2D3B", "JJ7KJM3"):
        assert tries.figure(make(code)) is EMPTY

    assert arranger.asked == {"at_100": 1, "at_96": 1 + 3}


def test_what_failed_for_a_wide_code_is_tried_for_the_next(make):
    arranger = Arranger(at_100=NoRoomForCodeError)
    tries = attempts(arranger)
    for code in ("WWWWWWW", "B1C2D3B"):
        tries.figure(make(code))

    assert arranger.asked == {"at_100": 1 + 2, "at_96": 1 + 2}


@pytest.mark.parametrize(
    "changes", [{"name": "Another"}, {"code": "1234567"}, {"uri": "HTTP://K.LAN/" * 5}]
)
def test_a_label_of_another_kind_starts_anew(make, changes):
    """Other words, bars of another width (figures go two to a symbol), a larger QR."""
    arranger = Arranger(at_100=NoRoomError)
    tries = attempts(arranger)
    tries.figure(make("4F7K2MB"))
    tries.figure(make(**({"code": "B1C2D3B"} | changes)))

    assert arranger.asked["at_100"] == 2


def test_where_nothing_succeeds_there_is_no_figure(make):
    failing = dict.fromkeys(("at_100", "at_96", "at_92"), NoRoomError)

    assert attempts(Arranger(**failing)).figure(make()) is None


def test_a_label_is_checked_once_for_its_kind(make):
    checked = []
    tries = attempts(Arranger(), checked.append)
    for code in ("4F7K2MB", "B1C2D3B"):
        tries.figure(make(code))

    assert len(checked) == 1


def test_a_refused_label_is_refused_each_time(make):
    for _ in range(2):
        with pytest.raises(LabelError, match=r"U\+E000"):
            arrange.arrange(make(name="\ue000"), load_stock("a4-3x8"), SIDE, 203)


def test_new_fonts_are_noticed(make):
    """What was measured in the fonts of before is forgotten."""
    stock = load_stock("letter-3x10")
    arrange.arrange(make(), stock, SIDE, 203)
    fonts.forget()

    assert arrange.room.cache_info().currsize == 0
