"""The tree of food categories: reading it, walking it, searching it by word."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from lidclock.errors import GuidanceError
from lidclock.guidance import other_words
from lidclock.guidance.model import NATURES, TCS, Category
from lidclock.guidance.other_words import ALL, HEAD, PARTS, SOME, TAIL, WHOLE
from lidclock.guidance.words import stems

_INHERITED = ("nature", "tcs", "handling", "cautions", "takes_house_rule")
_KEYS = frozenset(
    {"name", "parent", "words", "offered_days", "offer", *_INHERITED},
)


def read_categories(entries: Mapping[str, Mapping[str, Any]]) -> dict[str, Category]:
    """All categories by id, each with what it takes from its parent.

    A parent must stand before its children; GuidanceError names what does not fit.
    """
    found: dict[str, Category] = {}
    for key, facts in entries.items():
        found[key] = _category(key, facts, found)
    return found


def _category(
    key: str, facts: Mapping[str, Any], found: Mapping[str, Category]
) -> Category:
    where = f"categories.toml: category.{key}"
    unknown = sorted(facts.keys() - _KEYS)
    if unknown:
        raise GuidanceError(f"{where}: unknown key {unknown[0]!r}")
    given: dict[str, Any] = {
        name: tuple(value) if isinstance(value, list) else value
        for name, value in facts.items()
    }
    parent = given.get("parent", "")
    if parent:
        if parent not in found:
            raise GuidanceError(f"{where}: its parent {parent!r} does not stand above")
        for name in _INHERITED:
            given.setdefault(name, getattr(found[parent], name))
    for name in ("name", "nature", "tcs"):
        if name not in given:
            raise GuidanceError(f"{where}: {name} is missing")
    if given["nature"] not in NATURES or given["tcs"] not in TCS:
        raise GuidanceError(f"{where}: nature is one of {NATURES}, tcs of {TCS}")
    return Category(id=key, **given)


def below(roots: Iterable[str], categories: Mapping[str, Category]) -> frozenset[str]:
    """The ids of `roots` and of everything under them."""
    found = set(roots)
    for category in categories.values():
        if category.parent in found:
            found.add(category.id)
    return frozenset(found)


def path_of(category: Category, categories: Mapping[str, Category]) -> list[Category]:
    """A category with those above it, the root first."""
    path = [category]
    while path[0].parent:
        path.insert(0, categories[path[0].parent])
    return path


def leaves(categories: Mapping[str, Category]) -> list[Category]:
    """The categories that have none below them."""
    parents = {category.parent for category in categories.values()}
    return [one for one in categories.values() if one.id not in parents]


def search(
    text: str,
    categories: Mapping[str, Category],
    phrases: Mapping[str, Iterable[str]] | None = None,
) -> list[Category]:
    """Categories that fit everyday words, the best first; empty where none does.

    Those that fit some of the words only are found where none fits them all, but for
    those that are the last word itself: lentil soup is a soup. `phrases` are names and
    words of another language by category; English is asked too where they tell nothing.
    """
    wanted = stems(text)
    scores = {key: other_words.fit(text, said) for key, said in (phrases or {}).items()}
    if wanted and max(scores.values(), default=0.0) < TAIL:
        for key, one in categories.items():
            scores[key] = max(scores.get(key, 0.0), _score(wanted, one))
    best = max(scores.values(), default=0.0)
    least = HEAD if best >= PARTS else 0.0
    found = [one for one in categories.values() if 0 < scores.get(one.id, 0.0) >= least]
    return sorted(found, key=lambda one: -scores[one.id])


def _score(wanted: tuple[str, ...], category: Category) -> float:
    """How well: every wanted word must be there, a whole synonym counts most."""
    phrases = [stems(phrase) for phrase in _phrases(category)]
    if wanted in phrases:
        return WHOLE
    known = {word for phrase in phrases for word in phrase}
    hits = sum(1 for word in wanted if word in known)
    if hits == len(wanted):
        return ALL
    starts = sum(1 for word in wanted if any(one.startswith(word) for one in known))
    if starts == len(wanted) and all(len(word) > 2 for word in wanted):
        return PARTS
    # In English the last word says what it is, the ones before it what is in it.
    head = HEAD if wanted[-1:] in phrases else 0.0
    return head + SOME * hits / len(wanted) if hits else 0.0


def _phrases(category: Category) -> Iterator[str]:
    yield category.id
    yield category.name
    yield from category.words
