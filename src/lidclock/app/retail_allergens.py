"""The list of ingredients with its allergens set apart, and what stands behind it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from lidclock.app.retail_finding import Found, find, find_as_written, words_in
from lidclock.domain.ingredients import Ingredient, by_weight
from lidclock.guidance.allergens import (
    TREE_NUT,
    allergen_list,
    canonical,
    declare,
)
from lidclock.guidance.words import stems
from lidclock.labels.retail_data import Jurisdiction
from lidclock.labels.retail_text import Run
from lidclock.labels.retail_words import word_list

GROUPS = ("fish", "crustacean", "mollusc")


@dataclass(frozen=True, slots=True)
class Recorded:
    """The allergens recorded for a food: each by its one name, or as it was written.

    `several` are words that mean more than one thing, such as gluten.
    """

    allergens: tuple[str, ...]
    several: tuple[str, ...] = ()

    @classmethod
    def of(cls, words: Iterable[str]) -> Recorded:
        """What the recorded words stand for."""
        found: dict[str, None] = {}
        several = []
        for word in words:
            meant = canonical(word) or (" ".join(word.split()),)
            found.update(dict.fromkeys(meant))
            several += [word] if len(meant) > 1 else []
        return cls(tuple(found), tuple(several))


@dataclass(slots=True)
class Listed:
    """The list as it is printed, and what was found in it.

    `named` gives for each allergen the ingredients that name it, `kinds` the kinds of
    fish, crustacean or mollusc, `hidden` the phrases that may hold something.
    """

    runs: list[Run] = field(default_factory=list)
    named: dict[str, list[str]] = field(default_factory=dict)
    kinds: dict[str, list[str]] = field(default_factory=dict)
    hidden: list[tuple[str, str, tuple[str, ...]]] = field(default_factory=list)

    def note(self, found: Found, ingredient: str) -> None:
        """Keep what a phrase told."""
        for allergen in found.allergens:
            self.named.setdefault(allergen, []).append(ingredient)
            if allergen in GROUPS and is_kind(found.phrase, allergen):
                kinds = self.kinds.setdefault(allergen, [])
                kinds += [x for x in [found.phrase.casefold()] if x not in kinds]


def is_kind(phrase: str, group: str) -> bool:
    """Whether the phrase tells which fish, crustacean or mollusc it is."""
    others = word_list().no_kind.get(group, ())
    return stems(phrase) not in {stems(one) for one in others}


def display_name(allergen: str, under: Jurisdiction) -> str:
    """How a label calls the allergen; as it was written where nobody here knows it."""
    return under.names.get(allergen) or word_list().name.get(allergen, allergen)


def is_on_list(allergen: str, under: Jurisdiction) -> bool:
    """Whether the list in force has it."""
    return bool(declare(under.allergens, [allergen]).listed)


def list_ingredients(
    ingredients: Sequence[Ingredient], recorded: Recorded, under: Jurisdiction
) -> Listed:
    """The ingredients by weight; what the list in force or the kitchen has stands out.

    Where an ingredient's own name does not say it, the allergen follows in brackets.
    """
    listed = Listed()
    for number, one in enumerate(by_weight(ingredients)):
        if number:
            listed.runs.append(Run(", "))
        listed.runs += _ingredient(one.name, recorded, under, listed)
    return listed


def _ingredient(
    name: str, recorded: Recorded, under: Jurisdiction, listed: Listed
) -> Iterator[Run]:
    known = find(name)
    unknown = [one for one in recorded.allergens if not canonical(one)]
    known += [one for word in unknown for one in find_as_written(name, word)]
    bold: set[int] = set()
    added: dict[int, list[str]] = {}
    certain = [one for one in known if not one.hidden]
    for found in certain:
        listed.note(found, name)
    for allergen in dict.fromkeys(x for found in certain for x in found.allergens):
        if allergen not in recorded.allergens and not is_on_list(allergen, under):
            continue
        mine = [one for one in certain if allergen in one.allergens]
        places = [at for one in mine for at in _naming(name, one, allergen, under)]
        if not places:
            places = [at for one in mine for at in range(one.start, one.end)]
            added.setdefault(mine[0].piece_end, []).append(
                display_name(allergen, under)
            )
        bold.update(places)
    for found in known:
        if found.hidden and not name[found.piece_end :].lstrip().startswith("("):
            listed.hidden.append((name, found.phrase, found.allergens))
    return _runs(name, bold, added, under)


def _naming(
    name: str, found: Found, allergen: str, under: Jurisdiction
) -> Iterator[int]:
    """The letters of a phrase that name the allergen by its own name."""
    if not canonical(allergen) or (
        under.has_kinds and allergen in GROUPS and is_kind(found.phrase, allergen)
    ):
        yield from range(found.start, found.end)
        return
    own = {stems(word) for word in word_list().names_of(allergen)}
    parts = [one for one in _windows_of(name, found) if stems(name[slice(*one)]) in own]
    for start, end in parts:
        yield from range(start, end)


def _windows_of(name: str, found: Found) -> Iterator[tuple[int, int]]:
    """Every stretch of whole words within a phrase."""
    words = words_in(name, found.start, found.end)
    for first in range(len(words)):
        for last in range(first, len(words)):
            yield words[first][0], words[last][1]


def _runs(
    name: str, bold: set[int], added: dict[int, list[str]], under: Jurisdiction
) -> Iterator[Run]:
    """The name in its weights, with what was added in brackets."""
    turns = {at for at in range(1, len(name)) if (at in bold) != (at - 1 in bold)}
    start = 0
    for end in sorted(turns | added.keys() | {len(name)}):
        text = name[start:end]
        if start == 0 and under.emphasis == "statement":
            text = text[:1].upper() + text[1:]
        yield emphasised(text, under, stands_out=start in bold)
        yield from _brackets(added.get(end, []), under)
        start = end


def _brackets(words: list[str], under: Jurisdiction) -> Iterator[Run]:
    for number, word in enumerate(words):
        yield Run(", " if number else " (")
        yield emphasised(word, under, stands_out=True)
    if words:
        yield Run(")")


def emphasised(text: str, under: Jurisdiction, *, stands_out: bool) -> Run:
    """Bold capitals; in writing without capitals bold alone; or plain."""
    if not stands_out or under.emphasis == "statement":
        return Run(text)
    return Run(text.upper(), bold=True)


def statement_names(
    allergens: Sequence[str], kinds: Mapping[str, list[str]], under: Jurisdiction
) -> tuple[list[str], list[str]]:
    """The names behind `Contains`, in the order of the list; and those on no list."""
    declared = declare(under.allergens, allergens)
    if under.contains_by == "entry":
        groups = {
            x.name for x in allergen_list(under.allergens).entries if x.covers[1:]
        }
        names = [
            _of_entry(entry, meant, kinds, under, entry in groups)
            for entry, meant in declared.listed
        ]
    else:
        meant_each = [one for _, meant in declared.listed for one in meant]
        names = [x for one in meant_each for x in _of_allergen(one, kinds, under)]
    return list(dict.fromkeys(names)), list(declared.unlisted)


def _of_entry(
    entry: str,
    meant: tuple[str, ...],
    kinds: Mapping[str, list[str]],
    under: Jurisdiction,
    is_group: bool,
) -> str:
    """An entry of the list, with its kinds in brackets: `tree nuts (almond)`."""
    if meant == (TREE_NUT,):
        return display_name(TREE_NUT, under)
    told = [display_name(one, under) for one in meant] if is_group else []
    told += [kind for one in meant for kind in kinds.get(one, [])]
    return f"{entry} ({', '.join(told)})" if told else entry


def _of_allergen(
    allergen: str, kinds: Mapping[str, list[str]], under: Jurisdiction
) -> list[str]:
    """What the statement calls one allergen: wheat is `wheat` and `gluten` there."""
    told = kinds.get(allergen, []) if under.has_kinds else []
    words = under.summary.get(allergen, (display_name(allergen, under),))
    return [f"{word} ({', '.join(told)})" if told else word for word in words]
