"""The least waste that anybody could reach who knew beforehand who wants what when."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_bipartite_matching

from simulation import limits
from simulation.kitchen import Container, Script, instant

_MORNING = timedelta(hours=20)


@dataclass(frozen=True, slots=True)
class Bounds:
    """Portions wasted at least without a freezer; wasted or left in one of any size.

    Both serve only those who want something from stock, and with what they like. A
    planned meal that others join may go below them, and so may making less.
    """

    made: int
    no_freezer: int
    any_freezer: int


def bounds(script: Script) -> Bounds:
    """By the largest matching of portions and people, each portion while it lasts."""
    end = instant(script.days[-1].on + timedelta(days=1), time(0))
    lids = [
        lid
        for day in script.days
        for lid in (
            *day.opened,
            *(x for one in day.made for x in one.lids[: one.portions]),
        )
    ]
    # What outlasts the eight weeks is there at their end, and not wasted.
    ending = [x for x in lids if limits.last_moment(x.stock.name, x.made_at) <= end]
    fresh = [limits.last_moment(x.stock.name, x.made_at) for x in ending]
    frozen = [
        end if _is_frozen_well(lid) else last
        for lid, last in zip(ending, fresh, strict=True)
    ]
    portions = sum(lid.portions for lid in ending)
    return Bounds(
        sum(lid.portions for lid in lids),
        portions - _eaten(script, ending, fresh),
        portions - _eaten(script, ending, frozen),
    )


def _is_frozen_well(lid: Container) -> bool:
    return limits.can_freeze(lid.stock.name, lid.made_at, lid.made_at + _MORNING)


def _eaten(script: Script, lids: Sequence[Container], ends: Sequence[datetime]) -> int:
    """The most portions that find somebody who likes them while they last."""
    times: dict[str, list[datetime]] = defaultdict(list)
    people: dict[str, list[int]] = defaultdict(list)
    count = 0
    for day in script.days:
        for table in (day.lunch, day.dinner):
            for want in table.wants:
                if not want.is_else:
                    for name in want.ranks:
                        times[name].append(table.at)
                        people[name].append(count)
                    count += 1
    columns: list[int] = []
    starts = [0]
    for lid, last in zip(lids, ends, strict=True):
        name = lid.stock.name
        first = bisect_right(times[name], lid.made_at)
        found = people[name][first : bisect_left(times[name], last)]
        for _ in range(lid.portions):
            columns += found
            starts.append(len(columns))
    shape = (len(starts) - 1, count)
    graph = csr_array((np.ones(len(columns)), columns, starts), shape=shape)
    matched = maximum_bipartite_matching(graph, perm_type="column")
    return int((matched >= 0).sum())
