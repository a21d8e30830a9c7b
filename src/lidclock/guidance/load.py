"""Reads the packaged guidance files; anything malformed is refused with its place."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources
from typing import Any

from lidclock.domain.foods import MADE_BY, PACKS
from lidclock.errors import GuidanceError, UnknownThingError
from lidclock.guidance.model import (
    ANCHORS,
    KINDS,
    NATURES,
    TCS,
    Category,
    Counting,
    GuidanceSet,
    Rule,
    Source,
)

_CATEGORIES = "categories.toml"
_RULE_KEYS = {
    *("id", "kind", "source", "section", "says", "categories", "made_by", "pack"),
    *("anchor", "days", "months", "hours", "above_c", "below_c", "kill_c"),
}
_NUMBERED = {
    "day-count": "days",
    "quality": "months",
    "elapsed": "hours",
    "exposure": "hours",
    "process": "hours",
}


@cache
def set_names() -> tuple[str, ...]:
    """The ids of all guidance sets that are shipped."""
    folder = resources.files("lidclock.guidance") / "data"
    names = (entry.name for entry in folder.iterdir())
    return tuple(
        sorted(
            name.removesuffix(".toml")
            for name in names
            if name.endswith(".toml") and name != _CATEGORIES
        )
    )


@cache
def load_set(name: str) -> GuidanceSet:
    """The guidance set called `name`; UnknownThingError names those there are."""
    if name not in set_names():
        raise UnknownThingError(
            f"no guidance set {name!r}; there are {', '.join(set_names())}"
        )
    return parse_set(name, _read(f"{name}.toml"))


@cache
def load_categories() -> dict[str, Category]:
    """All food categories by id."""
    entries = _read(_CATEGORIES)["category"]
    return {
        key: _category(f"{_CATEGORIES}: category.{key}", key, facts)
        for key, facts in entries.items()
    }


@cache
def load_cautions() -> dict[str, str]:
    """The wording of every caution by id."""
    cautions: dict[str, str] = _read(_CATEGORIES)["caution"]
    return cautions


def parse_set(name: str, data: dict[str, Any]) -> GuidanceSet:
    """A guidance set from its parsed file; GuidanceError says where it is wrong."""
    head = _part(name, data, "set")
    base = load_set(head["extends"]) if "extends" in head else None
    sources = {
        key: _source(f"{name}.toml: source.{key}", facts)
        for key, facts in data.get("source", {}).items()
    }
    rules = [
        _rule(f"{name}.toml: rule {index}", facts, sources)
        for index, facts in enumerate(data.get("rule", []), start=1)
    ]
    rules = [*(base.rules if base else ()), *rules]
    _refuse_twins(name, rules)
    counting = _counting(f"{name}.toml: counting", data.get("counting", {}), base)
    try:
        return GuidanceSet(
            id=name,
            title=head["title"],
            authority=head["authority"],
            advice=head["advice"],
            cold_c=float(head["cold_c"] if base is None else base.cold_c),
            counting=counting,
            rules=tuple(rules),
            categories=load_categories(),
            cautions=load_cautions(),
        )
    except KeyError as error:
        raise GuidanceError(f"{name}.toml: set: {error} is missing") from error


def _read(name: str) -> dict[str, Any]:
    text = (resources.files("lidclock.guidance") / "data" / name).read_text("utf-8")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise GuidanceError(f"{name}: {error}") from error


def _part(name: str, data: dict[str, Any], key: str) -> dict[str, Any]:
    part = data.get(key)
    if not isinstance(part, dict):
        raise GuidanceError(f"{name}.toml: a [{key}] table is missing")
    return part


def _refuse_twins(name: str, rules: list[Rule]) -> None:
    seen: set[str] = set()
    for rule in rules:
        if rule.id in seen:
            raise GuidanceError(f"{name}.toml: rule id {rule.id!r} is used twice")
        seen.add(rule.id)


def _counting(where: str, facts: dict[str, Any], base: GuidanceSet | None) -> Counting:
    start = base.counting if base else Counting()
    words = {"counts": True, "free": False}
    unknown = facts.keys() - {"freeze_day", "thaw_day", "fresh_hours", "says"}
    if unknown:
        raise GuidanceError(f"{where}: unknown key {sorted(unknown)[0]!r}")
    try:
        return Counting(
            words[facts["freeze_day"]]
            if "freeze_day" in facts
            else start.freeze_day_counts,
            words[facts["thaw_day"]] if "thaw_day" in facts else start.thaw_day_counts,
            facts.get("fresh_hours", start.fresh_hours),
            facts.get("says", start.says),
        )
    except KeyError as error:
        raise GuidanceError(f"{where}: {error} is neither counts nor free") from error


def _source(where: str, facts: dict[str, Any]) -> Source:
    try:
        return Source(**facts)
    except TypeError as error:
        raise GuidanceError(f"{where}: {error}") from error


def _category(where: str, key: str, facts: dict[str, Any]) -> Category:
    try:
        known: dict[str, Any] = {
            name: tuple(value) if isinstance(value, list) else value
            for name, value in facts.items()
        }
        category = Category(id=key, **known)
    except TypeError as error:
        raise GuidanceError(f"{where}: {error}") from error
    if category.nature not in NATURES or category.tcs not in TCS:
        raise GuidanceError(f"{where}: nature is {NATURES}, tcs is {TCS}")
    return category


def _rule(where: str, facts: dict[str, Any], sources: dict[str, Source]) -> Rule:
    where = f"{where} ({facts.get('id', 'no id')})"
    unknown = facts.keys() - _RULE_KEYS
    if unknown:
        raise GuidanceError(f"{where}: unknown key {sorted(unknown)[0]!r}")
    for key in ("id", "kind", "source", "section", "says"):
        if not isinstance(facts.get(key), str):
            raise GuidanceError(f"{where}: {key} is missing or not text")
    if facts["source"] not in sources:
        raise GuidanceError(f"{where}: no source called {facts['source']!r}")
    _refuse_word(where, "kind", facts["kind"], KINDS)
    _refuse_word(where, "made_by", facts.get("made_by", ""), ("", *MADE_BY))
    _refuse_word(where, "pack", facts.get("pack", ""), ("", *PACKS))
    _refuse_word(where, "anchor", facts.get("anchor", "made"), ANCHORS)
    categories = frozenset(facts.get("categories", ()))
    stray = categories - load_categories().keys()
    if stray:
        raise GuidanceError(f"{where}: no category {sorted(stray)[0]!r}")
    low, high = _range(where, facts)
    return Rule(
        id=facts["id"],
        kind=facts["kind"],
        source=sources[facts["source"]],
        section=facts["section"],
        says=facts["says"],
        categories=categories,
        made_by=facts.get("made_by", ""),
        pack=facts.get("pack", ""),
        anchor=facts.get("anchor", "made"),
        low=low,
        high=high,
        hours=float(facts.get("hours", 0)),
        above_c=facts.get("above_c"),
        below_c=facts.get("below_c"),
        kill_c=facts.get("kill_c"),
    )


def _refuse_word(where: str, key: str, value: str, known: tuple[str, ...]) -> None:
    if value not in known:
        raise GuidanceError(f"{where}: {key} {value!r} is not one of {known}")


def _range(where: str, facts: dict[str, Any]) -> tuple[int, int]:
    """The low and high end of `days` or `months`; zeros where the kind has none."""
    needed = _NUMBERED.get(facts["kind"])
    if needed is None:
        return 0, 0
    value = facts.get(needed)
    if needed == "hours":
        if not isinstance(value, int | float) or not 0 < value <= 1000:
            raise GuidanceError(f"{where}: hours must lie within 0 and 1000")
        return 0, 0
    ends: list[Any] = value if isinstance(value, list) else [value, value]
    # `true` is an int to Python, not to a person.
    whole = all(type(end) is int and 0 < end <= 1000 for end in ends)
    if len(ends) != 2 or not whole or ends[0] > ends[1]:
        raise GuidanceError(
            f"{where}: {needed} must be a whole number or [low, high], not {value!r}"
        )
    return int(ends[0]), int(ends[1])
