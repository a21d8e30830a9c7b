"""Names without spaces are parted as Unicode says: UAX #14 and #29.

data/line_breaks.json: the line-break classes of East Asian punctuation, kana and
full-width forms (LineBreak.txt), and extended grapheme clusters of words in writing
without spaces, both of the Unicode Character Database 14.0 as perl 5.36 carries it. No
line begins with CJ, NS, CL, CP, EX or IS (rules LB13, LB21 and, for CJ, strict breaking
by LB1), none ends with OP (LB14), and none parts a letter from its marks.
"""

# ruff: noqa: RUF001 - full-width signs
from __future__ import annotations

import json
from itertools import accumulate
from pathlib import Path

import pytest

from lidclock.labels import Label, arrange_all, breaks, fonts, found, load_stock

DATA = json.loads(
    (Path(__file__).parent / "data" / "line_breaks.json").read_text("utf-8")
)
NEVER_FIRST = "".join(DATA["never_first"].values())
NEVER_LAST = "".join(DATA["never_last"].values())
AROUND = ("漢字{}漢字", "カナ{}カナ", "12{}漢字", "한글{}한글")
LONG = {
    "Japanese": (
        "カレーうどん・大盛り（２〜３人前）チョコレートケーキ、いちごジャム",
        "NotoSansCJK-Regular.ttc wqy-microhei.ttc ipag.ttf VL-Gothic-Regular.ttf",
    ),
    "Chinese": (
        "红烧牛肉面（大份）、不辣、加葱花、加香菜、加鸡蛋和豆腐干",
        "wqy-microhei.ttc",
    ),
    "Thai": (
        "ก๋วยเตี๋ยวต้มยำกุ้งน้ำข้นใส่เห็ดฟางและข้าวเหนียวมะม่วงน้ำกะทิ",
        "NotoSansThai-Regular.ttf",
    ),
}


def boundaries(parts):
    return set(accumulate(map(len, parts)))


@pytest.mark.parametrize("around", AROUND)
@pytest.mark.parametrize("sign", NEVER_FIRST)
def test_no_part_begins_with_what_may_not_begin_a_line(sign, around):
    parts = breaks.units(around.format(sign))

    assert [part for part in parts[1:] if part.startswith(sign)] == []


@pytest.mark.parametrize("around", AROUND)
@pytest.mark.parametrize("sign", NEVER_LAST)
def test_no_part_ends_with_what_may_not_end_a_line(sign, around):
    parts = breaks.units(around.format(sign))

    assert [part for part in parts[:-1] if part.endswith(sign)] == []


@pytest.mark.parametrize("word", DATA["clusters"])
def test_no_letter_is_parted_from_its_marks(word):
    clusters = DATA["clusters"][word]

    assert boundaries(breaks.units(word)) <= boundaries(clusters)


@pytest.mark.parametrize("word", ["红烧牛肉面", "カレーうどん", "김치찌개용육수"])
def test_ideographs_kana_and_syllables_may_part_somewhere(word):
    assert len(breaks.units(word)) > 2


@pytest.mark.parametrize("stock", ["letter-3x10", "roll-70x54", "a4-3x7"])
@pytest.mark.parametrize("language", LONG)
def test_a_long_name_is_wrapped_on_a_label_by_these_rules(language, stock):
    name, files = LONG[language]
    if not set(files.split()) & found.files(found.folders()).keys():
        pytest.skip(f"no {language} font here: apt-get install fonts-noto-core")
    label = Label(
        name=name,
        code="4F7K2M0",
        uri="HTTP://LIDCLOCK.LOCAL/C/4F7K2M0",
        headline_word="USE BY",
        headline="Tue 3 Nov 2026",
        allergens=("soy",),
    )
    (figure,) = arrange_all([label], load_stock(stock))
    lines = [text.text for text in figure.texts if text.text and text.text in name]

    assert fonts.missing(name) == ()
    assert len(lines) == 2
    assert "".join(lines) == name
    assert lines[1][0] not in NEVER_FIRST
    assert lines[0][-1] not in NEVER_LAST
    assert len(lines[0]) in boundaries(breaks.units(name))
