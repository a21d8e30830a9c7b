"""Matrix symbols read by the book, without any library: modules to codewords to text.

Data Matrix ECC 200 as ISO/IEC 16022 places and checks it (Annex F, module placement;
Annex E, Reed-Solomon over GF(256) with 301 and roots 2^1 and on), square symbols of one
region; QR version 1 as ISO/IEC 18004 does (generator over 285 with roots 2^0 and on,
single block). Enough for what a lid bears; the standards' own figures check it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

Rows = Sequence[Sequence[int]]
Cell = tuple[int, int]
# Data and error codewords by how many modules wide the symbol is.
DATA_MATRIX_WORDS = {10: (3, 5), 12: (5, 7), 14: (8, 10), 16: (12, 12), 18: (18, 14)}
QR_1_M_WORDS = (16, 10)
_DATA_MATRIX_FIELD, _QR_FIELD = 301, 285
_PAD, _PAIRS, _ASCII = 129, range(130, 230), 254
_C40, _X12, _EDIFACT = 230, 238, 240
_EDIFACT_END = 31
# The usual shape of a codeword: how far up and left of its lowest bit each bit lies.
_UTAH = ((2, 2), (2, 1), (1, 2), (1, 1), (1, 0), (0, 2), (0, 1), (0, 0))
_C40_SET = {3: " "} | {4 + n: str(n) for n in range(10)}
_C40_SET |= {14 + n: chr(ord("A") + n) for n in range(26)}


def data_matrix_words(rows: Rows) -> list[int]:
    """The codewords of a Data Matrix; AssertionError if finder or checks are wrong."""
    side = len(rows)
    assert all(row[0] for row in rows), "the left bar is broken"
    assert all(rows[-1]), "the bottom bar is broken"
    assert list(rows[0]) == [n % 2 == 0 for n in range(side)], "the top is not timed"
    assert [row[-1] for row in rows] == [n % 2 for n in range(side)], "the right is not"
    inner = [row[1:-1] for row in rows[1:-1]]
    data, checks = DATA_MATRIX_WORDS[side]
    words = [0] * (data + checks)
    for (row, column), (word, bit) in _placed(side - 2).items():
        words[word] |= inner[row][column] << (7 - bit)
    _check(words, checks, _DATA_MATRIX_FIELD, first_root=1)
    return words


def data_matrix_text(rows: Rows) -> str:
    """The text of a Data Matrix in ASCII, digit pairs, C40, X12 (letters and digits
    of both) and EDIFACT."""
    words = data_matrix_words(rows)[: DATA_MATRIX_WORDS[len(rows)][0]]
    text = ""
    while words and words[0] != _PAD:
        word = words.pop(0)
        if word in (_C40, _X12):
            text += _c40(words)
        elif word == _EDIFACT:
            text += _edifact(words)
        elif word in _PAIRS:
            text += f"{word - _PAIRS.start:02}"
        else:
            assert 1 <= word <= 128, f"codeword {word} is not read here"
            text += chr(word - 1)
    return text


def _c40(words: list[int]) -> str:
    """Takes pairs of codewords off the front, three characters each."""
    text = ""
    while len(words) > 1 and words[0] != _ASCII:
        value = words.pop(0) * 256 + words.pop(0) - 1
        three = (value // 1600, value // 40 % 40, value % 40)
        # A single 0 (shift 1) fills up the last three.
        text += "".join(_C40_SET[one] for one in three if one)
    if words and words[0] == _ASCII:
        words.pop(0)
    return text


def _edifact(words: list[int]) -> str:
    """Takes three codewords at a time off the front, four characters each."""
    text = ""
    while len(words) > 2:
        whole = (words.pop(0) << 16) + (words.pop(0) << 8) + words.pop(0)
        for value in (whole >> shift & 63 for shift in (18, 12, 6, 0)):
            if value == _EDIFACT_END:
                return text
            text += chr(value if value >= 32 else value + 64)
    return text


def _placed(side: int) -> dict[Cell, tuple[int, int]]:
    """For each module of the mapping matrix, its codeword and bit (0 the highest)."""
    places: dict[Cell, tuple[int, int]] = {}
    word = 0
    for shape in _shapes(side):
        last = shape[-1]
        if last not in places:
            for bit, cell in enumerate(shape):
                places[_wrapped(*cell, side)] = (word, bit)
            word += 1
    return places


def _wrapped(row: int, column: int, side: int) -> Cell:
    """Where a module that sticks out at the top or the left comes in again."""
    if row < 0:
        row, column = row + side, column + 4 - (side + 4) % 8
    if column < 0:
        row, column = row + 4 - (side + 4) % 8, column + side
    return row, column


def _shapes(side: int) -> Iterator[list[Cell]]:
    """The eight modules of each codeword, the lowest bit last."""
    for row, column, is_first in _diagonals(side):
        if is_first:
            yield from _corner(row, column, side)
        if 0 <= row < side and 0 <= column < side:
            yield [(row - up, column - left) for up, left in _UTAH]


def _diagonals(side: int) -> Iterator[tuple[int, int, bool]]:
    """The way through the mapping matrix: up and to the right, then down and back."""
    row, column = 4, 0
    while row < side or column < side:
        is_first = True
        while row >= 0 and column < side:
            yield row, column, is_first
            row, column, is_first = row - 2, column + 2, False
        row, column = row + 1, column + 3
        while row < side and column >= 0:
            yield row, column, False
            row, column = row + 2, column - 2
        row, column = row + 3, column + 1


def _corner(row: int, column: int, side: int) -> Iterator[list[Cell]]:
    """The two codewords of odd shape that squares of one region have."""
    end = side - 1
    if (row, column) == (side, 0):
        yield [(end, 0), (end, 1), (end, 2), (0, end - 1), *_right(end, 4)]
    if (row, column) == (side - 2, 0) and side % 4:
        top = [(0, end - 3), (0, end - 2), (0, end - 1)]
        yield [(end - 2, 0), (end - 1, 0), (end, 0), *top, *_right(end, 2)]


def _right(end: int, count: int) -> list[Cell]:
    """The topmost modules of the last column."""
    return [(row, end) for row in range(count)]


def qr_words(rows: Rows) -> list[int]:
    """The codewords of a QR symbol of version 1, level M, unmasked and checked."""
    side = len(rows)
    assert side == 21, "version 1 only"
    mask = _mask(rows)
    bits = [
        rows[row][column] ^ _masks(mask, row, column)
        for row, column in _path(side)
        if not _is_function(row, column, side)
    ]
    words = [int("".join(map(str, bits[n : n + 8])), 2) for n in range(0, len(bits), 8)]
    _check(words, QR_1_M_WORDS[1], _QR_FIELD, first_root=0)
    return words


def _mask(rows: Rows) -> int:
    """The mask's number out of the format beside the upper left finder."""
    format_bits = [rows[8][column] for column in (0, 1, 2, 3, 4)]
    level = (format_bits[0] ^ 1, format_bits[1] ^ 0)
    assert level == (0, 0), "level M is 00"
    number = zip(format_bits[2:], (1, 0, 1), strict=True)
    return int("".join(str(bit ^ fixed) for bit, fixed in number), 2)


def _masks(mask: int, row: int, column: int) -> int:
    """1 where the mask turns a module round."""
    rules = (
        (row + column) % 2,
        row % 2,
        column % 3,
        (row + column) % 3,
        (row // 2 + column // 3) % 2,
        row * column % 2 + row * column % 3,
        (row * column % 2 + row * column % 3) % 2,
        ((row + column) % 2 + row * column % 3) % 2,
    )
    return int(rules[mask] == 0)


def _path(side: int) -> Iterator[tuple[int, int]]:
    """Modules in the order of their bits: pairs of columns, up and down in turn."""
    is_up = True
    for right in [*range(side - 1, 6, -2), *range(5, 0, -2)]:
        for step in range(side):
            row = side - 1 - step if is_up else step
            yield from ((row, right), (row, right - 1))
        is_up = not is_up


def _is_function(row: int, column: int, side: int) -> bool:
    """Finders with their separators and formats, and the two timing patterns."""
    low = side - 8
    corner = (row < 9 and (column < 9 or column >= low)) or (row >= low and column < 9)
    return corner or row == 6 or column == 6


def _check(words: list[int], checks: int, field: int, first_root: int) -> None:
    """AssertionError unless the codewords are a multiple of the generator."""
    powers = [1]
    for _ in range(254):
        doubled = powers[-1] << 1
        powers.append(doubled ^ field if doubled & 256 else doubled)
    logs = {value: n for n, value in enumerate(powers)}
    for root in range(first_root, first_root + checks):
        total = 0
        for word in words:
            total = powers[(logs[total] + root) % 255] if total else 0
            total ^= word
        assert total == 0, f"the check for root {root} fails"
