"""Texts that differ in their figures only: they are set alike, so each kind once.

All ten figures of the shipped faces are equally wide, reach equally high and are set
without a look at their neighbours. How a text is fitted into its room therefore depends
on where its figures stand, not on which they are.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import fields
from functools import lru_cache, wraps
from operator import attrgetter
from typing import Any, Concatenate, ParamSpec, Protocol, Self, TypeVar

from lidclock.labels import shipped
from lidclock.labels.content import Label

_NOUGHTS = str.maketrans("123456789", "000000000")
_FIGURE = re.compile("[0-9]")
_NOUGHT = re.compile("0")
_REMEMBERED = 16384
# Of the code and the address only the size of their symbols counts.
_APART = {"code", "uri"}
_rest = attrgetter(*(one.name for one in fields(Label) if one.name not in _APART))


class Lined(Protocol):
    """Something set in lines, which may be filled with other figures."""

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines, as they are printed."""

    def with_lines(self, lines: tuple[str, ...]) -> Self:
        """The same with other figures in the same room."""


P = ParamSpec("P")
T = TypeVar("T", bound=Lined)
# A text, and the room there is for it; how it fits there, or None.
Fit = Callable[Concatenate[str, P], T | None]


@lru_cache(maxsize=_REMEMBERED)
def pattern(text: str) -> str:
    """The text with a nought for each figure; shaped text as it is."""
    noughts = text.translate(_NOUGHTS)
    return noughts if shipped.is_plain(noughts) else text


def filled(lines: tuple[str, ...], text: str) -> tuple[str, ...]:
    """Lines set from a text's pattern, with the text's own figures again.

    Fitting keeps what it sets in order and leaves out from the end on only, so the
    figures of the lines are the first ones of the text.
    """
    figures = iter(_FIGURE.findall(text))
    return tuple([_NOUGHT.sub(lambda _: next(figures), line) for line in lines])


_caches: list[Any] = [pattern]


def forget() -> None:
    """Measure everything anew, after fonts came or went."""
    for cache in _caches:
        cache.cache_clear()


def once_for_all_figures(fit: Fit[P, T]) -> Fit[P, T]:
    """A function that fits a text, asked only once for all texts of a pattern."""
    remembered = lru_cache(maxsize=_REMEMBERED)(fit)
    _caches.append(remembered)

    @wraps(fit)
    def alike(text: str, /, *room: P.args, **more: P.kwargs) -> T | None:
        noughts = pattern(text)
        fitted = remembered(noughts, *room, **more)  # type: ignore[arg-type]
        if fitted is None or noughts == text:
            return fitted
        if fitted.lines == (noughts,):
            return fitted.with_lines((text,))
        return fitted.with_lines(filled(fitted.lines, text))

    return alike


def kind(label: Label) -> tuple[object, ...]:
    """Equal for labels that say the same but for their figures, code and address."""
    return tuple(map(_of, _rest(label)))


def _of(value: object) -> object:
    if isinstance(value, str):
        return pattern(value)
    return tuple(map(_of, value)) if isinstance(value, tuple) else value
