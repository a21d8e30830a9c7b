"""ISO/IEC 7064 hybrid systems: published examples and python-stdnum 2.2.

data/iso7064_check_symbols.json: the MOD 11,10 and MOD 37,36 values are the documented
examples of python-stdnum (stdnum.iso7064.mod_11_10, mod_37_36); the MOD 29,28 and
MOD 31,30 values were computed with the same library over smaller alphabets.
"""

import json
import random
from itertools import product
from pathlib import Path

import pytest
from stdnum.iso7064 import mod_11_10, mod_37_36

from lidclock.domain.codes import ALPHABET, check_symbol, is_code

DATA = Path(__file__).parent / "data" / "iso7064_check_symbols.json"
CASES = {case["id"]: case for case in json.loads(DATA.read_text("utf-8"))}
DIGITS = "0123456789"
DIGITS_AND_CAPITALS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
SMALL = [case for case in CASES.values() if case["topic"] == "iso7064-hybrid-small"]


@pytest.mark.parametrize("case", SMALL, ids=lambda case: case["id"])
def test_smaller_alphabets_agree_with_the_noted_symbols(case):
    result = check_symbol(case["input"]["data"], case["input"]["alphabet"])

    assert result == case["expected"]


def test_our_alphabet_is_the_one_of_the_noted_symbols():
    noted = {x["input"]["alphabet"] for x in SMALL if "29-28" in x["id"]}

    assert noted == {ALPHABET}


def test_the_published_mod_37_36_example_holds():
    case = CASES["iso7064-37-36"]

    assert check_symbol(case["input"], DIGITS_AND_CAPITALS) == case["expected"]


def test_the_published_mod_11_10_example_holds():
    case = CASES["iso7064-11-10"]
    data = case["input"].removesuffix(case["expected"])

    assert check_symbol(case["input"], DIGITS) == case["expected"]
    assert mod_11_10.calc_check_digit(data) == check_symbol(data, DIGITS)


@pytest.mark.parametrize("alphabet", [ALPHABET, DIGITS_AND_CAPITALS, DIGITS])
def test_the_reference_library_finds_the_same_symbol(alphabet):
    pick = random.Random(7064)
    for _ in range(5000):
        data = "".join(pick.choices(alphabet, k=pick.randint(1, 9)))

        assert check_symbol(data, alphabet) == mod_37_36.calc_check_digit(
            data, alphabet=alphabet
        )


def test_every_single_substitution_is_caught():
    """300 codes, 7 places, 27 wrong symbols each: 56,700 slips, none passes."""
    pick = random.Random(2003)
    passed = 0
    for _ in range(300):
        data = "".join(pick.choices(ALPHABET, k=6))
        code = data + check_symbol(data)
        for place, symbol in product(range(7), ALPHABET):
            slip = code[:place] + symbol + code[place + 1 :]
            passed += slip != code and is_code(slip)

    assert passed == 0


def test_nearly_every_swap_of_neighbours_is_caught():
    """ISO/IEC 7064 does not promise all of them for hybrid systems; measured here."""
    pick = random.Random(1957)
    tried = passed = 0
    for _ in range(3000):
        data = "".join(pick.choices(ALPHABET, k=6))
        code = data + check_symbol(data)
        for i in range(6):
            slip = code[:i] + code[i + 1] + code[i] + code[i + 2 :]
            tried += slip != code
            passed += slip != code and is_code(slip)

    assert passed / tried < 0.01
