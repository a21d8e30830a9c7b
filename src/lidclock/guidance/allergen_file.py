"""From the file of allergens to values; anything malformed is refused."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from lidclock.guidance.model import Source
from lidclock.guidance.parse import read_toml
from lidclock.guidance.part import FilePart
from lidclock.guidance.tables import read_sources, tables
from lidclock.guidance.words import stems

TREE_NUT = "tree-nut"
_LIST_KEYS = frozenset({"title", "record", "source", "section", "unknown_nut"})
_NOTES = ("notes", "unverified_notes")


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a list: how that list names it, and which allergens it takes in."""

    name: str
    covers: tuple[str, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class AllergenList:
    """What one authority wants declared; `record` is the id of the published list."""

    id: str
    title: str
    record: str
    source: Source
    section: str
    unknown_nut: str
    entries: tuple[Entry, ...]
    notes: tuple[str, ...] = ()

    def entries_for(self, allergen: str) -> tuple[Entry, ...]:
        """The entries that take the allergen in; none where it is not on the list."""
        if allergen == TREE_NUT:
            return (Entry(f"{self.unknown_nut}, kind not recorded", (TREE_NUT,)),)
        return tuple(one for one in self.entries if allergen in one.covers)


@dataclass(frozen=True, slots=True)
class AllergenFile:
    """Everything in the file; `words` leads from a phrase to what it stands for."""

    allergens: tuple[str, ...]
    words: Mapping[tuple[str, ...], tuple[str, ...]]
    phrases: tuple[str, ...]
    lists: Mapping[str, AllergenList]
    cautions: tuple[str, ...]


def read_allergens(file: str, content: str) -> AllergenFile:
    """The whole file; GuidanceError names file, entry and key of what is wrong."""
    part, data = FilePart(file), read_toml(file, content)
    part.refuse_strays(data, {"allergen", "word", "source", "list", "cautions"})
    named = tables(part, data, "allergen")
    phrases = _phrases(part, data, named)
    words: dict[tuple[str, ...], tuple[str, ...]] = {}
    for phrase, (where, stands_for) in phrases.items():
        if words.setdefault(stems(phrase), stands_for) != stands_for:
            raise where.error("words", f"{phrase!r} has another meaning already")
    sources = read_sources(part, tables(part, data, "source"))
    lists = {
        key: _list(part.at(f"list.{key}"), key, facts, sources, tuple(named))
        for key, facts in tables(part, data, "list").items()
    }
    cautions = part.at("cautions").read_texts(tables(part, data, "cautions"), "says")
    return AllergenFile(tuple(named), words, tuple(phrases), lists, cautions)


def _phrases(
    part: FilePart, data: Mapping[str, Any], named: Mapping[str, Any]
) -> dict[str, tuple[FilePart, tuple[str, ...]]]:
    """Every phrase with what it stands for, and where that was said."""
    found: dict[str, tuple[FilePart, tuple[str, ...]]] = {}
    for key, facts in named.items():
        where = part.at(f"allergen.{key}")
        if not isinstance(facts, dict):
            raise where.error("", "write it as a table")
        where.refuse_strays(facts, {"words"})
        for phrase in (key, *where.read_texts(facts, "words")):
            if phrase in found:
                raise where.error("words", f"{phrase!r} has another meaning already")
            found[phrase] = (where, (key,))
    where = part.at("word")
    several = tables(part, data, "word")
    for phrase in several:
        found[phrase] = (where, where.words(several, phrase, tuple(named), "allergen"))
    return found


def _list(
    where: FilePart,
    key: str,
    facts: Any,
    sources: Mapping[str, Source],
    known: tuple[str, ...],
) -> AllergenList:
    if not isinstance(facts, dict):
        raise where.error("", "write it as a table")
    where.refuse_strays(facts, {*_LIST_KEYS, *_NOTES, "entries"})
    plain = {name: where.word(facts, name) for name in sorted(_LIST_KEYS)}
    if plain["source"] not in sources:
        raise where.error("source", f"no source called {plain['source']!r}")
    entries = facts.get("entries")
    if not isinstance(entries, list) or not entries:
        raise where.error("entries", "entries must be a list of tables")
    seen, unseen = (where.read_texts(facts, name) for name in _NOTES)
    return AllergenList(
        id=key,
        title=plain["title"],
        record=plain["record"],
        source=sources[plain["source"]],
        section=plain["section"],
        unknown_nut=plain["unknown_nut"],
        entries=tuple(_entry(where, one, known) for one in entries),
        notes=(*seen, *(f"{note} (unverified)" for note in unseen)),
    )


def _entry(where: FilePart, facts: Any, known: tuple[str, ...]) -> Entry:
    if not isinstance(facts, dict):
        raise where.error("entries", "entries must be a list of tables")
    where.refuse_strays(facts, {"name", "covers", "note"}, " in entries")
    name = where.word(facts, "name")
    covers = where.words(facts, "covers", known, "allergen")
    if not covers or TREE_NUT in covers:
        raise where.error("entries", f"covers of {name!r} must name known allergens")
    return Entry(name, covers, facts.get("note", ""))
