import pytest

from lidclock.domain.codes import (
    ALPHABET,
    check_symbol,
    is_code,
    nearest,
    new_code,
    normalise,
    spaced,
)


def test_a_new_code_is_well_formed():
    picks = iter([4, 14, 7, 18, 2, 19])

    code = new_code(lambda _: next(picks))

    assert code == "4F7K2M0"
    assert is_code(code)


def test_symbols_are_picked_from_the_whole_alphabet():
    sizes = []
    new_code(lambda size: sizes.append(size) or 0)

    assert sizes == [28] * 6


@pytest.mark.parametrize(
    "text", ["", "4F7K2M", "4F7K2M00", "4F7K2M1", "4f7k2m0", "4F7K2A0", "OF7K2M0"]
)
def test_what_is_not_a_code_is_not_taken_for_one(text):
    assert not is_code(text)


@pytest.mark.parametrize("typed", ["4f7k2m0", "4F7 K2M0", "4f7-k2mo", "\t4F7K2MO "])
def test_what_a_person_typed_becomes_the_code_they_meant(typed):
    assert normalise(typed) == "4F7K2M0"


def test_letters_like_one_are_read_as_one():
    assert normalise("iL") == "11"


def test_codes_are_read_aloud_in_two_groups():
    assert spaced("4F7K2M0") == "4F7 K2M0"


@pytest.mark.parametrize(
    ("typed", "is_near"),
    [
        ("4F7K2N0", True),
        ("4FK72M0", True),
        ("4F7K2M", True),
        ("4F7K2M00", True),
        ("4F7K2M0", False),
        ("5F7K2N0", False),
        ("M F7K240", False),
        ("4F7", False),
    ],
)
def test_one_slip_finds_the_code_and_two_do_not(typed, is_near):
    assert (nearest(typed, ["4F7K2M0", "BBBBBBB"]) == ["4F7K2M0"]) == is_near


def test_near_codes_come_in_order():
    assert nearest("BB", ["BD", "BC", "DD"]) == ["BC", "BD"]


def test_a_symbol_outside_the_alphabet_has_no_check():
    with pytest.raises(ValueError, match="substring not found"):
        check_symbol("A")


def test_no_symbol_is_easily_misread():
    assert not set(ALPHABET) & set("AILOQUYZ")
    assert len(set(ALPHABET)) == len(ALPHABET) == 28
