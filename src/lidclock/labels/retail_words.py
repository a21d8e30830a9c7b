"""Words in the names of ingredients: what misleads, what may hide, how it is named."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from lidclock.errors import LabelError
from lidclock.labels import data

_KIND, _NAME = "retail", "words"
_WHERE = "retail words"


@dataclass(frozen=True, slots=True)
class WordList:
    """`means` gives what a phrase stands for, none for what only looks like one.

    `may_hold` is what nobody can tell from the word. `name` is how a label calls an
    allergen, `named_by` the words that name it already; `no_kind` the words of a group
    that are no kind of it.
    """

    means: Mapping[str, tuple[str, ...]]
    may_hold: Mapping[str, tuple[str, ...]]
    name: Mapping[str, str]
    named_by: Mapping[str, tuple[str, ...]]
    no_kind: Mapping[str, tuple[str, ...]]

    def names_of(self, allergen: str) -> tuple[str, ...]:
        """Every word that names the allergen by itself."""
        return self.named_by.get(allergen, (self.name.get(allergen, allergen),))


@cache
def word_list() -> WordList:
    """The list in labels/retail/words.toml, checked."""
    table = data.read(_KIND, _NAME)
    names = table.get("name")
    if not isinstance(names, dict) or not all(
        isinstance(x, str) for x in names.values()
    ):
        raise LabelError(f"{_WHERE}: [name] must give a word for each allergen")
    return WordList(
        means=_lists(table, "means"),
        may_hold=_lists(table, "may_hold"),
        name=dict(names),
        named_by=_lists(table, "named_by"),
        no_kind=_lists(table, "no_kind"),
    )


def _lists(table: dict[str, Any], key: str) -> dict[str, tuple[str, ...]]:
    found = table.get(key)
    if not isinstance(found, dict):
        raise LabelError(f"{_WHERE}: write a table [{key}]")
    for phrase, words in found.items():
        if not isinstance(words, list) or not all(isinstance(x, str) for x in words):
            raise LabelError(f"{_WHERE}: {phrase!r} must be a list of words")
    return {phrase: tuple(words) for phrase, words in found.items()}
