"""Guidance sets and kinds of food by their names: a cook knows no `us-home`."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from lidclock.app.categories import tree
from lidclock.app.guidance import shipped
from lidclock.domain.sentences import Sentence, Wording


def by_name(words: str) -> str:
    """A sentence with names where commands show ids; the rest as it was.

    A kitchen's own set is known by its id alone, and keeps it.
    """
    if not isinstance(words, Sentence):
        return words
    values = {name: _named(name, one) for name, one in words.values.items()}
    if all(values[name] is one for name, one in words.values.items()):
        return words
    return Sentence(words.text, values, words.many, words.number, words.is_bare)


def _named(name: str, value: str) -> str:
    if isinstance(value, Sentence):
        return by_name(value)
    return _names().get(name, {}).get(value, value)


@cache
def _names() -> Mapping[str, Mapping[str, str]]:
    """Names by what a sentence calls the id, then by the id."""
    sets = {one.id: Wording(one.title) for one in shipped()}
    kinds = {one.id: Wording(one.name) for one in tree()}
    return {"set": sets, "guidance": sets, "category": kinds}
