"""Which container goes to which meal: earliest last moment, then opened, then oldest.

The issue rule of perishable stock; where lives differ it is not the same as oldest
first. Among containers that can be eaten at a meal the one that ends first is given
away first, so that no other choice serves more portions or leaves fewer to end unused
(every container is an interval and every meal a point; Glover 1967, Naval Research
Logistics Quarterly 14:313-316, from memory; brute force in the tests says so too).
"""

from __future__ import annotations

import heapq
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from lidclock.plan.lots import Lot

_Order = tuple[datetime, bool, datetime, datetime, int, str]
_NEVER = datetime.max.replace(tzinfo=UTC)
_ALWAYS = datetime.min.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Need:
    """So many portions of a food (casefolded) at one instant, for the meal `key`."""

    at: datetime
    food: str
    portions: int
    key: str = ""


@dataclass(frozen=True, slots=True)
class Share:
    """So many portions out of one container."""

    lot: Lot
    portions: int


@dataclass(frozen=True, slots=True)
class Serving:
    """What one need gets, in the order in which to take it."""

    need: Need
    shares: tuple[Share, ...]

    @property
    def short(self) -> int:
        """Portions that nothing is there for."""
        return self.need.portions - sum(share.portions for share in self.shares)


@dataclass(frozen=True, slots=True)
class Allotment:
    """All needs as they came, and the portions left over by code."""

    servings: tuple[Serving, ...]
    left: dict[str, int]

    @property
    def short(self) -> int:
        """Portions that nothing is there for, over all needs."""
        return sum(serving.short for serving in self.servings)


def issue_order(lot: Lot) -> _Order:
    """The order in which to take containers of one food; frozen ones come last."""
    return (
        lot.last_moment or _NEVER,
        lot.opened_at is None,
        lot.opened_at or _NEVER,
        lot.made_at or _ALWAYS,
        lot.box,
        lot.code,
    )


def allot(lots: Iterable[Lot], needs: Sequence[Need]) -> Allotment:
    """Give each need its portions, the earliest meal first; O(n log n).

    A container serves a meal from `ready_at` on and before its last moment. ValueError
    for a container or a need of no portions.
    """
    by_food: dict[str, list[Lot]] = defaultdict(list)
    left: dict[str, int] = {}
    for lot in lots:
        if lot.portions < 1:
            raise ValueError(f"{lot.code} holds {lot.portions} portions")
        by_food[lot.food].append(lot)
        left[lot.code] = lot.portions
    found: dict[int, Serving] = {}
    places: dict[str, list[int]] = defaultdict(list)
    for place, need in enumerate(needs):
        if need.portions < 1:
            raise ValueError(f"{need.key} needs {need.portions} portions")
        places[need.food].append(place)
    for food, wanted in places.items():
        wanted.sort(key=lambda place: needs[place].at)
        served = _serve(by_food.get(food, []), [needs[place] for place in wanted], left)
        found.update(zip(wanted, served, strict=True))
    return Allotment(tuple(found[place] for place in range(len(needs))), left)


def _serve(
    lots: list[Lot], needs: list[Need], left: dict[str, int]
) -> Iterator[Serving]:
    """Sweep the meals in time, with what is ready by then on a heap."""
    waiting = sorted(lots, key=lambda lot: lot.ready_at or _ALWAYS, reverse=True)
    ready: list[tuple[_Order, Lot]] = []
    for need in needs:
        while waiting and (waiting[-1].ready_at or _ALWAYS) <= need.at:
            lot = waiting.pop()
            heapq.heappush(ready, (issue_order(lot), lot))
        yield Serving(need, tuple(_shares(ready, need, left)))


def _shares(
    ready: list[tuple[_Order, Lot]],
    need: Need,
    left: dict[str, int],
) -> Iterator[Share]:
    wanted = need.portions
    while wanted and ready:
        lot = ready[0][1]
        is_over = lot.last_moment is not None and lot.last_moment <= need.at
        if is_over or not left[lot.code]:
            heapq.heappop(ready)
            continue
        portions = min(wanted, left[lot.code])
        left[lot.code] -= portions
        wanted -= portions
        yield Share(lot, portions)
