"""Reads the packaged files; anything malformed is refused with its place."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files

from lidclock.errors import GuidanceError
from lidclock.kinetics.organisms import Library
from lidclock.kinetics.read import read_hazards, read_organisms, read_sources

NAMES = ("sources", "organisms", "app4")


@cache
def load_library() -> Library:
    """Every organism and table, read once."""
    folder = files("lidclock.kinetics") / "data"
    return read_library(
        {name: (folder / f"{name}.toml").read_text("utf-8") for name in NAMES}
    )


def read_library(texts: dict[str, str]) -> Library:
    """The library in these texts; GuidanceError names file, entry and key."""
    tables = {name: _toml(name, texts[name]) for name in NAMES}
    sources = read_sources("sources.toml", tables["sources"])
    organisms = read_organisms("organisms.toml", tables["organisms"], sources)
    hazards = read_hazards("app4.toml", tables["app4"], sources)
    return Library(sources, organisms, hazards)


def _toml(name: str, text: str) -> dict[str, object]:
    try:
        return tomllib.loads(text)
    except ValueError as error:
        raise GuidanceError(f"{name}.toml: not TOML: {error}") from error
