"""Targets for cooking, holding, cooling and the rest: loading and looking up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cache

from lidclock.errors import UnknownThingError
from lidclock.guidance.load import load_categories
from lidclock.guidance.tables import packaged
from lidclock.guidance.target import Figure, Label, Target
from lidclock.guidance.target_file import TargetFile, read_targets
from lidclock.guidance.words import nearest, stems

__all__ = [
    "Figure",
    "Label",
    "Target",
    "labels",
    "load_targets",
    "nearest_words",
    "search",
]

_FILE = "targets.toml"
_SAME, _TOGETHER, _SPREAD, _GENERAL = 3, 2, 1, 0


@cache
def _file() -> TargetFile:
    return read_targets(_FILE, packaged(_FILE))


def load_targets() -> tuple[Target, ...]:
    """Every target, as the file has them; read once."""
    return _file().targets


def labels() -> Mapping[str, Label]:
    """Whose targets there are, by id."""
    return _file().labels


def search(words: Sequence[str] | str, set_id: str | None = None) -> list[Target]:
    """The targets that every one of the words fits, the best first.

    A target fits by its food, its words or its topic. Where food is named, what holds
    for any food comes after what names it. UnknownThingError for an unknown set.
    """
    wanted = stems(words if isinstance(words, str) else " ".join(words))
    scored = [
        (score, one)
        for one in _of_set(set_id)
        if (score := _score(wanted, one)) is not None
    ]
    return [one for _, one in sorted(scored, key=lambda pair: -pair[0])]


def _of_set(set_id: str | None) -> Iterable[Target]:
    """The targets of one set, those it shares included; all where none is named."""
    if set_id is None:
        return load_targets()
    known = {also for label in labels().values() for also in label.also}
    if set_id not in known | labels().keys():
        raise UnknownThingError(
            f"no targets for a set {set_id!r}; there are {', '.join(labels())}"
        )
    return (
        one
        for one in load_targets()
        if set_id == one.set or set_id in labels()[one.set].also
    )


def _score(wanted: tuple[str, ...], one: Target) -> int | None:
    """How well it fits; None where a word does not."""
    if not wanted:
        return None
    if wanted in one.phrases:
        return _SAME
    own = [word for word in wanted if word in one.stems]
    if len(own) == len(wanted):
        together = any(set(wanted) <= set(phrase) for phrase in one.phrases)
        return _TOGETHER if together else _SPREAD
    rest = frozenset(wanted) - frozenset(own)
    return _GENERAL if one.any_food and _names_food(rest) else None


def _names_food(words: frozenset[str]) -> bool:
    """Whether all of these words come from phrases that name perishable food."""
    found = [phrase for phrase in _food_phrases() if phrase <= words]
    return words == frozenset().union(*found)


@cache
def _food_phrases() -> frozenset[frozenset[str]]:
    """How categories and the foods to cook are called, a set of words for each."""
    phrases = [
        phrase
        for category in load_categories().values()
        if category.tcs != "no"
        for phrase in category.words
    ]
    for one in load_targets():
        if one.topic == "cooking" and not one.any_food:
            phrases += one.words
    return frozenset(frozenset(stems(phrase)) for phrase in phrases)


@cache
def _known_words() -> frozenset[str]:
    """Every phrase and every single word that a search can find something by."""
    phrases = {phrase for one in load_targets() for phrase in one.words}
    return frozenset(phrases | {word for phrase in phrases for word in phrase.split()})


def nearest_words(words: Iterable[str]) -> list[str]:
    """What a person may have meant by words that found nothing."""
    given = [word for text in words for word in text.split()]
    strange = [word for word in given if not set(stems(word)) <= _searchable()]
    texts = [" ".join(given), *strange]
    return list(
        dict.fromkeys(x for text in texts for x in nearest(text, _known_words()))
    )


@cache
def _searchable() -> frozenset[str]:
    return frozenset(word for one in load_targets() for word in one.stems)
