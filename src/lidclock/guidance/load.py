"""Loads the shipped guidance: compiled from its rule files, so that it is quick."""

from __future__ import annotations

import json
from functools import cache
from importlib import resources
from typing import Any

from lidclock.domain.sentences import Sentence
from lidclock.errors import UnknownThingError
from lidclock.guidance.model import Category, Counting, Rule, Source
from lidclock.guidance.sets import GuidanceSet

_CATEGORIES = "categories.json"
_SETS = ("categories", "packs", "states")


@cache
def set_names() -> tuple[str, ...]:
    """The ids of all guidance sets that are shipped."""
    folder = resources.files("lidclock.guidance") / "compiled"
    names = (entry.name for entry in folder.iterdir())
    return tuple(
        sorted(
            name.removesuffix(".json")
            for name in names
            if name.endswith(".json") and name != _CATEGORIES
        )
    )


@cache
def load_set(name: str) -> GuidanceSet:
    """The guidance set called `name`; UnknownThingError names those there are."""
    if name not in set_names():
        raise UnknownThingError(
            f"no guidance set {name!r}; there are {', '.join(set_names())}"
        )
    data = _read(f"{name}.json")
    sources = [Source(**facts) for facts in data["sources"]]
    return GuidanceSet(
        **data["head"] | _said(data["head"], "advice", "title"),
        counting=Counting(**{k: _tuple(v) for k, v in data["counting"].items()}),
        rules=tuple(_rule(facts, sources) for facts in data["rules"]),
        categories=load_categories(),
        cautions=load_cautions(),
    )


def _rule(facts: dict[str, Any], sources: list[Source]) -> Rule:
    for key in _SETS:
        if key in facts:
            facts[key] = frozenset(facts[key])
    facts["source"] = sources[facts["source"]]
    return Rule(**facts)


@cache
def load_categories() -> dict[str, Category]:
    """All food categories by id, a parent before its children.

    Their names, and what is offered for one, are sentences: pages say them.
    """
    return {
        key: Category(
            **{k: _tuple(v) for k, v in facts.items()} | _said(facts, "name", "offer")
        )
        for key, facts in _tree()["category"].items()
    }


@cache
def load_cautions() -> dict[str, str]:
    """The wording of every caution by id."""
    cautions: dict[str, str] = _tree()["caution"]
    return {key: Sentence(says, {}) for key, says in cautions.items()}


@cache
def _tree() -> dict[str, Any]:
    return _read(_CATEGORIES)


def _read(name: str) -> dict[str, Any]:
    folder = resources.files("lidclock.guidance") / "compiled"
    found: dict[str, Any] = json.loads((folder / name).read_bytes())
    return found


def _said(facts: dict[str, Any], *keys: str) -> dict[str, Sentence]:
    """What is the program's own wording, for pages to say in their language."""
    return {key: Sentence(facts[key], {}) for key in keys if key in facts}


def _tuple(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value
