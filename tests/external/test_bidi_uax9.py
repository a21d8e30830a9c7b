"""Unicode Standard Annex 9: the order of mixed right-to-left and left-to-right text.

Cases of BidiCharacterTest-17.0.0.txt (Unicode Character Database, 2025), read in a
stored copy; data/bidi_character_test.txt says which. Quantities, which labels keep
forward beyond what the annex asks, are switched off here by asking for the bare rules.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from lidclock.labels import bidi

FILE = Path(__file__).parent / "data" / "bidi_character_test.txt"
CASES = [
    tuple(line.split(";"))
    for line in FILE.read_text(encoding="utf-8").splitlines()
    if line and not line.startswith("#")
]


def text_of(points: str) -> str:
    return "".join(chr(int(point, 16)) for point in points.split())


@pytest.mark.parametrize(("points", "_", "level", "levels", "order"), CASES)
def test_levels_and_order_are_the_published_ones(points, _, level, levels, order):
    found = bidi.resolved(text_of(points), int(level))

    assert found == [int(one) for one in levels.split()]
    assert bidi.visual(found) == [int(one) for one in order.split()]


@pytest.mark.parametrize(
    ("points", "level"), [(case[0], case[2]) for case in CASES if case[1] == "2"]
)
def test_the_direction_of_a_whole_text_is_the_published_one(points, level):
    assert bidi.base(text_of(points)) == int(level)
