"""QR symbols of many texts that differ in their last characters only.

At one length the modules are sums, modulo two, of what each bit of the text adds to
them: data, error correction and their places are linear, and a mask is added like
the rest (ISO/IEC 18004, 7.5 to 7.8). So some seventy symbols, made by the library,
tell all others of their kind, fifty times faster and the same to the module.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache, reduce
from operator import xor

from lidclock.labels import masks

Rows = tuple[bytes, ...]
# A text and a mask, or none for the best: its symbol.
Make = Callable[[str, int | None], Rows]

# ISO/IEC 18004, 7.4.4: alphanumeric mode, two characters to eleven bits, a last single
# one to six: 45 times the first one's value plus the second one's.
ALPHANUMERIC = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
_VALUES = {letter: value for value, letter in enumerate(ALPHANUMERIC)}
_BASE = len(ALPHANUMERIC)
_ALPHANUMERIC_ONLY = re.compile(f"[{re.escape(ALPHANUMERIC)}]*")
_PAIR_BITS, _SINGLE_BITS = 11, 6
# What differs from label to label: a code of seven characters and, from a container's
# second label on, its number: "4F7K2M0/12". A pair may begin one before them.
_TAIL = 11
_WORTH_IT = 6
# Version 6: from 7 on, symbols also bear their version.
_LARGEST = 41


def parts(text: str) -> tuple[str, int] | None:
    """What texts have in common that one table serves: their head and their length.

    None where there is no such table: another mode than alphanumeric, or too short.
    """
    head = text[: max(0, len(text) - _TAIL) // 2 * 2]
    if not head or head.isdigit() or _ALPHANUMERIC_ONLY.fullmatch(text) is None:
        return None
    return head, len(text)


@dataclass(frozen=True, slots=True)
class Table:
    """What the symbols of texts with one head and length are made of.

    `bases` are the eight masked symbols of the head followed by noughts, without the
    format information that `formats` adds; `vectors` tell what each bit of two
    characters in their place adds to any of them, or of the single last one; `pieces`
    the same for all their bits, as texts come.
    """

    head: str
    size: int
    bases: tuple[int, ...]
    formats: tuple[int, ...]
    vectors: tuple[tuple[int, ...], ...]
    pieces: tuple[dict[str, int], ...] = field(compare=False)

    def symbol(self, text: str) -> Rows:
        """The symbol of a text with this head and length, in its best mask."""
        tail = text[len(self.head) :]
        added = 0
        for place, known in enumerate(self.pieces):
            piece = tail[2 * place : 2 * place + 2]
            if piece not in known:
                known[piece] = _sum(self.vectors[place], _value(piece))
            added ^= known[piece]
        matrices = [base ^ added for base in self.bases]
        mask = masks.best(matrices, self.size)
        return masks.sheet(self.size).rows(matrices[mask] | self.formats[mask])


@dataclass(slots=True)
class _Kind:
    """Texts of one head and length: how many were asked for, and their table."""

    asked: int = 0
    table: Table | None = None


@lru_cache(maxsize=64)
def _kind(_head: str, _length: int) -> _Kind:
    return _Kind()


def symbol(text: str, make: Make) -> Rows | None:
    """The symbol of a text from the table of its kind, or None while there is none.

    A table costs as much as ten symbols from the library and is not made for a few.
    """
    known = parts(text)
    if known is None:
        return None
    kind = _kind(*known)
    kind.asked += 1
    if kind.asked == _WORTH_IT:
        kind.table = learn(text, make)
    return kind.table.symbol(text) if kind.table is not None else None


def learn(text: str, make: Make) -> Table | None:
    """The table for all texts with this one's head and length.

    None where a symbol made from it is not the library's own: better slow than wrong.
    """
    known = parts(text)
    if known is None:
        return None
    head, length = known
    noughts = "0" * (length - len(head))
    plain = [make(head + noughts, mask) for mask in range(masks.MASKS)]
    size = len(plain[0])
    if size > _LARGEST:
        return None
    on = masks.sheet(size)
    numbers = [on.number(rows) for rows in plain]
    bearing = _format_modules(size)
    vectors = tuple(
        tuple(
            on.number(make(head + tail, 0)) ^ numbers[0]
            for tail in _units(noughts, place)
        )
        for place in range(0, len(noughts), 2)
    )
    table = Table(
        *(head, size),
        bases=tuple(number & ~bearing for number in numbers),
        formats=tuple(number & bearing for number in numbers),
        vectors=vectors,
        pieces=tuple({} for _ in vectors),
    )
    return table if table.symbol(text) == make(text, None) else None


def _units(noughts: str, place: int) -> list[str]:
    """Tails whose value at a place is a power of two, and nought everywhere else."""
    wide = len(noughts[place : place + 2])
    bits = _PAIR_BITS if wide == 2 else _SINGLE_BITS
    return [
        noughts[:place] + _letters(1 << bit, wide) + noughts[place + wide :]
        for bit in range(bits)
    ]


def _letters(value: int, wide: int) -> str:
    first, second = divmod(value, _BASE)
    return (ALPHANUMERIC[first] if wide == 2 else "") + ALPHANUMERIC[second]


def _value(piece: str) -> int:
    return reduce(lambda value, letter: value * _BASE + _VALUES[letter], piece, 0)


def _sum(vectors: tuple[int, ...], value: int) -> int:
    """What the bits of a value add together."""
    chosen = (one for bit, one in enumerate(vectors) if value >> bit & 1)
    return reduce(xor, chosen, 0)


def _format_modules(size: int) -> int:
    """The modules beside the finders that tell level and mask (ISO/IEC 18004, 7.9).

    The one that is always dark is among them: it is not there yet when masks are
    compared.
    """
    on = masks.sheet(size)
    near = [at for at in range(9) if at != 6]
    far = range(size - 8, size)
    places = {(8, at) for at in (*near, *far)} | {(at, 8) for at in (*near, *far)}
    return sum(1 << on.first + row * on.stride + column for row, column in places)
