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


@pytest.mark.parametrize(
    "text",
    [
        f"{CODE} B1C2D3B",
        f"{CODE}/B1C2D3B",
        f"HTTP://LIDCLOCK.LOCAL/C/{CODE}HTTP://LIDCLOCK.LOCAL/C/B1C2D3B",
        f"HTTP://LIDCLOCK.LOCAL/C/{CODE}/B1C2D3B",
    ],
)
def test_of_two_codes_none_is_picked(text):
    assert isinstance(read_payload(text), Unread)


def test_a_host_that_looks_like_a_code_does_not_hide_the_code():
    assert read_payload(f"HTTP://B1C2D3B.LAN/C/{CODE}") == CodeRead(CODE)


def test_a_code_in_the_middle_of_a_text_is_not_taken_out_of_it():
    assert isinstance(read_payload(f"WIFI:S:{CODE};P:secret;"), Unread)


@pytest.mark.parametrize(
    "text",
    [
        f"https://id.gs1.org/01/09520123456788/10/{CODE}",
        f"(01)09520123456788(10){CODE}",
        f"]C1{CODE}",
    ],
)
def test_no_lot_of_a_supplier_is_mistaken_for_a_code(text):
    assert read_payload(text) == Unread(text.removeprefix("]C1"))


def test_a_letter_with_two_capitals_makes_no_code():
    """SS is the capital of the German sharp s; 0000SS2 would be a code of ours."""
    assert is_code("00SS00" + check_symbol("00SS00"))
    assert isinstance(read_payload("00ß00" + check_symbol("00SS00")), Unread)


def test_letters_that_grow_in_capitals_do_not_cut_an_action_short():
    assert read_payload("ßß/A/USE") == ActionRead("USE")


@pytest.mark.parametrize("word", ["DISCQRD", "FREEWE", "discrad"])
def test_a_changed_action_word_is_no_mistyped_lid(word):
    """Else the action chosen before would stay in force."""
    assert read_payload(word) == Unread(word)


def test_a_host_name_is_no_mistyped_lid():
    assert read_payload("HTTPM!!LIDCLOCK!Q!USE").closest == ""


def test_a_mistyped_code_with_its_gap_is_told():
    assert read_payload("4F7 K2M1").closest == "4F7K2M1"


@pytest.mark.parametrize(
    ("scanned", "number"),
    [
        (CODE, 0),
        (f"HTTP://K.LAN/C/{CODE}", 1),
        (f"http://k.lan/c/{CODE.lower()}/", 1),
        (f"HTTP://K.LAN/C/{CODE}/2", 2),
        (f"HTTP://K.LAN/C/{CODE}/117", 117),
        # A German keyboard: the strokes come out as hyphens.
        (f"HTTP\u00d6--K.LAN-C-{CODE}-2", 2),
    ],
)
def test_an_address_tells_which_label_it_stands_on(scanned, number):
    read = read_payload(scanned)

    assert (read, read.number) == (CodeRead(CODE), number)


@pytest.mark.parametrize("tail", ["/0", "/1", "/02", "/2/3", "/2X", "/12345"])
def test_any_other_tail_is_no_label_of_ours(tail):
    assert isinstance(read_payload(f"HTTP://K.LAN/C/{CODE}{tail}"), Unread)
