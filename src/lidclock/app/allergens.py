"""Looking up allergens: what a word stands for, and how each country declares it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from lidclock.app.guidance_words import allergen_names
from lidclock.app.targets import source_json
from lidclock.domain.sentences import Sentence, Wording, sentence
from lidclock.errors import UnknownThingError
from lidclock.guidance.allergens import (
    AllergenList,
    Declared,
    allergen_ids,
    allergen_list,
    allergen_lists,
    canonical,
    cautions,
    declare,
    gather,
    nearest_allergens,
)

__all__ = [
    "AllergenList",
    "Answer",
    "answer_json",
    "ask",
    "cautions",
    "chosen_lists",
    "declared_words",
    "list_json",
    "side_by_side",
]


@dataclass(frozen=True, slots=True)
class Answer:
    """What each word stands for, and how each of the lists declares them all."""

    meant: dict[str, tuple[str, ...]]
    declared: tuple[tuple[AllergenList, Declared], ...]


def chosen_lists(list_id: str | None) -> list[AllergenList]:
    """One list, or all of them; UnknownThingError for one that there is not."""
    if list_id is None:
        return list(allergen_lists().values())
    return [allergen_list(list_id)]


def ask(words: Sequence[str], list_id: str | None = None) -> Answer:
    """How the lists declare what the words stand for.

    UnknownThingError for a word that nobody here knows: a slip of the pen must not
    look like an allergen that no list has.
    """
    lists = chosen_lists(list_id)
    asked = gather(words)
    if not asked:
        raise UnknownThingError("no allergen was named; for example: egg, pine nut")
    meant = {word: canonical(word) for word in asked}
    for word, allergens in meant.items():
        if not allergens:
            raise UnknownThingError(_unknown(word))
    named = [one for allergens in meant.values() for one in allergens]
    return Answer(meant, tuple((one, declare(one.id, named)) for one in lists))


def _unknown(word: str) -> str:
    close = nearest_allergens(word)
    return f"{word!r} is on none of the lists and no word for anything on them; " + (
        f"nearest: {', '.join(close)}" if close else "without words all are shown"
    )


def declared_words(list_id: str, allergens: Sequence[str]) -> str:
    """How the list in force declares what was recorded; what it has not is named too.

    Empty where nothing was recorded as present, or the kitchen has no list.
    """
    if not list_id or not allergens:
        return ""
    chosen = allergen_list(list_id)
    found = declare(list_id, allergens)
    # A list's own names stand as its law has them.
    names = Wording(", ".join(name for name, _ in found.listed)) or sentence("nothing")
    words = sentence(
        "on the {list} list of allergens: {names}",
        list=Sentence(chosen.title, {}),
        names=names,
    )
    if not found.unlisted:
        return words
    rest = allergen_names(found.unlisted)
    return sentence("{words}; not on that list: {rest}", words=words, rest=rest)


def side_by_side(list_id: str | None = None) -> list[tuple[str, tuple[str, ...]]]:
    """Each allergen with its name on each list, empty where a list has it not."""
    lists = chosen_lists(list_id)
    return [
        (
            allergen,
            tuple(
                " + ".join(entry.name for entry in one.entries_for(allergen))
                for one in lists
            ),
        )
        for allergen in allergen_ids()
    ]


def list_json(one: AllergenList) -> dict[str, Any]:
    """A whole list as JSON-ready data."""
    return {
        "id": one.id,
        "title": one.title,
        "entries": [
            {"name": x.name, "allergens": list(x.covers), "note": x.note or None}
            for x in one.entries
        ],
        "unknown_nut": one.unknown_nut,
        "notes": list(one.notes),
        **source_json(one.source, one.section),
    }


def answer_json(answer: Answer) -> dict[str, Any]:
    """An answer as JSON-ready data."""
    return {
        "words": {word: list(meant) for word, meant in answer.meant.items()},
        "lists": [
            {
                "id": one.id,
                "title": one.title,
                "listed": [
                    {"name": name, "allergens": list(meant)}
                    for name, meant in declared.listed
                ],
                "unlisted": list(declared.unlisted),
                **source_json(one.source, one.section),
            }
            for one, declared in answer.declared
        ],
        "cautions": list(cautions()),
    }
