"""People, passwords and codes: what is kept of them, and how often one may try."""

from datetime import timedelta

import pytest

from lidclock.app.attempts import FREE_TRIES, wait_after
from lidclock.app.passwords import Cost, checked_password, hashed, is_right, token_hash
from lidclock.domain.people import checked_code, checked_name
from lidclock.errors import InputError

CHEAP = Cost(4)


def test_a_secret_is_told_by_what_is_kept_and_not_read_from_it():
    kept = hashed("three loaves", CHEAP)

    assert is_right("three loaves", kept)
    assert not is_right("three loave", kept)
    assert not is_right("", kept)
    assert "loaves" not in kept
    assert kept.startswith("scrypt$4$8$1$")


def test_the_same_secret_is_kept_differently_each_time():
    assert hashed("three loaves", CHEAP) != hashed("three loaves", CHEAP)


@pytest.mark.parametrize("kept", ["", "x", "scrypt$4$8$1$", "md5$1$1$1$YQ==$YQ=="])
def test_nothing_is_right_where_nothing_is_kept(kept):
    assert not is_right("", kept)
    assert not is_right("x", kept)


def test_accents_typed_in_two_ways_are_one_secret():
    """U+00E9, and an e with U+0301: one keyboard sends this, another that."""
    kept = hashed("caf\u00e9 au lait", CHEAP)

    assert is_right("cafe\u0301 au lait", kept)


@pytest.mark.parametrize("text", ["", "short", "x" * 257])
def test_a_password_of_a_wrong_length_is_refused(text):
    with pytest.raises(InputError, match="10 to 256"):
        checked_password(text)


def test_a_token_is_kept_as_its_hash():
    assert token_hash("a") != token_hash("b")
    assert len(token_hash("a")) == 64


def test_four_tries_are_free_and_then_the_wait_doubles_up_to_eight_hours():
    minutes = [wait_after(wrong) / timedelta(minutes=1) for wrong in range(1, 17)]

    assert minutes[:4] == [0, 0, 0, 0]
    assert minutes[4:8] == [1, 2, 4, 8]
    assert minutes[-2:] == [480, 480]
    assert wait_after(10**9) == timedelta(hours=8)
    assert FREE_TRIES == 5


@pytest.mark.parametrize("text", ["0001", " 4826 ", "9911"])
def test_a_code_is_four_digits(text):
    assert checked_code(text) == text.strip()


@pytest.mark.parametrize(
    "text", ["0000", "1234", "7890", "4321", "482", "48 26", "48\uff126"]
)
def test_other_codes_are_refused(text):
    with pytest.raises(InputError):
        checked_code(text)


def test_a_name_is_on_one_line_and_composed():
    assert checked_name("  Ilse \n e\u0301 ", "a handle") == "Ilse \u00e9"


@pytest.mark.parametrize("text", ["", "\u200b", "a\u2066b", "x" * 25, "\x1b[2J"])
def test_a_name_that_cannot_be_seen_is_refused(text):
    with pytest.raises(InputError, match="cannot be a handle"):
        checked_name(text, "a handle")
