"""Labels that are alike: they differ in figures, code and address only.

All ten figures of the shipped faces are equally wide, reach equally high and are set
without a look at their neighbours. Where things go on a label therefore depends on
where its figures stand, not on which they are.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from copy import copy
from dataclasses import fields
from functools import lru_cache
from itertools import count
from operator import attrgetter

from lidclock.labels import shipped
from lidclock.labels.content import Label

# A text, how many of them there are, or something else that a label says.
Part = object

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


def parts(label: Label) -> list[Part]:
    """Everything a label says, in order, a number before what several parts say."""
    found: list[Part] = []
    for value in _values(label):
        if isinstance(value, tuple):
            found.append(len(value))
            found += value
        else:
            found.append(value)
    return found


def kind(parts: list[Part]) -> tuple[Part, ...]:
    """Equal for the parts of labels that are alike."""
    return tuple([pattern(one) if isinstance(one, str) else one for one in parts])


def is_plain(part: Part) -> bool:
    """True if it is a text whose figures do not matter."""
    return isinstance(part, str) and shipped.is_plain(part)


def figures(texts: Iterable[Part]) -> list[str]:
    """The figures of plain texts, in order."""
    return _FIGURE.findall("".join(map(str, texts)))


def marked(label: Label, mark: Callable[[int], str]) -> Label:
    """The label with marks for the figures of its plain texts, counted from 0.

    Not checked again: a mark is as good a figure as the one it stands for.
    """
    places = count()

    def change(part: Part) -> Part:
        if not is_plain(part):
            return part
        return _FIGURE.sub(lambda _: mark(next(places)), str(part))

    made = copy(label)
    for name in _FIELDS:
        value = getattr(label, name)
        is_many = isinstance(value, tuple)
        changed = tuple(map(change, value)) if is_many else change(value)
        object.__setattr__(made, name, changed)
    return made
