"""Guidance sets and kinds of food by their names: a cook knows no `us-home`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from lidclock.app.categories import tree
from lidclock.app.guidance import shipped
from lidclock.app.guidance_words import everyday_words
from lidclock.domain.sentences import Sentence
from lidclock.web import pseudo
from lidclock.web.words import SOURCE, translate

# Commas, as the languages write them: also the Arabic and the two Chinese ones.
_BETWEEN = re.compile("[,\u060c\u3001\uff0c]")


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
    sets = {one.id: one.title for one in shipped()}
    kinds = {one.id: one.name for one in tree()}
    return {"set": sets, "guidance": sets, "category": kinds}


@cache
def kind_phrases(language: str) -> Mapping[str, tuple[str, ...]]:
    """What finds a kind of food in a language, by id: its name and everyday words.

    Nothing in English, which the search knows by itself.
    """
    if language == SOURCE or language in pseudo.NAMES:
        return {}
    said = translate(language)
    return {
        one.id: (said(one.name), *_BETWEEN.split(said(everyday_words(one))))
        for one in tree()
    }
