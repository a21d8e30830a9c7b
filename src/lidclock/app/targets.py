"""Looking up targets: how hot, how cold, how long, how accurate, by whose word."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from lidclock.errors import InputError, UnknownThingError
from lidclock.guidance.model import Source
from lidclock.guidance.targets import (
    Target,
    labels,
    nearest_words,
    search,
)
from lidclock.guidance.thermometer import (
    HIGHEST_M,
    LOWEST_M,
    boiling_point_c,
    ice_point_c,
)

__all__ = [
    "CAUTION",
    "COMPUTED",
    "Boiling",
    "Target",
    "boiling_at",
    "fahrenheit",
    "find_targets",
    "grouped",
    "set_title",
    "source_json",
    "target_json",
]

CAUTION = "law in force is local: where figures differ, ask your local food authority"
COMPUTED = "computed: standard atmosphere (ISO 2533), Antoine equation for water"


@dataclass(frozen=True, slots=True)
class Boiling:
    """What a probe should show in melting ice and in boiling water, at one altitude."""

    altitude_m: float
    boiling_c: float
    ice_c: float

    def as_dict(self) -> dict[str, Any]:
        """The same as JSON-ready data, in both scales."""
        return {
            "altitude_m": round(self.altitude_m, 1),
            "boiling_c": round(self.boiling_c, 1),
            "boiling_f": round(fahrenheit(self.boiling_c), 1),
            "ice_c": self.ice_c,
            "ice_f": fahrenheit(self.ice_c),
            "source": COMPUTED,
        }


def fahrenheit(celsius: float) -> float:
    """Degrees Fahrenheit."""
    return celsius * 1.8 + 32


def find_targets(words: Sequence[str], set_id: str | None = None) -> list[Target]:
    """The targets that fit the words; UnknownThingError names the nearest words."""
    found = search(words, set_id)
    if found:
        return found
    asked = " ".join(words)
    elsewhere = list(dict.fromkeys(one.set for one in search(words))) if set_id else []
    if elsewhere:
        raise UnknownThingError(
            f"{set_id} has no target for {asked!r}; found in {', '.join(elsewhere)}: "
            "leave out --set"
        )
    close = nearest_words(words)
    raise UnknownThingError(
        f"no target for {asked!r}; "
        + (f"nearest: {', '.join(close)}" if close else "try cooking, reheat or fridge")
    )


def grouped(targets: Sequence[Target]) -> dict[str, list[Target]]:
    """The targets by topic; the topic of the best one first."""
    found: dict[str, list[Target]] = {}
    for one in targets:
        found.setdefault(one.topic, []).append(one)
    return found


def set_title(set_id: str) -> str:
    """Whose targets they are, in words."""
    return labels()[set_id].title


def boiling_at(altitude_m: float) -> Boiling:
    """The two fixed points of a probe check; InputError outside -450 to 9000 m."""
    if not LOWEST_M <= altitude_m <= HIGHEST_M:
        raise InputError(
            f"altitude must lie within {LOWEST_M:g} and {HIGHEST_M:g} m, "
            f"not {altitude_m:g} m"
        )
    return Boiling(altitude_m, boiling_point_c(altitude_m), ice_point_c())


def target_json(one: Target) -> dict[str, Any]:
    """A target as JSON-ready data: figures by key, `null` where nothing is said."""
    return {
        "id": one.id,
        "topic": one.topic,
        "set": one.set,
        "food": one.food,
        "says": one.says,
        "figures": {x.key: _figure(x.low, x.high, x.stages) for x in one.figures},
        "bound": one.bound or None,
        "action": one.action or None,
        "moisture_class": one.moisture_class or None,
        "category": one.category or None,
        "options": list(one.options),
        "allowed": one.allowed,
        "exempt": one.exempt,
        **source_json(one.source, one.section),
    }


def _figure(low: float, high: float | None, stages: Sequence[float]) -> Any:
    if stages:
        return list(stages)
    return low if low == high else {"low": low, "high": high}


def source_json(source: Source, section: str) -> dict[str, Any]:
    """Where something was published, as JSON-ready data."""
    return {
        "authority": source.authority,
        "document": source.document,
        "section": section,
        "year": source.year,
        "url": source.url,
        "verified": source.verified,
    }
