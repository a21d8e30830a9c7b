"""Sentences put in a row, with the marks that each language sets between them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from lidclock.domain.sentences import Figure, Sentence, figure, sentence, sentences


def with_commas(parts: Iterable[str]) -> str:
    """`box 2, opened, in Fridge`; empty ones are left out."""
    return _in_row(
        parts, lambda one, more: sentence("{one}, {more}", one=one, more=more)
    )


def with_semicolons(parts: Iterable[str]) -> str:
    """`frozen; 5 days left`; empty ones are left out."""
    return _in_row(
        parts, lambda one, more: sentence("{one}; {more}", one=one, more=more)
    )


def with_and(parts: Iterable[str]) -> str:
    """`1, 2 and 3`; empty ones are left out."""
    *most, last = [part for part in parts if part] or [""]
    these = _in_row(
        most, lambda one, more: sentence("{these}, {those}", these=one, those=more)
    )
    return sentence("{these} and {last}", these=these, last=last) if these else last


def _in_row(parts: Iterable[str], put: Callable[[str, str], str]) -> str:
    return _halved([part for part in parts if part], put)


def _halved(parts: list[str], put: Callable[[str, str], str]) -> str:
    """Half and half again: a long row does not nest deep."""
    if len(parts) < 2:
        return parts[0] if parts else ""
    half = len(parts) // 2
    return put(_halved(parts[:half], put), _halved(parts[half:], put))


def told_of(what: str, words: str) -> Sentence:
    """`4F7 K2M0 stew: frozen`."""
    return sentence("{what}: {words}", what=what, words=words)


def boxed(what: str, note: str) -> Sentence:
    """`use by Thu 5 Nov (house rule)`."""
    return sentence("{what} ({note})", what=what, note=note)


def with_or(parts: Iterable[str]) -> str:
    """`4F7K2M0 or 4F7K2M1`."""
    return _in_row(
        parts, lambda one, more: sentence("{one} or {more}", one=one, more=more)
    )


def days_said(low: int, high: int) -> Sentence:
    """`1 day`, `3 to 4 days`."""
    if low == high:
        return sentences("{count} day", "{count} days", high)
    return sentences(
        "{low} to {count} day", "{low} to {count} days", high, low=figure(low)
    )


def short(number: float) -> Figure:
    """`63`, `6.5`: a number as explanations have it, six digits at most."""
    return Figure(f"{number:g}")


# What a place is, as words: a kitchen's own names are data.
STATES: Mapping[str, Sentence] = {
    "fridge": sentence("fridge"),
    "freezer": sentence("freezer"),
    "counter": sentence("counter"),
    "hot": sentence("hot"),
}
