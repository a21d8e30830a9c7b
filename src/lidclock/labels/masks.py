"""Which of a QR symbol's masks is best, with all modules looked at in one operation.

A matrix is a whole number, one bit a module, 1 dark. Four light modules follow each
row, four light rows come before the first: nothing is taken for the continuation of
something else, and what lies outside is as light as the standard wants it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

MASKS = 8
# ISO/IEC 18004, 7.8.3.1: the scores N1 to N4.
_RUN, _BLOCK, _FINDER, _BALANCE = 3, 3, 40, 10
# N3: so many light modules before or after the pattern.
_CLEAR = 4
# Each finder of a symbol shows the pattern on three rows and on three columns, clear on
# one side at least; what hides one of them counts in its stead.
_OWN_FINDERS = 3 * (3 + 3) * _FINDER
_HIGHEST = 10**9
# N4: the score rises with every five per cent away from half dark.
_HALF, _STEP = 50, 5
_AS_DIGITS = bytes(ord("0") + (one & 1) for one in range(256))
_AS_MODULES = bytes(one & 1 for one in range(256))


@dataclass(frozen=True, slots=True)
class Sheet:
    """Where the modules of a matrix lie in a number.

    `first` is the first module, `stride` leads to the one below. Fields have ones where
    there is a module with another to its right (`beside`), with another below it
    (`below`), and, far round about, `everywhere`.
    """

    size: int
    stride: int
    first: int
    beside: int
    below: int
    everywhere: int

    def number(self, rows: tuple[bytes, ...]) -> int:
        """A matrix given as rows of modules."""
        text = bytes(_CLEAR).join(rows)[::-1].translate(_AS_DIGITS)
        return int(text, 2) << self.first

    def rows(self, number: int) -> tuple[bytes, ...]:
        """The rows of modules of a matrix."""
        size, stride = self.size, self.stride
        text = f"{number >> self.first:0{size * stride}b}".encode("ascii")
        modules = text.translate(_AS_MODULES)[::-1]
        return tuple(
            [modules[at : at + size] for at in range(0, size * stride, stride)]
        )


@cache
def sheet(size: int) -> Sheet:
    """The sheet for matrices of that many modules a side."""
    stride = size + _CLEAR
    first = _CLEAR * stride

    def field(wide: int, tall: int) -> int:
        row = ((1 << wide) - 1) << first
        return sum(row << n * stride for n in range(tall))

    return Sheet(
        *(size, stride, first),
        beside=field(size - 1, size),
        below=field(size, size - 1),
        everywhere=(1 << first + (size + _CLEAR) * stride) - 1,
    )


def best(symbols: Iterable[int], size: int) -> int:
    """The mask ISO/IEC 18004, 7.8.3 chooses: the lowest score, the first of equals.

    The symbols, one for each mask, must not bear any format information yet.
    """
    on = sheet(size)
    listed = list(symbols)
    # N3 costs most: masks that it could only make worse than the best are left out.
    sums = sorted((_without_n3(one, on), mask) for mask, one in enumerate(listed))
    lowest, chosen = _HIGHEST, 0
    for least, mask in sums:
        if least + _OWN_FINDERS > lowest:
            break
        score = least + _n3(listed[mask], on)
        if (score, mask) < (lowest, chosen):
            lowest, chosen = score, mask
    return chosen


def penalty(matrix: int, size: int) -> int:
    """The score of a matrix: N1 to N4 added up."""
    on = sheet(size)
    return _without_n3(matrix, on) + _n3(matrix, on)


def _without_n3(matrix: int, on: Sheet) -> int:
    stride, everywhere = on.stride, on.everywhere
    like_right = (matrix ^ matrix >> 1 ^ everywhere) & on.beside
    like_below = (matrix ^ matrix >> stride ^ everywhere) & on.below
    blocks = like_right & like_right >> stride & like_below
    score = _BLOCK * blocks.bit_count() + _imbalance(matrix.bit_count(), on.size)
    for like, step in ((like_right, 1), (like_below, stride)):
        # N1: a run of five is four alike in a row; each further one adds one. What
        # follows another such four is no run of its own.
        pairs = like & like >> step
        fives = pairs & pairs >> 2 * step
        following = fives & fives << step
        runs = fives.bit_count() - following.bit_count()
        score += _RUN * runs + following.bit_count()
    return score


def _n3(matrix: int, on: Sheet) -> int:
    light = matrix ^ on.everywhere
    rows, columns = (_finders(matrix, light, step) for step in (1, on.stride))
    return _FINDER * (rows.bit_count() + columns.bit_count())


def _finders(dark: int, light: int, step: int) -> int:
    """Where a counted pattern of N3 begins, along rows (step 1) or columns.

    Dark, light, three dark, light, dark; four light modules before or after it.
    """
    far = 2 * step
    found = dark & dark >> far & dark >> 3 * step & dark >> 2 * far & dark >> 3 * far
    found &= light >> step & light >> 5 * step
    pairs = light & light >> step
    clear = pairs & pairs >> far
    found &= clear << 2 * far | clear >> 7 * step
    left = found
    while True:
        # A pattern that was counted hides one that begins inside it: the fourth and the
        # sixth module on are where one can.
        hidden = found & (left << 2 * far | left << 3 * far)
        if left == found ^ hidden:
            return left
        left = found ^ hidden


@cache
def _imbalance(dark: int, size: int) -> int:
    """N4 of a matrix with so many dark modules."""
    percent = float(dark) / size**2 * 100
    return _BALANCE * int(abs(percent - _HALF) / _STEP)
