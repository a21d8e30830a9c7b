"""Things named one after another, with the commas and the "and" of each language."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from lidclock.domain.sentences import sentence


def with_commas(parts: Sequence[str]) -> str:
    """`a, b, c`; empty where there is none."""
    return _halved(_comma, parts)


def with_semicolons(parts: Sequence[str]) -> str:
    """`a; b; c`, for things that have commas in them."""
    return _halved(_semicolon, parts)


def with_and(parts: Sequence[str]) -> str:
    """`a, b and c`."""
    if len(parts) < 2:
        return parts[0] if parts else ""
    return sentence("{these} and {last}", these=with_commas(parts[:-1]), last=parts[-1])


def told_of(what: str, rest: str) -> str:
    """`what: rest`, as each language sets its colon."""
    return sentence("{what}: {rest}", what=what, rest=rest)


def _comma(these: str, those: str) -> str:
    return sentence("{these}, {those}", these=these, those=those)


def _semicolon(these: str, those: str) -> str:
    return sentence("{these}; {those}", these=these, those=those)


def _halved(two: Callable[[str, str], str], parts: Sequence[str]) -> str:
    """Half and half again, so that a long list does not nest deep."""
    if len(parts) < 2:
        return parts[0] if parts else ""
    half = len(parts) // 2
    return two(_halved(two, parts[:half]), _halved(two, parts[half:]))
