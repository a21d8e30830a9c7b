"""ISO/IEC 16022 and 18004: matrices, codewords and capacities, module by module.

data/label_facts.json holds each case with its source: ISO/IEC 16022:2006, Figures 1,
O.2 and R.1 (as transcribed in the tests of zint and BWIPP), ISO/IEC 18004, Figure 1 and
Annex I; capacities of the same standards (QR measured with segno, Data Matrix as a
device manual prints them). Codewords are taken out of our modules by `matrix_reader`,
which follows the standards by hand and shares nothing with the libraries that draw.
"""

import json
import random
from pathlib import Path

import pytest

from lidclock.domain.codes import new_code
from lidclock.labels import codes, list_stock, load_stock
from lidclock.labels.grid import grid
from lidclock.labels.layout import load_layout
from matrix_reader import QR_1_M_WORDS, data_matrix_text, data_matrix_words, qr_words

CASES = json.loads(
    (Path(__file__).parent / "data" / "label_facts.json").read_text("utf-8")
)
BY_ID = {case["id"]: case for case in CASES}
LAYOUTS = sorted({load_stock(name).layout for name in list_stock()})


def of(topic):
    """Cases of one topic as test parameters."""
    return [
        pytest.param(case, id=case["id"]) for case in CASES if case["topic"] == topic
    ]


def modules(rows):
    return ["".join(map(str, row)) for row in rows]


@pytest.mark.parametrize("case", of("datamatrix-matrix"))
def test_a_published_data_matrix_is_ours_module_by_module(case):
    assert modules(codes.data_matrix(case["input"])) == case["expected"]


def test_the_figures_codewords_are_read_by_hand():
    """ISO/IEC 16022, Annex O: 123456 is 142 164 186 and five check codewords."""
    rows = [[int(one) for one in row] for row in BY_ID["dm-fig-O2"]["expected"]]

    assert data_matrix_words(rows)[:3] == [142, 164, 186]
    assert data_matrix_text(rows) == "123456"


@pytest.mark.parametrize("case", of("datamatrix-encode"))
def test_a_published_text_gets_its_published_codewords(case):
    rows = codes.data_matrix(case["input"])
    words = case["expected"]["codewords"]

    assert case["expected"]["symbol"] == f"{len(rows)}x{len(rows)}"
    assert data_matrix_words(rows)[: len(words)] == words
    assert data_matrix_text(rows) == case["input"]


def test_every_code_is_read_by_hand_from_its_data_matrix():
    dice = random.Random(16022)
    for _ in range(1000):
        code = new_code(dice.randrange)

        assert data_matrix_text(codes.data_matrix(code)) == code


def test_a_changed_module_is_noticed_by_hand():
    """The reader itself: a flipped module breaks a check, or the frame."""
    rows = [list(row) for row in codes.data_matrix("4F7K2M0")]
    for row in range(len(rows)):
        for column in range(len(rows)):
            rows[row][column] ^= 1
            with pytest.raises(AssertionError):
                data_matrix_text(rows)
            rows[row][column] ^= 1


@pytest.mark.parametrize("case", of("datamatrix-capacity"))
@pytest.mark.parametrize(
    ("kind", "letter"), [("numeric", "1"), ("alnum", "A"), ("byte", "\xe9")]
)
def test_a_data_matrix_grows_where_the_standard_says(case, kind, letter):
    side = int(case["input"].split("x")[0])
    holds = case["expected"][kind]

    assert len(codes.data_matrix(letter * holds)) == side
    assert len(codes.data_matrix(letter * (holds + 1))) > side


@pytest.mark.parametrize("case", of("qr-matrix"))
def test_a_published_qr_symbol_is_ours_module_by_module(case):
    text, mask = case["input"]["text"], case["input"]["mask"]

    assert modules(codes.qr(text, mask=mask)) == case["expected"]


@pytest.mark.parametrize("mask", [None, *range(8)])
@pytest.mark.parametrize("case", of("qr-encode"))
def test_a_published_qr_text_gets_its_published_codewords(case, mask):
    """Whatever the mask. Of a symbol of another level only the data is ours."""
    words = qr_words(codes.qr(case["input"]["text"], mask=mask))
    data = case["expected"]["data"]

    assert words[: len(data)] == data
    if case["input"]["symbol"] == "1-M":
        assert words[QR_1_M_WORDS[0] :] == case["expected"]["ec"]


@pytest.mark.parametrize("case", of("qr-capacity"))
@pytest.mark.parametrize(("kind", "letter"), [("alnum", "A"), ("byte", "a")])
def test_a_qr_symbol_grows_where_the_standard_says(case, kind, letter):
    """Level M, the one that is printed."""
    holds = case["expected"]["M"][kind]

    assert len(codes.qr(letter * holds)) == case["input"]["modules"]
    assert len(codes.qr(letter * (holds + 1))) == case["input"]["modules"] + 4


@pytest.mark.parametrize(
    ("dpi", "key"), [(203, "200dpi"), (300, "300dpi"), (600, "600dpi")]
)
def test_four_dots_are_what_the_owner_of_the_symbology_says(dpi, key):
    advised = BY_ID["qr-mod"]["expected"][key]

    assert 4 * grid(dpi).mm == pytest.approx(advised, abs=0.01)


@pytest.mark.parametrize("dpi", [203, 300, 600])
@pytest.mark.parametrize("name", LAYOUTS)
def test_modules_of_squares_keep_to_the_advised_four_dots(name, dpi):
    """At 203 dpi the low layouts take three, for want of height; those are read back
    from every stock (test_label_symbols_decode.py). Two would be too few."""
    layout = load_layout(name)
    dots = [grid(dpi).module_dots(one) for one in layout.qr_module_mm]

    if layout.is_small:
        assert max(dots) >= 4
        assert min(dots) >= 2
    else:
        assert min(dots) >= (3 if dpi == 203 else 4)
