"""Which containers will hardly be eaten in time, where their last moments differ."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime

from lidclock.plan.allot import issue_order
from lidclock.plan.demand import SAME, Demand
from lidclock.plan.lots import Lot


@dataclass(frozen=True, slots=True)
class Risk:
    """One container: the odds that each of its portions is wanted in time.

    `is_surplus` where keeping it is expected to lose more than acting on it costs.
    """

    lot: Lot
    odds: tuple[float, ...]
    is_surplus: bool

    @property
    def lost(self) -> float:
        """How many of its portions nobody wants in time, on average."""
        return math.fsum(1 - one for one in self.odds)


def risks(
    lots: Iterable[Lot],
    wanted_before: Callable[[datetime], Demand],
    worth: float,
    freezing: float,
) -> tuple[Risk, ...]:
    """Every container of one food that has a last moment, in the order to take them.

    The s-th portion that stays is eaten if s are wanted before its last moment. It
    stays while worth x (1 - P) is no more than `freezing`, which is the rule of
    `keep`, portion by portion over a container; what does not stay leaves its place in
    the queue to the next. Where acting costs as much as waste, all stay.
    """
    found, kept = [], 0
    known: dict[datetime, Demand] = {}
    for lot in sorted(lots, key=issue_order):
        if lot.last_moment is None:
            continue
        demand = known.get(lot.last_moment)
        if demand is None:
            demand = known[lot.last_moment] = wanted_before(lot.last_moment)
        ranks = range(kept + 1, kept + lot.portions + 1)
        odds = tuple(demand.at_least(rank) for rank in ranks)
        lost = math.fsum(1 - one for one in odds)
        is_surplus = worth * lost > (freezing + SAME) * lot.portions
        kept += 0 if is_surplus else lot.portions
        found.append(Risk(lot, odds, is_surplus))
    return tuple(found)
