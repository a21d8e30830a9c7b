"""Parting writing that has no spaces: between letters, never inside one."""

# ruff: noqa: RUF001 - full-width brackets
from __future__ import annotations

import pytest

from lidclock.labels import breaks


@pytest.mark.parametrize(
    ("word", "units"),
    [
        ("红烧面", ["红", "烧", "面"]),
        ("カレー（中）", ["カ", "レー", "（中）"]),
        ("込み、と", ["込", "み、", "と"]),
        ("きゅうり", ["きゅ", "う", "り"]),
        ("面12g面", ["面", "12g", "面"]),
        ("김치", ["김", "치"]),
        ("น้ำ", ["น้ำ"]),
        ("เย็น", ["เย็", "น"]),
        ("ข้าว", ["ข้า", "ว"]),
        ("Wheat", ["Wheat"]),
        ("חלב", ["חלב"]),
        ("मटर", ["मटर"]),
    ],
)
def test_a_word_is_parted_only_where_its_writing_allows(word, units):
    assert breaks.units(word) == units


@pytest.mark.parametrize("word", ["红烧牛肉面（大份）", "ต้มข้าวน้ำพริก", "အုန်းနို့ခေါက်ဆွဲ"])
def test_nothing_is_lost(word):
    assert "".join(breaks.units(word)) == word
