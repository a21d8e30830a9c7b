"""What the look-up tables share: reading a packaged file, its sources, its keys."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import resources
from typing import Any

from lidclock.guidance.model import GRADES, Source
from lidclock.guidance.part import FilePart


def packaged(file: str) -> str:
    """The text of a data file that is shipped."""
    return (resources.files("lidclock.guidance") / "data" / file).read_text("utf-8")


def read_sources(part: FilePart, entries: Mapping[str, Any]) -> dict[str, Source]:
    """Every `[source.KEY]`; whatever is missing or unknown in one is refused."""
    return {
        key: read_source(part.at(f"source.{key}"), facts)
        for key, facts in entries.items()
    }


def read_source(where: FilePart, facts: Any) -> Source:
    """Where a figure was published; every field must be there."""
    if not isinstance(facts, dict):
        raise where.error("", "write it as a table")
    where.refuse_strays(facts, set(Source.__dataclass_fields__))
    for key in Source.__dataclass_fields__:
        where.refuse_missing(facts, key)
        if key != "verified":
            where.read_text(facts, key, "")
    where.flag(facts, "verified")
    where.one_of("grade", facts["grade"], GRADES)
    return Source(**facts)


def tables(where: FilePart, data: Mapping[str, Any], key: str) -> dict[str, Any]:
    """The tables `[key.NAME]` by name; refused if there are none."""
    found = data.get(key)
    if not isinstance(found, dict) or not found:
        raise where.error(key, f"write at least one [{key}.NAME]")
    return found
