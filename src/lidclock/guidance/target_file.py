"""From the file of targets to values; anything malformed is refused with its place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from lidclock.guidance.model import Source
from lidclock.guidance.parse import read_toml
from lidclock.guidance.part import FilePart
from lidclock.guidance.tables import read_sources, tables
from lidclock.guidance.target import (
    ACTIONS,
    BOUNDS,
    MOISTURE_CLASSES,
    TOPICS,
    Figure,
    Label,
    Target,
)

_TEXTS = ("id", "topic", "set", "source", "section", "food", "says")
# What a figure may be: its key with the unit, and within which bounds.
_TEMPS = ("temp", "from", "to", "above")
_FIGURES: dict[str, tuple[float, float]] = {
    **{f"{name}_c": (-60, 320) for name in _TEMPS},
    **{f"{name}_f": (-76, 608) for name in _TEMPS},
    "tolerance_c": (0, 10),
    "tolerance_f": (0, 18),
    "seconds": (0, 3600),
    "minutes": (0, 1440),
    "hours": (0, 1000),
    "days": (0, 366),
    "stage_hours": (0, 1000),
    "hours_per_5_lb": (0, 240),
    "water_change_minutes": (0, 1440),
    "interval_minutes": (0, 1440),
    "per_day": (0, 1440),
    "times": (0, 100),
    "ph": (0, 14),
    "aw": (0, 1),
    "salt_pct": (0, 100),
    "moisture_pct": (0, 100),
    "altitude_ft": (-2000, 30_000),
    "x_height_mm": (0, 100),
}
_WORDS = {
    "topic": TOPICS,
    "bound": BOUNDS,
    "action": ACTIONS,
    "moisture_class": MOISTURE_CLASSES,
}
_KEYS = frozenset(
    {*_TEXTS, *_FIGURES, *_WORDS, "words", "options", "category"}
    | {"any_food", "allowed", "exempt"}
)


@dataclass(frozen=True, slots=True)
class TargetFile:
    """Everything in the file: whose targets there are, and the targets."""

    labels: Mapping[str, Label]
    targets: tuple[Target, ...]


def read_targets(file: str, content: str) -> TargetFile:
    """The whole file; GuidanceError names file, entry and key of what is wrong."""
    part, data = FilePart(file), read_toml(file, content)
    part.refuse_strays(data, {"set", "source", "target"})
    labels = {
        key: _label(part.at(f"set.{key}"), facts)
        for key, facts in tables(part, data, "set").items()
    }
    sources = read_sources(part, tables(part, data, "source"))
    entries = data.get("target")
    if not isinstance(entries, list) or not entries:
        raise part.error("target", "write each target as [[target]]")
    found: dict[str, Target] = {}
    for number, facts in enumerate(entries, start=1):
        name = facts.get("id", "no id") if isinstance(facts, dict) else "no table"
        where = part.at(f"target {number}", f"({name})")
        one = _target(where, facts, sources, labels)
        if one.id in found:
            raise where.error("id", f"id {one.id!r} is used twice")
        found[one.id] = one
    return TargetFile(labels, tuple(found.values()))


def _label(where: FilePart, facts: Any) -> Label:
    if not isinstance(facts, dict):
        raise where.error("", "write it as a table")
    where.refuse_strays(facts, {"title", "also"})
    return Label(where.word(facts, "title"), where.read_texts(facts, "also"))


def _target(
    where: FilePart,
    facts: Any,
    sources: Mapping[str, Source],
    labels: Mapping[str, Label],
) -> Target:
    if not isinstance(facts, dict):
        raise where.error("", "write each target as [[target]]")
    where.refuse_strays(facts, _KEYS)
    plain = {key: where.word(facts, key) for key in _TEXTS}
    where.one_of("set", plain["set"], tuple(labels))
    if plain["source"] not in sources:
        raise where.error("source", f"no source called {plain['source']!r}")
    for key, known in _WORDS.items():
        where.one_of(key, facts.get(key, known[0]), known)
    words = where.read_texts(facts, "words")
    if not words:
        raise where.error("words", "words are missing: how would anybody find it?")
    _check_degrees(where, facts)
    return Target(
        id=plain["id"],
        topic=plain["topic"],
        set=plain["set"],
        source=sources[plain["source"]],
        section=plain["section"],
        food=plain["food"],
        words=words,
        says=plain["says"],
        any_food=where.flag(facts, "any_food"),
        figures=tuple(_figure(where, facts, key) for key in _FIGURES if key in facts),
        bound=facts.get("bound", ""),
        action=facts.get("action", ""),
        moisture_class=facts.get("moisture_class", ""),
        category=where.word(facts, "category") if "category" in facts else "",
        options=where.read_texts(facts, "options"),
        allowed=where.known_flag(facts, "allowed"),
        exempt=where.known_flag(facts, "exempt"),
    )


def _figure(where: FilePart, facts: Mapping[str, Any], key: str) -> Figure:
    """A number, `{ low, high }`, `{ low }` that is open above, or a list of stages."""
    value, bounds = facts[key], _FIGURES[key]
    if key.startswith("stage"):
        if not isinstance(value, list) or len(value) < 2:
            raise where.error(key, f"{key} must be a list of numbers, not {value!r}")
        stages = tuple(where.number({key: one}, key, *bounds) for one in value)
        return Figure(key, sum(stages), sum(stages), stages)
    if not isinstance(value, dict):
        number = where.number(facts, key, *bounds)
        return Figure(key, number, number)
    where.refuse_strays(value, {"low", "high"}, f" in {key}")
    ends = {end: where.number({key: x}, key, *bounds) for end, x in value.items()}
    if "low" not in ends:
        raise where.error(key, f"{key} needs a low end")
    if ends["low"] >= ends.get("high", float("inf")):
        raise where.error(key, f"{key}: low must lie below high")
    return Figure(key, ends["low"], ends.get("high"))


def _check_degrees(where: FilePart, facts: Mapping[str, Any]) -> None:
    """Degrees Fahrenheit stand with their conversion, rounded to 0.1 °C."""
    for name in _TEMPS:
        fahrenheit, celsius = f"{name}_f", f"{name}_c"
        if fahrenheit not in facts:
            continue
        if celsius not in facts:
            raise where.error(celsius, f"{celsius} is missing beside {fahrenheit}")
        warm = _figure(where, facts, fahrenheit).ends
        if _figure(where, facts, celsius).ends != tuple(map(in_celsius, warm)):
            raise where.error(celsius, f"{celsius} is not {fahrenheit} to 0.1 degree")


def in_celsius(fahrenheit: float) -> float:
    """Degrees Celsius, rounded to 0.1."""
    return round((fahrenheit - 32) / 1.8, 1)
