"""The scores of QR masks, worked out by hand from ISO/IEC 18004, 7.8.3.1."""

from __future__ import annotations

import pytest

from lidclock.labels import codes, masks

SIZE = 21
ON = masks.sheet(SIZE)
LIGHT = bytes(SIZE)
# A chequered matrix has no runs, no blocks and no pattern: 221 of 441 dark, 50.1 %.
CHEQUERED = tuple(
    bytes((row + at + 1) % 2 for at in range(SIZE)) for row in range(SIZE)
)


def score(rows: tuple[bytes, ...]) -> int:
    return masks.penalty(ON.number(rows), SIZE)


def patterns(row: str) -> int:
    """N3 of a light matrix with one such row."""
    modules = bytes(map(int, f"{row:0<{SIZE}}"))
    return masks._n3(ON.number((*[LIGHT] * 10, modules, *[LIGHT] * 10)), ON)


def test_a_matrix_goes_into_a_number_and_out_again():
    assert ON.rows(ON.number(CHEQUERED)) == CHEQUERED


def test_a_chequered_matrix_scores_nothing():
    assert score(CHEQUERED) == 0


@pytest.mark.parametrize("module", [0, 1])
def test_a_plain_matrix_scores_runs_blocks_and_its_imbalance(module):
    """42 runs of 21 at 3 + 16; 20 * 20 blocks at 3; nothing of one colour: 10 * 10."""
    assert score((bytes([module]) * SIZE,) * SIZE) == 42 * 19 + 400 * 3 + 100


@pytest.mark.parametrize(
    ("row", "found"),
    [
        ("000001011101", 1),
        ("100001011101", 1),  # light before
        ("100010111010001", 0),  # three light modules on either side
        ("100010111010000", 1),  # light after
        ("10111011", 1),  # the symbol's edge is as good as light
        ("0" * 13 + "11011101", 1),
        ("0" * 14 + "1011101", 1),
        ("0000101110111010", 1),  # the second begins inside the first
        ("1011101000010111010", 2),
        ("000001011001", 0),
    ],
)
def test_finder_like_patterns_score_forty_each(row, found):
    assert patterns(row) == 40 * found


def test_rows_and_columns_score_alike():
    lined = tuple(
        bytes((row * at) % 3 % 2 for at in range(SIZE)) for row in range(SIZE)
    )
    turned = tuple(bytes(column) for column in zip(*lined, strict=True))
    uneven = (*lined[:10], *CHEQUERED[10:])
    other_way = tuple(bytes(column) for column in zip(*uneven, strict=True))

    assert turned == lined
    assert score(uneven) == score(other_way) > 0


def masked(mask: int) -> int:
    """A symbol in a mask, without format information."""
    rows = [bytearray(row) for row in codes.qr("4F7K2M0", mask=mask)]
    assert len(rows) == SIZE
    for at in (*range(6), 7, 8, *range(SIZE - 8, SIZE)):
        rows[8][at] = rows[at][8] = 0
    return ON.number(tuple(map(bytes, rows)))


def test_the_lowest_score_is_chosen():
    numbers = [masked(mask) for mask in range(masks.MASKS)]
    scores = [masks.penalty(number, SIZE) for number in numbers]

    assert masks.best(numbers, SIZE) == scores.index(min(scores))
    assert len(set(scores)) > 1


def test_the_first_of_equal_masks_is_chosen():
    numbers = [masked(mask) for mask in range(masks.MASKS)]
    lowest = min(numbers, key=lambda number: masks.penalty(number, SIZE))
    others = [number for number in numbers if number != lowest]

    assert masks.best([others[0], lowest, lowest, others[1]], SIZE) == 1
