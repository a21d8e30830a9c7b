"""Heat processes: minutes at a reference temperature and what they are worth."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from lidclock.errors import GuidanceError
from lidclock.kinetics.organisms import UNVERIFIED, Source
from lidclock.kinetics.parameters import celsius
from lidclock.kinetics.rates import need_finite, need_positive
from lidclock.kinetics.read import read_sources

_FILE = "processes.toml"
_TEXTS = ("id", "name", "source", "says")
_NUMBERS = ("reference_f", "minutes", "logs", "z_f")
_KEYS = {*_TEXTS, *_NUMBERS, "valid_f"}


@dataclass(frozen=True, slots=True)
class Process:
    """A reference process and how it carries over to other temperatures.

    `d_min` is the time for one log reduction at `reference_c`, None where nobody said.
    Between `valid_c` the figures hold: what is colder counts nothing, what is warmer
    counts as the warmest of them.
    """

    id: str
    name: str
    source: Source
    reference_c: float
    z_c: float
    d_min: float | None = None
    minutes: float | None = None
    logs: float | None = None
    valid_c: tuple[float, float] = (-math.inf, math.inf)
    says: str = ""

    def __post_init__(self) -> None:
        need_finite(reference_c=self.reference_c)
        need_positive(z_c=self.z_c)
        if self.d_min is not None:
            need_positive(d_min=self.d_min)


GIVEN = Source(
    "given",
    authority="",
    document="figures given in the question",
    section="",
    year="",
    url="",
    status=UNVERIFIED,
    seen="not checked",
)


def given(reference_c: float, z_c: float, d_min: float | None) -> Process:
    """A process whose figures somebody gave; where they hold was not said."""
    return Process(
        "given", "figures given in the question", GIVEN, reference_c, z_c, d_min
    )


@cache
def load_processes() -> Mapping[str, Process]:
    """Every process that comes with the program, read once."""
    folder = files("lidclock.kinetics") / "data"
    return read_processes((folder / _FILE).read_text("utf-8"))


def read_processes(text: str) -> dict[str, Process]:
    """The processes in this text; GuidanceError names the entry and what is wrong."""
    try:
        data = tomllib.loads(text)
    except ValueError as error:
        raise GuidanceError(f"{_FILE}: not TOML: {error}") from error
    sources = read_sources(_FILE, {"source": data.get("source")})
    found: dict[str, Process] = {}
    for facts in data.get("process", []):
        one = _process(facts, sources)
        if one.id in found:
            raise GuidanceError(f"{_FILE}: process {one.id!r} stands twice")
        found[one.id] = one
    return found


def _process(facts: Mapping[str, Any], sources: Mapping[str, Source]) -> Process:
    where = f"{_FILE}: process {facts.get('id', 'without id')}"
    if facts.keys() != _KEYS:
        odd = ", ".join(sorted(facts.keys() ^ _KEYS))
        raise GuidanceError(f"{where}: lacking or unknown: {odd}")
    if facts["source"] not in sources:
        raise GuidanceError(f"{where}: no source called {facts['source']!r}")
    low, high = (celsius(end) for end in facts["valid_f"])
    minutes, logs = float(facts["minutes"]), float(facts["logs"])
    try:
        return Process(
            facts["id"],
            facts["name"],
            sources[facts["source"]],
            celsius(facts["reference_f"]),
            facts["z_f"] / 1.8,
            minutes / logs,
            minutes,
            logs,
            (low, high),
            facts["says"],
        )
    except ValueError as error:
        raise GuidanceError(f"{where}: {error}") from error
