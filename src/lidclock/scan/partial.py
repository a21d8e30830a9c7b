"""Codes of which only some symbols can be read: `4F7?2M0`."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from lidclock.domain.codes import ALPHABET, LENGTH, is_code, normalise

GAP = "?"


def read_pattern(typed: str) -> str | None:
    """`typed` as seven symbols, `?` for each unread one; None if it is no such thing.

    At least one symbol is read. What people write is put right as in a whole code.
    """
    pattern = normalise(typed)
    is_one = len(pattern) == LENGTH and set(pattern) <= {*ALPHABET, GAP}
    return pattern if is_one and set(pattern) != {GAP} else None


def gaps(pattern: str) -> int:
    """How many symbols are unread."""
    return pattern.count(GAP)


def differences(pattern: str, code: str) -> int:
    """In how many of the read symbols `code` differs."""
    pairs = zip(pattern, code, strict=True)
    return sum(read not in (GAP, symbol) for read, symbol in pairs)


def completions(pattern: str) -> Iterator[str]:
    """Every code whose check symbol is right and that fits `pattern`."""
    choices = [ALPHABET if symbol == GAP else symbol for symbol in pattern]
    for symbols in product(*choices):
        code = "".join(symbols)
        if is_code(code):
            yield code
