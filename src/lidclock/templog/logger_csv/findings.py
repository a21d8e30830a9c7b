"""Findings about a logger's file: all of them, grouped, with their line numbers."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

LINES_NAMED = 2
_MOST_GROUPS = 40
_LONGEST_QUOTE = 40

# Kinds that left a row out. The others are told, and the rows are kept.
REFUSED: Final = {
    "no-time": "no time that can be read",
    "no-temperature": "no temperature",
    "fields": "not as many fields as in other rows",
    "sentinel": "a number that stands for no reading",
    "out-of-range": "no temperature of a kitchen",
    "power-on": "the value a sensor starts with",
    "name": "no name of a sensor",
    "skipped-hour": "a local time that does not exist",
    "zone-word": "an unknown zone",
    "future": "in the future",
    "too-old": "before there was this logger",
    "too-long": "longer than a line can be",
    "other-device": "rows of another device follow",
    "cut-off": "the file ends in the middle",
    "clash": "another temperature is recorded for that moment",
}
TOLD: Final = {
    "repeated-hour": "a local time that occurs twice",
    "out-of-order": "out of order",
    "twice": "there twice",
    "two-values": "two values for one moment",
    "stuck": "the same value for hours",
    "perhaps-power-on": "the value a sensor starts with",
    "no-reading": "a row without a temperature",
    "not-a-row": "no row",
    "nul": "NUL bytes",
}


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing about the file; `lines` are the first few of `count` lines."""

    kind: str
    what: str
    count: int
    lines: tuple[int, ...] = ()

    @property
    def is_refusal(self) -> bool:
        """Whether rows were left out because of it."""
        return self.kind in REFUSED

    def say(self) -> str:
        """`lines 14, 15 and 9 more: '###' is no temperature`."""
        return f"{say_lines(self.lines, self.count)}: {self.what}"


def say_lines(lines: tuple[int, ...], count: int) -> str:
    """`line 7`, `lines 7 and 9`, `lines 7, 9 and 1,204 more`."""
    named = [f"{line:,}" for line in lines]
    if not named:
        return "the file"
    if count == 1:
        return f"line {named[0]}"
    more = count - len(named)
    last = f"{more:,} more" if more else named.pop()
    return f"lines {', '.join(named)} and {last}"


def quoted(text: str) -> str:
    """The text as it may be shown: short, and nothing that commands a screen."""
    shown = "".join(one if one.isprintable() else "·" for one in text)
    if len(shown) > _LONGEST_QUOTE:
        shown = f"{shown[: _LONGEST_QUOTE - 1]}…"
    return f"'{shown}'"


@dataclass(slots=True)
class _Group:
    count: int = 0
    lines: list[int] = field(default_factory=list)


class Findings:
    """Collects findings; bounded, however many lines of a file are bad."""

    def __init__(self) -> None:
        self._groups: dict[tuple[str, str], _Group] = {}
        self._sizes: dict[str, int] = {}

    def add(self, kind: str, what: str, lines: Iterable[int] = ()) -> None:
        """Note `what` about `lines`; equal words of a kind become one finding."""
        if kind not in REFUSED and kind not in TOLD:
            raise ValueError(f"no kind of finding {kind!r}")
        numbers = [int(line) for line in lines]
        group = self._group(kind, what)
        group.count += len(numbers)
        group.lines = sorted([*group.lines, *numbers])[:LINES_NAMED]

    def add_rows(self, kind: str, what: str, lines: NDArray[np.int64]) -> None:
        """The same for many lines at once; none is no finding."""
        if lines.size:
            few = np.partition(lines, min(LINES_NAMED, lines.size) - 1)[:LINES_NAMED]
            self.add(kind, what, few.tolist())
            self._group(kind, what).count += int(lines.size) - int(few.size)

    def _group(self, kind: str, what: str) -> _Group:
        key = (kind, what)
        if key not in self._groups and self._sizes.get(kind, 0) >= _MOST_GROUPS:
            key = (kind, f"{(REFUSED | TOLD)[kind]} (others)")
        if key not in self._groups:
            self._sizes[kind] = self._sizes.get(kind, 0) + 1
            self._groups[key] = _Group()
        return self._groups[key]

    def all(self) -> tuple[Finding, ...]:
        """Every finding: rows that were left out first, then by line."""
        found = [
            Finding(kind, what, max(group.count, 1), tuple(group.lines))
            for (kind, what), group in self._groups.items()
        ]
        return tuple(
            sorted(found, key=lambda one: (not one.is_refusal, one.lines, one.what))
        )

    @property
    def refused(self) -> int:
        """How many times a row was left out."""
        return sum(
            max(group.count, 1)
            for (kind, _), group in self._groups.items()
            if kind in REFUSED
        )
