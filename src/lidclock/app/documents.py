"""Reads JSON documents that people write: every fault is named, with what to do."""

from __future__ import annotations

import json
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from lidclock.errors import FaultsError, InputError

_LONGEST_INT = 10**40


class Faults:
    """Everything that is wrong with one document, each thing with its place."""

    most_shown = 20

    def __init__(self) -> None:
        self.faults: list[tuple[str, str]] = []

    def fault(self, where: str, what: str) -> None:
        """One thing that is wrong, and what to do."""
        self.faults.append((where, what))

    def refuse_strays(
        self, where: str, facts: Mapping[str, Any], known: frozenset[str]
    ) -> None:
        """Name each key that nobody knows."""
        for key in sorted(facts.keys() - known):
            expected = ", ".join(sorted(known))
            self.fault(
                where, f"unknown key {shown(key)}; leave it out, or use {expected}"
            )

    def end(self) -> None:
        """FaultsError if one was found; its message tells some, and how many more."""
        if not self.faults:
            return
        first = self.faults[: self.most_shown]
        told = "; ".join(f"{where}: {what}" for where, what in first)
        more = len(self.faults) - self.most_shown
        message = f"{told}; and {more} more" if more > 0 else told
        raise FaultsError(message, tuple(self.faults))


class Reader(Faults):
    """Reads one document of numbers and gathers what is wrong with it."""

    most_shown = 8

    def number(
        self, where: str, value: Any, bounds: tuple[float, float]
    ) -> float | None:
        """A number within bounds; None, and a fault, where it is not."""
        if value is None:
            self.fault(where, "is missing; give a number")
            return None
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.fault(where, f"give a number, not {shown(value)}")
            return None
        low, high = bounds
        if value != value:
            self.fault(where, "NaN is no number; give one, or leave it out")
            return None
        if not low <= value <= high:
            self.fault(where, f"{_short(value)} lies outside {low:g} to {high:g}")
            return None
        return float(value)


def parsed(text: str) -> Mapping[str, Any]:
    """The object in the text; InputError where there is none."""
    try:
        document = json.loads(
            text.removeprefix("\ufeff"),
            object_pairs_hook=once,
        )
    except (ValueError, RecursionError) as error:
        raise InputError(f"not a JSON document: {error}") from error
    if not isinstance(document, dict):
        raise InputError(f"document: write an object, not {shown(document)}")
    return document


def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """A JSON object in which each key stands once."""
    found = dict(pairs)
    if len(found) != len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise ValueError(f"the key {twice!r} stands twice in one object")
    return found


def _short(value: float) -> str:
    """The number as it was written, but short."""
    text = repr(value)
    return text if len(text) <= 24 else f"{text[:20]}..."


def shown(value: Any) -> str:
    """What stands there, in few words."""
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    if isinstance(value, int) and abs(value) > _LONGEST_INT:
        return "a huge number"  # it may have more figures than Python writes out
    text = str(value) if isinstance(value, Decimal) else repr(value)
    return text if len(text) <= 40 else f"{text[:36]}..."
