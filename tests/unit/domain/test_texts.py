"""Texts that people type: what is left out, what is refused, what stays."""

import pytest

from lidclock.domain.texts import LONGEST_TEXT, check_texts, one_line
from lidclock.errors import InputError


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        *(("  too  old\r\n", "too old"), ("", ""), ("\u200b \ufeff", "")),
        *(("L\u202e12\u0000", "L12"), ("نیم‌روز", "نیم‌روز"), ("🧂 gone", "🧂 gone")),
    ],
)
def test_a_line_holds_what_can_be_seen(typed, kept):
    assert one_line(typed, "the reason") == kept


@pytest.mark.parametrize("typed", ["x" * 201, "half \ud800"])
def test_a_line_that_cannot_be_kept_is_refused_by_its_name(typed):
    with pytest.raises(InputError, match="the reason"):
        one_line(typed, "the reason")


@pytest.mark.parametrize(
    "value",
    [
        "\u202e1",
        {"a": ["\u0000"]},
        {"\u2066": 1},
        ("\udfff",),
        "x" * (LONGEST_TEXT + 1),
    ],
)
def test_no_part_of_a_fact_may_hold_what_nothing_can_show(value):
    with pytest.raises(InputError, match="write"):
        check_texts(value)


@pytest.mark.parametrize(
    "value",
    ["two\nlines", {"a": [1, None, 2.5, True, "\u0645\u200f 12"]}, "x" * LONGEST_TEXT],
)
def test_whatever_can_be_shown_is_taken(value):
    check_texts(value)
