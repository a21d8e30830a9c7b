"""What a kitchen can know of its demand: its own record up to now, and nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from lidclock.plan.demand import Demand, counted
from simulation.policies import KNOWN_MEALS

_HUNDREDTH = 2


@dataclass(slots=True)
class Seen:
    """Meals at which a food was there, and the portions of it eaten at each."""

    meals: int = 0
    total: int = 0
    squares: int = 0

    def add(self, portions: int) -> None:
        """One more meal at which there was some."""
        self.meals += 1
        self.total += portions
        self.squares += portions * portions

    @property
    def mean(self) -> float:
        """Portions a meal."""
        return self.total / self.meals

    @property
    def variance(self) -> float:
        """The sample variance of the portions a meal."""
        if self.meals < 2:
            return self.mean
        return (self.squares - self.total * self.mean) / (self.meals - 1)


@dataclass(slots=True)
class Record:
    """A food that was not there tells nothing, and a planned meal no free choice."""

    known_meals: int = KNOWN_MEALS
    foods: dict[str, Seen] = field(default_factory=dict)

    def note(self, there: Iterable[str], eaten: Mapping[str, int]) -> None:
        """One meal: what was there when it began, and what was eaten of it."""
        for name in there:
            self.foods.setdefault(name, Seen()).add(eaten.get(name, 0))

    def demand(self, name: str, meals: int) -> Demand | None:
        """How much of it may be wanted in so many meals; None while that is unknown."""
        seen = self.foods.get(name)
        if seen is None or seen.meals < self.known_meals:
            return None
        mean, variance = seen.mean * meals, seen.variance * meals
        return _counted(round(mean, _HUNDREDTH), round(variance, _HUNDREDTH))


@lru_cache(maxsize=200_000)
def _counted(mean: float, variance: float) -> Demand:
    return counted(mean, max(mean, variance))
