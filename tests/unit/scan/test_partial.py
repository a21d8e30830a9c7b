"""Part of a code: every code that fits it has a right check symbol."""

import pytest

from lidclock.domain.codes import is_code
from lidclock.scan.partial import completions, differences, gaps, read_pattern


@pytest.mark.parametrize(
    ("typed", "pattern"),
    [
        ("4F7?2M0", "4F7?2M0"),
        ("4f7 ?2mo", "4F7?2M0"),
        ("4F7K2M0", "4F7K2M0"),
        ("??????0", "??????0"),
    ],
)
def test_seven_symbols_are_a_pattern(typed, pattern):
    assert read_pattern(typed) == pattern


@pytest.mark.parametrize(
    "typed", ["4F7", "???????", "4F7Z2M0", "4F7K2M0?", "bean stew"]
)
def test_anything_else_is_none(typed):
    assert read_pattern(typed) is None


def test_one_unread_symbol_leaves_one_code():
    """4F7K2M0 is the noted example of ISO 7064 MOD 29,28 (labels, section 4)."""
    assert list(completions("4F7?2M0")) == ["4F7K2M0"]
    assert list(completions("4F7K2M?")) == ["4F7K2M0"]


def test_two_unread_symbols_leave_several_codes_all_of_them_sound():
    found = list(completions("4F7??M0"))

    assert "4F7K2M0" in found
    assert len(found) > 1
    assert all(is_code(code) for code in found)


def test_a_code_read_whole_completes_to_itself_or_to_nothing():
    assert list(completions("4F7K2M0")) == ["4F7K2M0"]
    assert list(completions("4F7K2M1")) == []


def test_only_symbols_that_were_read_can_differ():
    assert differences("4F7?2M0", "4F7K2M0") == 0
    assert differences("4F7?2M0", "4F8K3M0") == 2
    assert gaps("4F??2M0") == 2
