"""The charts for food after a power cut, as they were published, row by row."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import Any

from lidclock.guidance.load import load_categories
from lidclock.guidance.model import Source

# From the mildest to the strictest.
DECISIONS = ("keep", "refreeze", "check", "discard")
FRIDGE, ICY, WARM = "fridge", "icy", "warm"
_CONDITIONS = {
    FRIDGE: "above {limit} for more than {hours:g} h",
    ICY: "still icy or at most {limit}",
    WARM: "thawed, above {limit} for more than {hours:g} h",
}
_NO_ROW = "no row of the chart fits this food; usual worst case"
_FILE = "outage.toml"


@dataclass(frozen=True, slots=True)
class Cited:
    """Where in which document a figure stands."""

    source: Source
    section: str


@dataclass(frozen=True, slots=True)
class Row:
    """One published row about food in one state: `fridge`, `icy` or `warm`.

    It applies above `above_f` for more than `hours`. `id` is empty where no row fits;
    `is_partial` tells that it is about only a part of the category that was asked for.
    """

    id: str
    says: str
    state: str
    decision: str
    cited: Cited
    above_f: float
    hours: float
    unless: str = ""
    quality: str = ""
    is_partial: bool = False

    @property
    def limit_c(self) -> float:
        """The published temperature in °C, unrounded."""
        return (self.above_f - 32) / 1.8

    @property
    def verdict(self) -> str:
        """Its decision; of a category that it fits in part, nothing below `check`."""
        least = "check" if self.is_partial else "keep"
        return max(self.decision, least, key=DECISIONS.index)

    @property
    def condition(self) -> str:
        """When it applies, with its numbers."""
        limit = say_degrees(self.limit_c)
        return _CONDITIONS[self.state].format(limit=limit, hours=self.hours)

    @property
    def outcome(self) -> str:
        """What it says to do then; the usual worst case where no row fits."""
        said = self.decision if self.id else "discard"
        said += f" {'even if' if said == 'keep' else 'if'} {self.condition}"
        said += f", but discard if {self.unless}" if self.unless else ""
        return f"{said}; no row for the rest of its kind" if self.is_partial else said

    @property
    def sentence(self) -> str:
        """The food, and what to do when."""
        return f"{self.says}: {self.outcome}"


@dataclass(frozen=True, slots=True)
class Entry:
    """A line of a chart: the categories it covers, and its row for each state."""

    rows: Mapping[str, Row]
    categories: frozenset[str] = frozenset()
    partly: frozenset[str] = frozenset()
    excluded: frozenset[str] = frozenset()

    def names(self, category: str) -> bool:
        """Whether the category itself stands in this line."""
        return category in self.categories or category in self.partly


@dataclass(frozen=True, slots=True)
class Hold:
    """How long a shut door holds the cold."""

    id: str
    says: str
    hours: float
    cited: Cited


@dataclass(frozen=True, slots=True)
class Advice:
    """What another authority says of perishables in general."""

    id: str
    says: str
    hours: float
    above_f: float
    cited: Cited


@dataclass(frozen=True, slots=True)
class Doubt:
    """What is said of food about which nobody knows."""

    says: str
    cited: Cited


@dataclass(frozen=True, slots=True)
class Charts:
    """Everything in the file; `no_row` is what is said where no line fits."""

    fridge: tuple[Entry, ...]
    freezer: tuple[Entry, ...]
    no_row: Mapping[str, Entry]
    holds: Mapping[str, Hold]
    advice: tuple[Advice, ...]
    doubt: Doubt
    cautions: tuple[str, ...]

    def rows_for(self, kind: str, category: str) -> Mapping[str, Row]:
        """The rows of the `fridge` or `freezer` chart for a category, by state.

        A line that names the category comes before one that names a group above it.
        """
        path = _path(category)
        lines = self.fridge if kind == FRIDGE else self.freezer
        for known in path:
            for line in lines:
                if line.names(known) and not line.excluded & set(path):
                    return _partial(line) if known in line.partly else line.rows
        return self.no_row[kind].rows


def _path(category: str) -> list[str]:
    """The category, its parent, and so on up."""
    tree, path = load_categories(), [category]
    while path[-1] in tree and tree[path[-1]].parent:
        path.append(tree[path[-1]].parent)
    return path


def _partial(line: Entry) -> Mapping[str, Row]:
    return {state: replace(row, is_partial=True) for state, row in line.rows.items()}


@cache
def load_charts() -> Charts:
    """The charts, read once."""
    folder = resources.files("lidclock.guidance") / "data"
    data = tomllib.loads((folder / _FILE).read_text("utf-8"))
    sources = {key: _cited(facts) for key, facts in data["source"].items()}
    no_row = data["no-row"]
    return Charts(
        fridge=tuple(_entry(facts, sources) for facts in data["fridge"]),
        freezer=tuple(_entry(facts, sources) for facts in data["freezer"]),
        no_row={
            FRIDGE: _missing(no_row[FRIDGE], sources, (FRIDGE,)),
            "freezer": _missing(no_row["freezer"], sources, (ICY, WARM)),
        },
        holds={
            key: Hold(cited=sources[facts.pop("source")], **facts)
            for key, facts in data["hold"].items()
        },
        advice=tuple(
            Advice(cited=sources[facts.pop("source")], **facts)
            for facts in data["advice"]
        ),
        doubt=Doubt(data["doubt"]["says"], sources[data["doubt"]["source"]]),
        cautions=tuple(data["caution"].values()),
    )


def _cited(facts: dict[str, Any]) -> Cited:
    section = facts.pop("section")
    return Cited(Source(**facts), section)


def _entry(facts: Mapping[str, Any], sources: Mapping[str, Cited]) -> Entry:
    """A line that is one row, or one of the freezer's with a row for each state."""
    shared = {key: facts[key] for key in ("says", "above_f", "hours")}
    shared["cited"] = sources[facts["source"]]
    keys = {WARM: "warm", ICY: "ice"}
    own = {state: facts[key] for state, key in keys.items() if key in facts}
    own = own or {FRIDGE: {key: facts[key] for key in ("id", "decision")}}
    rows = {state: Row(**{**shared, "state": state, **x}) for state, x in own.items()}
    named = (frozenset(facts.get(x, ())) for x in ("categories", "partly", "except"))
    return Entry(rows, *named)


def _missing(
    facts: Mapping[str, Any], sources: Mapping[str, Cited], states: tuple[str, ...]
) -> Entry:
    """What is said of food that is in no row, in whatever state it was found."""
    row = Row(
        id="",
        says=_NO_ROW,
        state=FRIDGE,
        decision="check",
        cited=sources[facts["source"]],
        above_f=facts["above_f"],
        hours=facts["hours"],
    )
    return Entry(dict.fromkeys(states, row))


def say_degrees(temp_c: float) -> str:
    """`4.4 °C (40 °F)`."""
    celsius = f"{temp_c:.1f}".removesuffix(".0")
    # Adding 0 makes 0 of -0.
    return f"{celsius} °C ({round(temp_c * 1.8 + 32) + 0} °F)"
