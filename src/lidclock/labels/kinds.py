"""Kinds of label: which facts each says, in which order, read from data files."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from lidclock.errors import LabelError
from lidclock.labels import data

HEADLINES = ("last_day", "last_hour", "frozen_on", "ask")
NOTES = ("hour", "days_used", "never_after", "last_day_unknown")
FACTS = (
    *("made", "opened", "mass", "box", "lot", "pulled", "ready"),
    *("makers_date", "best_quality", "held"),
)
HANDLING = ("cold", "frozen", "hot", "hour")
_KEYS = frozenset("name word headline note lines handling day_rule".split())


@dataclass(frozen=True, slots=True)
class Kind:
    """What one kind of label says: facts by name, each line a list of them.

    `word` stands in the block before the date, unless a house rule or an unknown date
    puts its own there; `has_day_rule` asks for the ruler of days.
    """

    name: str
    word: str
    headline: str
    note: tuple[str, ...]
    lines: tuple[tuple[str, ...], ...]
    handling: str
    has_day_rule: bool


@cache
def load_kind(name: str) -> Kind:
    """The kind of that name, from its data file, checked; LabelError if it is wrong."""
    if not data.has("kind", name):
        known = ", ".join(data.names("kind"))
        raise LabelError(f"no kind of label {name!r}; there is {known}")
    table = data.read("kind", name)
    where = f"kind {name}"
    for key in sorted(set(table) ^ _KEYS):
        known = ", ".join(sorted(_KEYS))
        what = "is missing" if key in _KEYS else f"is no key; there are {known}"
        raise LabelError(f"{where}: {key} {what}")
    return Kind(
        name=name,
        word=data.text(table, "word", where),
        headline=_one_of(table["headline"], HEADLINES, f"{where}: headline"),
        note=_names(table["note"], NOTES, f"{where}: note"),
        lines=_lines(table["lines"], f"{where}: lines"),
        handling=_one_of(table["handling"], HANDLING, f"{where}: handling"),
        has_day_rule=_truth(table["day_rule"], f"{where}: day_rule"),
    )


def _lines(value: Any, where: str) -> tuple[tuple[str, ...], ...]:
    if not isinstance(value, list):
        raise LabelError(f"{where} must be a list of lines, not {value!r}")
    return tuple(_names(one, FACTS, where) for one in value)


def _names(value: Any, known: tuple[str, ...], where: str) -> tuple[str, ...]:
    if not isinstance(value, list):
        raise LabelError(f"{where} must be a list of names, not {value!r}")
    return tuple(_one_of(one, known, where) for one in value)


def _one_of(value: Any, known: tuple[str, ...], where: str) -> str:
    if value not in known:
        raise LabelError(f"{where} must be one of {', '.join(known)}, not {value!r}")
    return str(value)


def _truth(value: Any, where: str) -> bool:
    if not isinstance(value, bool):
        raise LabelError(f"{where} must be true or false, not {value!r}")
    return value
