"""Labels that are alike: they differ in figures, code and address only.

All ten figures of the shipped faces are equally wide, reach equally high and are set
without a look at their neighbours. Where things go on a label therefore depends on
where its figures stand, not on which they are.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import fields, replace
from functools import lru_cache
from itertools import count
from operator import attrgetter
from typing import Any

from lidclock.labels import shipped
from lidclock.labels.content import Label

_NOUGHTS = str.maketrans("123456789", "000000000")
_FIGURE = re.compile("[0-9]")
# Of the code and the address only the size of their symbols counts.
_APART = {"code", "uri"}
_FIELDS = tuple(one.name for one in fields(Label) if one.name not in _APART)
_values = attrgetter(*_FIELDS)


@lru_cache(maxsize=16384)
def pattern(text: str) -> str:
    """The text with a nought for each figure; shaped text as it is."""
    noughts = text.translate(_NOUGHTS)
    return noughts if shipped.is_plain(noughts) else text


def kind(label: Label) -> tuple[object, ...]:
    """Equal for labels that are alike."""
    return tuple([_changed(value, pattern) for value in _values(label)])


def _changed(value: Any, change: Callable[[str], str]) -> Any:
    """A field with its text, or each of its texts, changed."""
    if isinstance(value, str):
        return change(value)
    if isinstance(value, tuple):
        return tuple([change(one) for one in value])
    return value


def parts(label: Label) -> list[str]:
    """All texts of a label, in order."""
    found: list[str] = []
    for value in _values(label):
        if isinstance(value, str):
            found.append(value)
        elif isinstance(value, tuple):
            found += value
    return found


def figures(texts: Iterable[str]) -> list[str]:
    """The figures of plain texts, in order."""
    return _FIGURE.findall("".join(texts))


def marked(label: Label, mark: Callable[[int], str]) -> Label:
    """The label with marks for the figures of its plain texts, counted from 0."""
    places = count()

    def change(text: str) -> str:
        if not shipped.is_plain(text):
            return text
        return _FIGURE.sub(lambda _: mark(next(places)), text)

    values = zip(_FIELDS, _values(label), strict=True)
    return replace(label, **{name: _changed(value, change) for name, value in values})
