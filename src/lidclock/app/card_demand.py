"""How much of a food will be wanted: what meals plan, and what was eaten before."""

from __future__ import annotations

from datetime import datetime, timedelta

from lidclock.app.card_facts import Facts
from lidclock.app.consumption import demand_until, eaten, planned_demand
from lidclock.domain.sentences import Figure, figure, sentence
from lidclock.plan.demand import Demand
from lidclock.plan.record import Series

# Days that tell something, before anything is made of a record: a week, our choice.
_LEAST_DAYS = 7


class Expected:
    """Demand by food and moment, out of one reading of the kitchen's record."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self._record = eaten(facts.unit, facts.now)

    def series(self, food: str) -> Series | None:
        """What was eaten of `food` (casefolded), where that is enough to go by."""
        series = self._record.get(food)
        if series is None:
            return None
        told = sum(portions is not None for portions in series.record)
        return series if told >= _LEAST_DAYS else None

    def is_known(self, food: str) -> bool:
        """Whether the record says how much of it is eaten."""
        return self.series(food) is not None

    def demand(self, food: str, until: datetime) -> Demand:
        """Portions of `food` (casefolded) wanted before `until`."""
        facts = self.facts
        meals = (one for one in facts.far_occurrences if one.at < until)
        planned = planned_demand(food, meals)
        series = self.series(food)
        return demand_until(series, facts.choices, facts.now, until, planned)

    def says(self, food: str, until: datetime) -> str:
        """What is expected until then, in words."""
        day = self.facts.day(until - timedelta(microseconds=1))
        planned = self.facts.planned(food, until)
        if not self.is_known(food):
            return _unrecorded(planned, day)
        mean = Figure(f"{self.demand(food, until).mean:.1f}")
        if not planned:
            return sentence(
                "expected up to {day}: {portions} portions", day=day, portions=mean
            )
        return sentence(
            "expected up to {day}: {portions} portions, {planned} of them by meals",
            day=day,
            portions=mean,
            planned=figure(planned),
        )


def _unrecorded(planned: int, day: str) -> str:
    """What there is to go by where no record is."""
    if not planned:
        return sentence(
            "nobody recorded how much of it is eaten; no meal wants it up to {day}",
            day=day,
        )
    return sentence(
        "nobody recorded how much of it is eaten; meals want {planned} up to {day}",
        planned=figure(planned),
        day=day,
    )
