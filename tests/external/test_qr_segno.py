"""segno, another's QR encoder (ISO/IEC 18004), is the second opinion on every module.

Many symbols are sums of a few that segno made, in the mask that our own scoring
chooses. segno makes each of them again here, scores all eight masks its own way and
must come to the same symbol, module by module: no tolerance.
"""

from __future__ import annotations

import random

import pytest
import segno
from segno import encoder

from lidclock.labels import codes, linear, masks

ALPHABET = "0123456789BCDEFGHJKMNPRSTVWX"
HEADS = (
    *("HTTP://LIDCLOCK.LOCAL/C/", "HTTP://K.LAN/C/", "HTTP://192.168.178.23:8080/C/"),
    *("HTTPS://KITCHEN.EXAMPLE.ORG/LIDS/C/", "HTTP://lidclock.local/C/"),
)


def by_segno(text: str) -> tuple[bytes, ...]:
    made = segno.make(text, error="m", micro=False, boost_error=False)
    return tuple(bytes(row) for row in made.matrix)


@pytest.mark.parametrize("head", HEADS)
def test_random_codes_get_segnos_symbol(head):
    """300 each, 1,500 in all, some of a container's later labels; the last head takes
    byte mode.
    """
    dice = random.Random(head)
    later = ("", "", "", "/2", "/12")
    texts = [
        head + "".join(dice.choices(ALPHABET, k=7)) + later[n % len(later)]
        for n in range(300)
    ]
    different = [text for text in texts if codes.qr(text) != by_segno(text)]

    assert different == []


def test_most_of_them_came_from_a_table():
    """Else the test above would compare the library with itself."""
    head = "HTTP://TABLE.LAN/C/"
    dice = random.Random(1)
    for _ in range(40):
        codes.qr(head + "".join(dice.choices(ALPHABET, k=7)))

    assert linear.symbol(head + "4F7K2M0", lambda *_: ()) == by_segno(head + "4F7K2M0")


@pytest.mark.parametrize("size", [21, 25, 29, 33, 37, 41])
def test_any_matrix_gets_segnos_score(size):
    """Random ones with patterns planted that look like finders, some overlapping."""
    dice, on = random.Random(size), masks.sheet(size)
    for _ in range(60):
        rows = matrix(dice, size)
        theirs = encoder.evaluate_mask([bytearray(row) for row in rows], size, size)

        assert masks.penalty(on.number(rows), size) == theirs


PLANTED = ("10111010000", "00001011101", "10111011101", "1011101011101", "111110")


def matrix(dice: random.Random, size: int) -> tuple[bytes, ...]:
    rows = [bytearray(dice.choices((0, 1), k=size)) for _ in range(size)]
    for _ in range(size // 2):
        pattern = bytes(map(int, dice.choice(PLANTED)))
        row, at = dice.randrange(size), dice.randrange(size - len(pattern) + 1)
        rows[row][at : at + len(pattern)] = pattern
        if dice.random() < 0.5:
            rows = [bytearray(column) for column in zip(*rows, strict=True)]
    return tuple(map(bytes, rows))
