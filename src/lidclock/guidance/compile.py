"""`python -m lidclock.guidance.compile`: the rule files as JSON that loads at once.

The TOML files are the source; what this writes is checked to say the same. With
`--unverified` it lists every figure that nobody checked, for a look before a release.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Mapping
from dataclasses import asdict, fields
from functools import cache
from pathlib import Path
from typing import Any

from lidclock.guidance.categories import read_categories
from lidclock.guidance.model import Category, Rule
from lidclock.guidance.parse import RuleFile, read_toml
from lidclock.guidance.sets import GuidanceSet

HERE = Path(__file__).parent
DATA, COMPILED = HERE / "data", HERE / "compiled"
_CATEGORIES = "categories"
_TABLES = {_CATEGORIES, "tcs", "outage", "targets", "allergens"}


def source_names() -> list[str]:
    """The ids of the sets whose rule files lie here."""
    names = (path.stem for path in DATA.glob("*.toml"))
    return sorted(name for name in names if name not in _TABLES)


@cache
def parse_source(name: str) -> GuidanceSet:
    """A set straight from its rule file."""
    file = f"{name}.toml"
    text = (DATA / file).read_text("utf-8")
    categories, cautions = parse_categories()
    data = read_toml(file, text)
    reader = RuleFile(name, data, categories, cautions, text=text)
    return reader.read(parse_source)


@cache
def parse_categories() -> tuple[dict[str, Category], dict[str, str]]:
    """The category tree and the cautions straight from their file."""
    file = f"{_CATEGORIES}.toml"
    data = read_toml(file, (DATA / file).read_text("utf-8"))
    return read_categories(data["category"]), data["caution"]


def compiled() -> Iterator[tuple[str, str]]:
    """Every compiled file by name, with its text."""
    categories, cautions = parse_categories()
    tree = {key: _short(one, Category) for key, one in categories.items()}
    yield f"{_CATEGORIES}.json", _json({"category": tree, "caution": cautions})
    for name in source_names():
        yield f"{name}.json", _json(_set(parse_source(name)))


def _set(guidance: GuidanceSet) -> dict[str, Any]:
    sources = list(dict.fromkeys(rule.source for rule in guidance.rules))
    return {
        "head": {
            "id": guidance.id,
            "title": guidance.title,
            "authority": guidance.authority,
            "advice": guidance.advice,
            "cold_c": guidance.cold_c,
            "allergens": guidance.allergens,
            "uses_tcs_tables": guidance.uses_tcs_tables,
            "note": guidance.note,
        },
        "counting": asdict(guidance.counting),
        "sources": [asdict(source) for source in sources],
        "rules": [
            {**_short(rule, Rule), "source": sources.index(rule.source)}
            for rule in guidance.rules
        ],
    }


def _short(one: Any, kind: type) -> dict[str, Any]:
    """The fields that differ from what they are by default, sets in order."""
    found = {}
    for field in fields(kind):
        value = getattr(one, field.name)
        if value != field.default:
            is_set = isinstance(value, frozenset)
            found[field.name] = sorted(value) if is_set else value
    return found


def _json(value: Mapping[str, Any]) -> str:
    return json.dumps(value, ensure_ascii=False, indent=0) + "\n"


def unverified() -> Iterator[str]:
    """Every shipped figure that was not read at its source, one a line."""
    for name in source_names():
        for rule in parse_source(name).rules:
            source = rule.source
            if not source.verified:
                yield f"{name}: {rule.id}: {source.authority}, {source.document}"


def write(folder: Path = COMPILED) -> int:
    """Write every compiled file; how many."""
    folder.mkdir(exist_ok=True)
    files = dict(compiled())
    for name, text in files.items():
        (folder / name).write_text(text, "utf-8")
    return len(files)


if __name__ == "__main__":
    if sys.argv[1:] == ["--unverified"]:
        print("\n".join(unverified()))
    else:
        print(f"{write()} files written to {COMPILED.name}/")
