"""Reads the packaged compositions; anything malformed is refused with its place."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from lidclock.errors import GuidanceError
from lidclock.heat.components import PARTS
from lidclock.heat.properties import Composition

# How the freezing point of a food was come by; see data/foods.toml.
WAYS = {
    "range": "chosen within a published range",
    "reckoned": "reckoned from its salt and sugar",
    "assumed": "between those of foods like it, assumed",
    "memory": "from memory, unverified",
    "guess": "a guess",
}


@dataclass(frozen=True, slots=True)
class Food:
    """A food whose composition is known, with where it comes from."""

    id: str
    name: str
    composition: Composition
    freezing: str
    document: str
    year: str
    seen: str
    number: str


@cache
def load_foods() -> Mapping[str, Food]:
    """Every food by its id, read once."""
    text = (files("lidclock.heat") / "data" / "foods.toml").read_text("utf-8")
    return read_foods(text)


def read_foods(text: str) -> Mapping[str, Food]:
    """The foods in the text; GuidanceError names the entry that is malformed."""
    try:
        table = tomllib.loads(text)
        foods = [_food(row, table["source"]) for row in table["food"]]
    except (KeyError, TypeError, ValueError) as error:
        raise GuidanceError(f"foods.toml: {error}") from error
    found = {one.id: one for one in foods}
    if len(found) != len(foods):
        raise GuidanceError("foods.toml: an id stands twice")
    return found


def _food(row: Mapping[str, Any], sources: Mapping[str, Any]) -> Food:
    source = sources[row["source"]]
    if row["freezing"] not in WAYS:
        raise ValueError(f"{row['id']}: freezing is none of {', '.join(WAYS)}")
    parts = {part: float(row[part]) for part in PARTS}
    return Food(
        row["id"],
        row["name"],
        Composition(**parts, freezing_c=float(row["freezing_c"])),
        row["freezing"],
        source["document"],
        source["year"],
        source["seen"],
        row["ndb"],
    )
