"""What scanners and hands type is a code, an action, or neither; never a guess."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.domain.codes import ALPHABET, check_symbol, is_code
from lidclock.scan.payload import (
    ACTIONS,
    ActionRead,
    CodeRead,
    Unread,
    action_text,
    read_payload,
)

CODE = "4F7K2M0"


@pytest.mark.parametrize(
    "typed",
    [
        CODE,
        "4f7k2m0",
        "4F7 K2M0",
        "4F7-K2M0",
        f"{CODE}\r",
        f"{CODE}\t",
        f"  {CODE}\r\n",
        f"]C0{CODE}",
        f"HTTP://LIDCLOCK.LOCAL/C/{CODE}",
        f"]Q1http://lidclock.local/c/{CODE.lower()}",
        "4F7K2MO",
    ],
)
def test_a_code_is_found_however_a_scanner_or_a_hand_puts_it(typed):
    assert read_payload(typed) == CodeRead(CODE)


def test_a_wrong_check_symbol_is_never_guessed_at():
    assert read_payload("4F7K2M1") == Unread("4F7K2M1", "4F7K2M1")


@pytest.mark.parametrize("word", ACTIONS)
def test_an_action_word_is_read_in_any_case_and_behind_an_address(word):
    assert read_payload(word.lower()) == ActionRead(word)
    assert read_payload(f"HTTP://LIDCLOCK.LOCAL/A/{word}") == ActionRead(word)


@pytest.mark.parametrize("typed", ["TO=Fridge 2", "to=Fridge 2", "TO=Fridge%202"])
def test_a_place_goes_with_its_action(typed):
    assert read_payload(typed) == ActionRead("TO", "Fridge 2")


def test_what_an_action_symbol_holds_reads_back():
    assert read_payload(action_text("TO", "3")) == ActionRead("TO", "3")


@pytest.mark.parametrize("text", ["banana", "TO=", "", "https://example.org/x"])
def test_anything_else_stays_unread(text):
    assert isinstance(read_payload(text), Unread)


@given(st.text(alphabet=ALPHABET, min_size=6, max_size=6))
def test_no_action_word_is_mistaken_for_a_code(data):
    code = data + check_symbol(data)

    assert read_payload(code) == CodeRead(code)
    assert code not in ACTIONS


@given(st.text())
def test_whatever_is_scanned_gives_an_answer(text):
    read = read_payload(text)

    is_sound = isinstance(read, ActionRead | Unread) or is_code(read.code)
    assert is_sound
