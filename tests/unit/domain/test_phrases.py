"""Rows of words: as English writes them, none of them lost, none deep."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.domain.phrases import (
    boxed,
    told_of,
    with_and,
    with_commas,
    with_semicolons,
)
from lidclock.domain.sentences import as_data, from_data


@pytest.mark.parametrize(
    ("parts", "commas", "and_"),
    [
        ([], "", ""),
        (["1"], "1", "1"),
        (["1", "2"], "1, 2", "1 and 2"),
        (["1", "", "2", "3"], "1, 2, 3", "1, 2 and 3"),
    ],
)
def test_a_row_reads_as_english_does(parts, commas, and_):
    assert with_commas(parts) == commas
    assert with_and(parts) == and_
    assert with_semicolons(parts) == commas.replace(",", ";")


@given(st.lists(st.text(min_size=1), max_size=50))
def test_every_part_is_in_it_in_order(parts):
    assert with_commas(parts) == ", ".join(parts)


def test_a_long_row_can_be_kept_and_read_again():
    row = with_commas([f"food {number}" for number in range(5_000)])

    assert from_data(as_data(row)) == row


def test_what_is_told_of_it_and_what_stands_in_brackets():
    assert told_of("stew", boxed("frozen", "house rule")) == "stew: frozen (house rule)"
