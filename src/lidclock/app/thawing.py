"""What was taken out of the cold to be ready by an hour, and is still there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime

from lidclock.app.session import Unit
from lidclock.domain.fold import fold
from lidclock.domain.history import Placing
from lidclock.domain.moments import LAST_YEAR
from lidclock.domain.snapshots import Snapshot, made_order

EVER = datetime(LAST_YEAR, 12, 31, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Thawing:
    """Containers of one food in one place that should be ready at the same moment.

    They are in the order in which they were made; `number` counts how often the first
    of them was taken out so.
    """

    containers: tuple[Snapshot, ...]
    taken_at: datetime
    ready_at: datetime
    number: int = 1
    from_place: str = ""


def thawing(unit: Unit) -> list[Thawing]:
    """All of it, the soonest first: by what was said when it was put where it is."""
    out = {one.code: one for one in unit.snapshots.thawing() if one.state != "freezer"}
    # A part of what was split stands in the story of the whole.
    subjects = {name for one in out.values() for name in one.subjects}
    placings = {
        code: container.placings
        for code, container in fold(unit.ledger.of(subjects)).containers.items()
        if code in out and container.placings and container.placings[-1].ready_at
    }
    together: dict[tuple[object, ...], list[Snapshot]] = {}
    for code, known in placings.items():
        key = (out[code].food.casefold(), known[-1].ready_at, known[-1].place)
        together.setdefault(key, []).append(out[code])
    found = []
    for members in together.values():
        members.sort(key=made_order)
        found.append(_thawing(members, placings[members[0].code]))
    return sorted(found, key=lambda one: (one.ready_at, one.containers[0].code))


def _thawing(members: list[Snapshot], placings: list[Placing]) -> Thawing:
    last = placings[-1]
    assert last.ready_at is not None  # grouped by it
    before = placings[-2].place if len(placings) > 1 else ""
    number = sum(one.ready_at is not None for one in placings)
    return Thawing(tuple(members), last.at, last.ready_at, number, before)
