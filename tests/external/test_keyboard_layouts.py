"""What German and French hosts make of a scanner that types as on a US keyboard.

Documented (data/gs1_checks.json, case kb-univ): what a USB scanner typed on a German
host for https://www.youtube.com/watch?v=; Y and Z swap, the marks / : ? = arrive as
- Ö _ and an acute accent. From memory, unverified: that the other German marks
- * & _ ] arrive as ß ( / ? +, and everything about AZERTY (A and Q, W and Z swap, M
moves to the key of the comma, digits are typed without Shift).
"""

import json
import random
from pathlib import Path

import pytest

from lidclock.domain.codes import ALPHABET, check_symbol
from lidclock.scan.keyboard import SET_UP_TEXT, learn
from lidclock.scan.payload import ActionRead, CodeRead, Unread
from lidclock.scan.reading import read_line

DATA = Path(__file__).parent / "data" / "gs1_checks.json"
CASES = {case["id"]: case for case in json.loads(DATA.read_text("utf-8"))}
DOCUMENTED = dict(zip("YZyz/:?=", "ZYzy-Ö_\N{ACUTE ACCENT}", strict=True))
GERMAN = str.maketrans(DOCUMENTED | dict(zip("-*&_]", "ß(/?+", strict=True)))
FRENCH = str.maketrans(
    dict(zip("0123456789", "à&é\"'(-è_ç", strict=True))
    | dict(zip("AQWZMaqwzm", "QAZW?qazw,", strict=True))
    | dict(zip("-./:%$*&?_]", "):!M5487§°$", strict=True))
)
LAYOUTS = {"QWERTZ": GERMAN, "AZERTY": FRENCH}
YEAR = 2026
each_layout = pytest.mark.parametrize("name", LAYOUTS)


def on(name, text):
    """What the host shows of `text` from a scanner."""
    return text.translate(LAYOUTS[name])


def codes(count=500):
    pick = random.Random(28)
    for _ in range(count):
        data = "".join(pick.choices(ALPHABET, k=6))
        yield data + check_symbol(data)


def test_the_documented_line_is_undone():
    """The original as the case's input gives it, behind the colon."""
    case = CASES["kb-univ"]
    original = case["input"].partition("host: ")[2]
    arrived = case["expected"].split()[0]

    keymap = learn(on("QWERTZ", SET_UP_TEXT))

    assert arrived.startswith("httpsÖ--www.zoutube")
    assert keymap.undo(arrived) == original


@each_layout
def test_the_layout_is_named(name):
    assert learn(on(name, SET_UP_TEXT)).layout.startswith(name)


@each_layout
def test_every_code_and_address_is_recovered(name):
    keymap = learn(on(name, SET_UP_TEXT))
    for code in codes():
        for text in (code, f"HTTP://LIDCLOCK.LOCAL/C/{code}", f"]C0{code}"):
            assert read_line(on(name, text), YEAR, keymap) == CodeRead(code)


@each_layout
def test_every_action_is_recovered(name):
    keymap = learn(on(name, SET_UP_TEXT))
    for word in ("FREEZE", "THAW", "OPEN", "USE", "DISCARD", "UNDO", "DONE"):
        scanned = on(name, f"HTTP://LIDCLOCK.LOCAL/A/{word}")

        assert read_line(scanned, YEAR, keymap) == ActionRead(word)

    assert read_line(on(name, "TO=2"), YEAR, keymap) == ActionRead("TO", "2")


@each_layout
def test_a_suppliers_symbol_is_recovered_its_lot_included(name):
    keymap = learn(on(name, SET_UP_TEXT))
    scanned = on(name, "]C1010950110153000317261231") + on(name, "10YZ-W1M")

    pack = read_line(scanned, YEAR, keymap)

    assert (pack.gtin, pack.lot) == ("09501101530003", "YZ-W1M")


@each_layout
def test_without_the_map_no_code_is_read_as_another(name):
    """The alphabet leaves out the letters that swap among themselves."""
    for code in codes(3000):
        read = read_line(on(name, code), YEAR)

        assert read == CodeRead(code) or isinstance(read, Unread)


@each_layout
def test_with_the_map_codes_typed_by_hand_still_count(name):
    keymap = learn(on(name, SET_UP_TEXT))
    for code in codes():
        assert read_line(code, YEAR, keymap) == CodeRead(code)
        assert read_line(f"{code[:3]} {code[3:]}", YEAR, keymap) == CodeRead(code)


def test_a_german_host_leaves_every_code_as_it_is():
    assert [code for code in codes() if on("QWERTZ", code) != code] == []
