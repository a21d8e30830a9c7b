"""What a kitchen can know of its demand: its own record up to now, and nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from lidclock.plan.demand import Demand
from lidclock.plan.forecast import MONTH, count_of, dispersion, expected
from simulation.policies import KNOWN_DAYS

_HUNDREDTH = 2


@dataclass(slots=True)
class Record:
    """Portions eaten on each day by food, None on a day that tells nothing of it.

    Such is a day on which it was not there, or was on the table of a planned meal. What
    was wanted after it had run out is not seen, as no kitchen sees it. The forecast is
    the one that the program takes under eight weeks: the mean of the last four.
    """

    known_days: int = KNOWN_DAYS
    days: int = 0
    foods: dict[str, list[int | None]] = field(default_factory=dict)
    _found: dict[str, tuple[float, float] | None] = field(default_factory=dict)

    def end_day(self, there: Iterable[str], eaten: Mapping[str, int]) -> None:
        """One more day: what was there at some meal, and what was eaten of it."""
        for name in there:
            row = self.foods.setdefault(name, [])
            row += [None] * (self.days - len(row))
            row.append(eaten.get(name, 0))
        self.days += 1
        self._found.clear()

    def demand(self, name: str, days: int) -> Demand | None:
        """How much of it may be wanted in so many days; None while that is unknown."""
        if name not in self._found:
            self._found[name] = self._rate(name)
        found = self._found[name]
        if found is None:
            return None
        mean, varied = found
        return _count(round(mean * days, _HUNDREDTH), round(varied, _HUNDREDTH))

    def _rate(self, name: str) -> tuple[float, float] | None:
        row = self.foods.get(name, [])
        if sum(one is not None for one in row) < self.known_days:
            return None
        row = [*row, *[None] * (self.days - len(row))]
        mean = expected(MONTH, row)
        return None if mean is None else (mean, dispersion(row))


@lru_cache(maxsize=200_000)
def _count(mean: float, varied: float) -> Demand:
    return count_of(mean, varied)
