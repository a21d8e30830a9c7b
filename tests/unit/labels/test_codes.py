"""Symbols as data: what python-barcode and segno are asked for."""

from __future__ import annotations

import pytest
from barcode.codex import Code128

from lidclock.errors import LabelError
from lidclock.labels import codes


@pytest.mark.parametrize(
    "text", ["4F7K2M0", "B1C2D3B", "0006666", "AIM1234", "12345", "0012345", "K123456"]
)
def test_modules_agree_with_the_librarys_own_choice(text):
    """A second opinion where the library is right; it drops a leading 99."""
    assert codes.code128(text) == Code128(text).build()[0]


@pytest.mark.parametrize("text", ["", "é", "A\n", "\x1d"])
def test_text_beyond_printable_ascii_is_refused(text):
    with pytest.raises(LabelError, match="Code 128"):
        codes.code128(text)


def test_a_leading_pair_of_nines_is_kept():
    """Start C, three pairs of 99, to B, "9" (value 25), check, stop.

    105 + 99 + 2*99 + 3*99 + 4*100 + 5*25 = 1224 = 11*103 + 91.
    """
    assert codes.code128_values("9999999") == [105, 99, 99, 99, 100, 25, 91, 106]


def test_runs_cover_the_dark_modules():
    assert codes.runs("1101000111") == [(0, 2), (3, 1), (7, 3)]


def test_an_upper_case_address_makes_a_version_two_symbol():
    assert len(codes.qr("HTTP://LIDCLOCK.LOCAL/C/4F7K2M0")) == 25


def test_an_overlong_text_is_refused():
    with pytest.raises(LabelError, match="QR"):
        codes.qr("x" * 5000)
