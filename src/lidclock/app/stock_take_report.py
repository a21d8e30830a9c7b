"""What a stock-take found, and what of it was recorded."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from lidclock.app.moves import Done
from lidclock.app.stock_take_answers import (
    DISCARDED,
    EATEN,
    ELSEWHERE,
    LOST,
    STILL_THERE,
    Answer,
)
from lidclock.domain.kitchens import Place
from lidclock.domain.snapshots import Snapshot
from lidclock.domain.stock_takes import Comparison, StockTaken


@dataclass(frozen=True, slots=True)
class Report:
    """What the stock-take found; `waiting` says why some lids cannot be placed here.

    Of those, `undated` can be placed here by who says since when.
    """

    place: Place
    found: Comparison
    waiting: Mapping[str, str]
    undated: frozenset[str] = frozenset()

    @property
    def movable(self) -> tuple[Snapshot, ...]:
        """Lids from elsewhere that may be recorded as placed here now."""
        return tuple(
            one for one in self.found.elsewhere if one.code not in self.waiting
        )


@dataclass(frozen=True, slots=True)
class Recorded:
    """What was recorded: lids placed here, and codes by what became of them.

    `refused` says by code why an answer was not recorded; `act` is what all of it is
    undone by.
    """

    taken: StockTaken
    moved: tuple[Done, ...] = ()
    answered: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    refused: Mapping[str, str] = field(default_factory=dict)
    act: str = ""


def taken_from(report: Report, said: Mapping[str, Answer]) -> StockTaken:
    """Somebody who says that it is still there has seen it."""
    found = report.found
    missing = tuple(
        one.code
        for one in found.missing
        if one.code not in said or said[one.code].what != STILL_THERE
    )
    expected = len(found.expected)
    return StockTaken(
        *(report.place.name, expected - len(missing), expected, missing),
        unknown=found.unknown_count,
    )


def by_answer(said: Mapping[str, Answer]) -> dict[str, tuple[str, ...]]:
    """The codes for each answer that was given."""
    return {
        what: codes
        for what in (EATEN, LOST, DISCARDED, STILL_THERE, ELSEWHERE)
        if (codes := tuple(code for code, x in said.items() if x.what == what))
    }
