"""Sentences of the program: English as they stand, with what they were made of.

A sentence is a `str`, so whoever prints it needs to know nothing more. Whoever speaks
another language takes `text` and `values` and says it anew. What is cut out of one or
joined by hand is plain text again, and stays English.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from string import Formatter
from typing import Any, Self

# Sentences within sentences are a few deep; lists of many parts a few more.
_DEEPEST = 40


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


def strung(sign: str, parts: Iterable[str]) -> str:
    """Parts one after another with a sign between them, but for empty ones."""
    shown = {f"part{at}": one for at, one in enumerate(filter(None, parts))}
    if len(shown) < 2:
        return shown.get("part0", "")
    return joined(sign.join(f"{{{name}}}" for name in shown), **shown)


def typed(words: str) -> Sentence:
    """A name, an hour or a code that stands alone: the same in every language."""
    return joined("{it}", it=words)


def quoted(words: str) -> str:
    """What is English on purpose as a value; what can be said is left as it is."""
    is_sayable = isinstance(words, (Sentence, DayName, Figure))
    return words if is_sayable else Wording(words)


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


def from_data(data: Any, deep: int = 0) -> str:
    """What `as_data` was given; TypeError, KeyError or ValueError where it was not.

    A pattern may name its values and ask nothing else of them.
    """
    if isinstance(data, str):
        return data
    if deep > _DEEPEST:
        raise ValueError(f"sentences within sentences, more than {_DEEPEST} deep")
    if "day" in data:
        return DayName(data["en"], date.fromisoformat(data["day"]), data["year"])
    for kind, made in (("figure", Figure), ("wording", Wording)):
        if kind in data:
            return made(data[kind])
    values = {
        name: from_data(one, deep + 1) for name, one in data.get("values", {}).items()
    }
    many = data.get("many")
    for pattern in (data["text"], *([] if many is None else [many])):
        _check(pattern, values)
    number = data.get("count", 1)
    if type(number) is not int:
        raise ValueError(f"{number!r:.80} is no count")
    return Sentence(data["text"], values, many, number, bool(data.get("bare")))


def _check(pattern: str, values: Mapping[str, str]) -> None:
    """ValueError for a pattern that would look into a value or stretch it."""
    for _, name, spec, conversion in Formatter().parse(pattern):
        if name is not None and (name not in values or spec or conversion):
            raise ValueError(f"{pattern!r:.80} asks for more than its values")
