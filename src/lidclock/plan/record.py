"""A kitchen's own record of a food, day by day, and what it says of days to come."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache

from lidclock.plan.demand import Demand, certain
from lidclock.plan.forecast import (
    DAYS_A_WEEK,
    Chosen,
    choose,
    count_of,
    dispersion,
    expected,
)

_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Series:
    """What was eaten of one food on each working day from `first_on` to yesterday.

    `ends_at` is when yesterday ended. `eaten` are whole portions, `planned` those that
    meals on the list asked for that day, `was_there` whether there was any of it at any
    hour. `ran_out` counts the days on which some was eaten and none was left: more may
    have been wanted.
    """

    food: str
    first_on: date
    ends_at: datetime
    eaten: tuple[int, ...] = ()
    planned: tuple[int, ...] = ()
    was_there: tuple[bool, ...] = ()
    ran_out: int = 0

    @property
    def record(self) -> tuple[int | None, ...]:
        """Portions eaten beyond what meals had planned, per day; None where unknown.

        What a meal planned is wanted for certain and is planned again by itself, so it
        would count twice here. A day with nothing there and nothing eaten tells nothing
        of what was wanted.
        """
        return tuple(
            max(0, eaten - planned) if eaten or was_there else None
            for eaten, planned, was_there in zip(
                self.eaten, self.planned, self.was_there, strict=True
            )
        )

    @property
    def weeks(self) -> int:
        """Whole weeks on record."""
        return len(self.eaten) // DAYS_A_WEEK

    def chosen(self, share: float) -> Chosen:
        """The forecast to go by at the service level `share`."""
        return _chosen(self.record, share)

    def expected(self, method: str, begin: datetime, end: datetime) -> float | None:
        """Portions by `method` from `begin` to `end`; None where nothing tells."""
        record = self.record
        parts = [
            (part, expected(method, record, ahead))
            for ahead, part in self._parts(begin, end)
        ]
        known = [part * mean for part, mean in parts if mean is not None]
        return math.fsum(known) if len(known) == len(parts) else None

    def _parts(self, begin: datetime, end: datetime) -> list[tuple[int, float]]:
        """Parts of the days to come that lie in between, counted from the record's end.

        Days of 24 hours: that a clock changes moves an hour of one day to the next.
        """
        first, last = (begin - self.ends_at) / _DAY, (end - self.ends_at) / _DAY
        first = max(0.0, first)
        return [
            (ahead, min(last, ahead + 1) - max(first, ahead))
            for ahead in range(math.floor(first), math.ceil(last))
        ]

    def wanted(self, share: float, begin: datetime, end: datetime) -> Demand:
        """What is wanted beyond planned meals from `begin` to `end`.

        The mean is the chosen forecast's, the spread that of the record: a Poisson
        count, or a negative binomial where its days vary more. A record that tells
        nothing wants nothing.
        """
        mean = self.expected(self.chosen(share).method, begin, end)
        return count_of(mean, dispersion(self.record)) if mean else certain(0)


@lru_cache(maxsize=1024)
def _chosen(record: tuple[int | None, ...], share: float) -> Chosen:
    return choose(record, share)
