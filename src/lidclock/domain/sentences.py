"""Sentences of the program: English as they stand, with what they were made of.

A sentence is a `str`, so whoever prints it needs to know nothing more. Whoever speaks
another language takes `text` and `values` and says it anew. What is cut out of one or
joined by hand is plain text again, and stays English.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any, Self


class DayName(str):
    """A day as English writes it; `with_year` tells whether the year is in it."""

    __slots__ = ("day", "with_year")
    day: date
    with_year: bool

    def __new__(cls, words: str, day: date, with_year: bool) -> Self:
        self = super().__new__(cls, words)
        self.day, self.with_year = day, with_year
        return self

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (str(self), self.day, self.with_year)


class Figure(str):
    """A number as English writes it, with a point before its decimals."""

    __slots__ = ()


class Wording(str):
    """Words of guidance or of a source: English on every page, and marked so."""

    __slots__ = ()


class Sentence(str):
    """`text` with `values` in its braces, in English.

    With a `number`, `text` is for one and `many` for others. One without words of its
    own (`is_bare`) is the same in every language, but for its values.
    """

    __slots__ = ("is_bare", "many", "number", "text", "values")
    text: str
    many: str | None
    number: int
    is_bare: bool
    values: Mapping[str, str]

    def __new__(
        cls,
        text: str,
        values: Mapping[str, str],
        many: str | None = None,
        number: int = 1,
        is_bare: bool = False,
    ) -> Self:
        pattern = text if many is None or number == 1 else many
        self = super().__new__(cls, pattern.format_map(values))
        self.text, self.values = text, values
        self.many, self.number, self.is_bare = many, number, is_bare
        return self

    def __reduce__(self) -> tuple[Any, ...]:
        made_of = (self.text, dict(self.values), self.many, self.number, self.is_bare)
        return type(self), made_of


def sentence(text: str, /, **values: str) -> Sentence:
    """A sentence that catalogues can translate: `text` has to be written out.

    Values are data and stay as they are, but for days, figures and sentences; what is
    English on purpose is a `Wording`.
    """
    return Sentence(text, values)


def sentences(one: str, many: str, number: int, /, **values: str) -> Sentence:
    """The same, in the form that goes with `number`, which stands at `{count}`."""
    return Sentence(one, {"count": Figure(number), **values}, many, number)


def joined(text: str, /, **values: str) -> Sentence:
    """Values put together without any word: `{day} {hour}`."""
    return Sentence(text, values, is_bare=True)


def figure(number: float) -> Figure:
    """`4`, `0.5`: a number without needless zeros."""
    return Figure(f"{number:.15g}")


def as_data(words: str) -> Any:
    """A sentence as JSON-ready data; plain text as itself."""
    if isinstance(words, DayName):
        return {"day": words.day.isoformat(), "year": words.with_year, "en": str(words)}
    if isinstance(words, Figure):
        return {"figure": str(words)}
    if isinstance(words, Wording):
        return {"wording": str(words)}
    if not isinstance(words, Sentence):
        return str(words)
    data: dict[str, Any] = {"text": words.text}
    if words.values:
        data["values"] = {name: as_data(one) for name, one in words.values.items()}
    if words.many is not None:
        data |= {"many": words.many, "count": words.number}
    if words.is_bare:
        data["bare"] = True
    return data


def from_data(data: Any) -> str:
    """What `as_data` was given; TypeError, KeyError or ValueError where it was not."""
    if isinstance(data, str):
        return data
    if "day" in data:
        return DayName(data["en"], date.fromisoformat(data["day"]), data["year"])
    if "figure" in data:
        return Figure(data["figure"])
    if "wording" in data:
        return Wording(data["wording"])
    values = {name: from_data(one) for name, one in data.get("values", {}).items()}
    is_bare = data.get("bare", False)
    return Sentence(
        data["text"], values, data.get("many"), data.get("count", 1), is_bare
    )
