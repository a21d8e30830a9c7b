"""Allergens: everyday words to one name each, and what each country's list declares."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from lidclock.errors import UnknownThingError
from lidclock.guidance.allergen_file import (
    TREE_NUT,
    AllergenFile,
    AllergenList,
    Entry,
    read_allergens,
)
from lidclock.guidance.tables import packaged
from lidclock.guidance.words import nearest, stems

__all__ = [
    "TREE_NUT",
    "AllergenList",
    "Declared",
    "Differences",
    "Entry",
    "allergen_ids",
    "allergen_list",
    "allergen_lists",
    "canonical",
    "cautions",
    "declare",
    "differences",
    "gather",
    "nearest_allergens",
]

_FILE = "allergens.toml"
_LONGEST_PHRASE = 4


@dataclass(frozen=True, slots=True)
class Declared:
    """How one list declares what is in a food; nothing recorded is left out.

    `listed` pairs the name on the list with the allergens meant by it. `unlisted` is
    what this list does not ask for, and what nobody here knows, as it was written.
    """

    listed: tuple[tuple[str, tuple[str, ...]], ...]
    unlisted: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Differences:
    """What stands on one of two lists alone."""

    only_first: tuple[str, ...]
    only_second: tuple[str, ...]


@cache
def _file() -> AllergenFile:
    return read_allergens(_FILE, packaged(_FILE))


def allergen_ids() -> tuple[str, ...]:
    """Every allergen by its one name."""
    return _file().allergens


def allergen_lists() -> Mapping[str, AllergenList]:
    """The lists by id."""
    return _file().lists


def allergen_list(list_id: str) -> AllergenList:
    """One list; UnknownThingError names those there are."""
    lists = allergen_lists()
    if list_id not in lists:
        raise UnknownThingError(
            f"no allergen list {list_id!r}; there are {', '.join(lists)}"
        )
    return lists[list_id]


def cautions() -> tuple[str, ...]:
    """What must be said beside any list."""
    return _file().cautions


def canonical(word: str) -> tuple[str, ...]:
    """The allergens that a word stands for; none where nobody here knows it.

    A word that could mean several means all of them: gluten is four cereals.
    """
    return _file().words.get(stems(word), ())


def gather(words: Iterable[str]) -> list[str]:
    """Single words put together to known phrases: `pine`, `nut` is one of them.

    A comma ends a phrase. What is not known stays as it is.
    """
    found = []
    for part in " ".join(words).split(","):
        waiting = part.split()
        while waiting:
            size = _known_start(waiting)
            found.append(" ".join(waiting[:size]))
            del waiting[:size]
    return found


def _known_start(waiting: list[str]) -> int:
    """How many of the first words make the longest known phrase; 1 where none do."""
    sizes = range(min(_LONGEST_PHRASE, len(waiting)), 0, -1)
    return next((n for n in sizes if canonical(" ".join(waiting[:n]))), 1)


def declare(list_id: str, allergens: Iterable[str]) -> Declared:
    """How the list declares these allergens, given by their names or everyday words.

    In the order of the list. A nut of unknown kind counts on every list.
    """
    chosen = allergen_list(list_id)
    recorded = list(dict.fromkeys(x for word in allergens for x in _known_or_raw(word)))
    found: dict[str, tuple[str, ...]] = {}
    for entry in chosen.entries:
        meant = tuple(one for one in recorded if one in entry.covers)
        if meant:
            found[entry.name] = meant
    if TREE_NUT in recorded:
        found[chosen.entries_for(TREE_NUT)[0].name] = (TREE_NUT,)
    taken = {one for meant in found.values() for one in meant}
    unlisted = tuple(one for one in recorded if one not in taken)
    return Declared(tuple(found.items()), unlisted)


def _known_or_raw(word: str) -> tuple[str, ...]:
    """What the word stands for; the bare word where nobody here knows it."""
    bare = " ".join(word.split())
    return canonical(bare) or ((bare,) if bare else ())


def differences(list_a: str, list_b: str) -> Differences:
    """The allergens that one list declares and the other does not."""
    first, second = allergen_list(list_a), allergen_list(list_b)
    return Differences(_missing(first, second), _missing(second, first))


def _missing(one: AllergenList, other: AllergenList) -> tuple[str, ...]:
    """What stands on `one` and not on `other`."""
    return tuple(
        allergen
        for allergen in allergen_ids()
        if one.entries_for(allergen) and not other.entries_for(allergen)
    )


def nearest_allergens(word: str) -> list[str]:
    """What a person may have meant by a word that nobody here knows."""
    return nearest(word, _file().phrases)
