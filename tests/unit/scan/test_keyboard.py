"""A set-up line is learnt whole, or refused with the reason."""

import pytest

from lidclock.domain.codes import ALPHABET
from lidclock.errors import InputError
from lidclock.scan.keyboard import SET_UP_TEXT, UNLEARNED, is_set_up, learn

SWAP = str.maketrans("YZyz-/", "ZYzyß-")
SWAPPED = SET_UP_TEXT.translate(SWAP)


def refusal(typed):
    with pytest.raises(InputError) as caught:
        learn(typed)
    return str(caught.value)


def test_the_set_up_symbol_holds_every_symbol_of_a_code_and_of_an_address():
    assert set(ALPHABET) <= set(SET_UP_TEXT)
    assert set("HTTP://LIDCLOCK.LOCAL:8000/C/-%TO=]") <= set(SET_UP_TEXT)


def test_it_can_be_drawn_in_bars():
    assert all(" " < symbol <= "~" for symbol in SET_UP_TEXT)


def test_a_host_that_changes_nothing_is_plain():
    keymap = learn(SET_UP_TEXT)

    assert keymap.is_plain
    assert keymap.layout == "a US keyboard"
    assert keymap.undo("4F7K2M0 größe") == "4F7K2M0 größe"


@pytest.mark.parametrize("end", ["\r", "\r\n", "\t", " \n"])
def test_the_suffix_is_no_part_of_it(end):
    assert learn(SWAPPED + end).typed == SWAPPED


def test_what_was_swapped_is_undone():
    keymap = learn(SWAPPED)

    assert keymap.undo("HTTP:--ZOO-C-4F7K2M0") == "HTTP://YOO/C/4F7K2M0"
    assert keymap.undo("zy") == "yz"
    assert keymap.moved == 4


def test_controls_and_blanks_stay():
    assert learn(SWAPPED).undo("Z\x1d Z\r") == "Y\x1d Y\r"


@pytest.mark.parametrize("seen", ["ä", ",", "#", "€"])
def test_a_key_that_was_not_shown_is_not_guessed(seen):
    assert learn(SWAPPED).undo(f"4{seen}7") == f"4{UNLEARNED}7"


def test_the_small_letter_of_a_key_that_held_a_mark_is_not_guessed():
    """Where : arrives as M, a small m is the key of ; and not of a letter."""
    keymap = learn(SET_UP_TEXT.translate(str.maketrans("M:", "§M")))

    assert keymap.undo("M") == ":"
    assert keymap.undo("m") == UNLEARNED


def test_an_aim_identifier_in_front_is_known_by_what_it_means():
    typed = ("]Q1" + SET_UP_TEXT).translate(str.maketrans("]$AQ", "$]QA"))

    assert learn(typed).undo("$A]") == "]Q$"


def test_anything_else_in_front_is_refused():
    assert "came before the set-up symbol" in refusal("abc" + SWAPPED)


def test_a_mark_that_a_host_swallows_at_the_end_is_told():
    keymap = learn(SWAPPED.removesuffix("="))

    assert keymap.lost == "="
    assert learn(SWAPPED).lost == ""


def test_a_line_without_anything_is_refused():
    assert refusal("\r\n").startswith("nothing arrived")


@pytest.mark.parametrize("lost", [2, 10, 40])
def test_an_incomplete_line_is_refused_with_the_count(lost):
    told = refusal(SWAPPED[:-lost])

    assert "incomplete" in told
    assert f"{len(SWAPPED) - lost} characters instead of {len(SWAPPED)}" in told


def test_two_scans_in_one_line_are_refused():
    assert "too long" in refusal(SWAPPED + SWAPPED)


def test_a_line_that_lost_its_first_character_contradicts_itself():
    assert "contradicts itself" in refusal(SWAPPED[1:] + "x")
    assert "contradicts itself" in refusal("x" + SWAPPED[:-1])


@pytest.mark.parametrize("other", "0M/")
def test_two_symbols_that_arrive_alike_are_refused(other):
    told = refusal(SET_UP_TEXT.replace(other, "X"))

    assert "both arrived as 'X'" in told


def test_caps_lock_is_asked_to_be_off():
    assert "Caps Lock is on" in refusal(SET_UP_TEXT.lower())


def test_a_letter_and_its_accent_count_as_one():
    """Some hosts send the accent on its own: the same letter in another spelling."""
    whole = SET_UP_TEXT.replace("-", "\u00e9")

    assert learn(whole.replace("\u00e9", "e\u0301")).typed == whole
    assert learn(whole).undo("4e\u03017") == "4-7"


@pytest.mark.parametrize(
    ("moved", "name"),
    [
        (("YZ", "ZY"), "QWERTZ"),
        (("AQWZM:", "QAZW:M"), "AZERTY"),
        (("/-", "-/"), "QWERTY with other marks"),
        (("BN", "NB"), "a layout of its own"),
    ],
)
def test_the_layout_it_looks_like_is_named(moved, name):
    keymap = learn(SET_UP_TEXT.translate(str.maketrans(*moved)))

    assert keymap.layout.startswith(name)


def test_the_set_up_symbol_is_known_on_any_host():
    assert is_set_up(SET_UP_TEXT)
    assert is_set_up(SWAPPED + "\r")
    assert not is_set_up("4F7K2M0")
    assert not is_set_up("X" * len(SET_UP_TEXT))
