"""Tables of QR symbols: which texts share one, and when none is trusted."""

from __future__ import annotations

import pytest

from lidclock.labels import codes, linear

HEAD = "HTTP://LIDCLOCK.LOCAL/C/"


def library(text: str, mask: int | None) -> linear.Rows:
    """The library's own symbols."""
    return codes.library_qr(text, mask)


def test_codes_of_one_kitchen_share_a_table():
    assert linear.parts(HEAD + "4F7K2M0") == linear.parts(HEAD + "WXVT5R4")


def test_so_do_all_labels_of_their_containers():
    """What follows the code is the label's number."""
    texts = [HEAD + code for code in ("4F7K2M0/2", "WXVT5R4/9")]
    table = linear.learn(texts[0], library)

    assert linear.parts(texts[0]) == linear.parts(texts[1])
    assert table.symbol(texts[1]) == library(texts[1], None)


@pytest.mark.parametrize(
    "text",
    [
        *("", "4F7", "4F7K2M0", "A4F7K2M0", "12345678901"),
        *("1234567/C/4F7K", "http://lidclock.local/C/4F7K2M0", HEAD + "4F_2M0"),
    ],
)
def test_texts_without_a_table_are_left_to_the_library(text):
    """Too short, in another mode, or in one that noughts in their place would be in."""
    assert linear.parts(text) is None


@pytest.mark.parametrize("head", [HEAD, HEAD[:-1]])
def test_a_table_makes_the_librarys_symbols(head):
    """An odd length leaves five pairs and a single character, an even one six pairs."""
    table = linear.learn(head + "4F7K2M0", library)

    assert table is not None
    for code in ("0000000", "ZZZZZZZ", "1234567", "WXVT5R4"):
        assert table.symbol(head + code) == library(head + code, None)


def test_a_table_that_is_not_the_librarys_is_not_used():
    def other(text: str, mask: int | None) -> linear.Rows:
        """Chooses the first mask always, where the table chooses the best."""
        return library(text, mask or 0)

    text = next(
        text
        for text in (HEAD + f"B1C2D3{one}" for one in "BCDFGHJK")
        if library(text, None) != library(text, 0)
    )

    assert linear.learn(text, other) is None


def test_symbols_that_tell_their_version_have_no_table():
    """From version 7 on: 45 modules a side."""
    assert linear.learn("A" * 170, library) is None


def test_the_first_few_symbols_are_the_librarys():
    """A table is not learnt for them: it costs as much as ten."""
    asked = []

    def counting(text: str, mask: int | None) -> linear.Rows:
        asked.append(mask)
        return library(text, mask)

    linear._kind.cache_clear()
    made = [linear.symbol(f"HTTP://K.LAN/C/4F7K2M{one}", counting) for one in "012345"]

    assert made[:5] == [None] * 5
    assert made[5] == library("HTTP://K.LAN/C/4F7K2M5", None)
    assert asked[-1] is None
