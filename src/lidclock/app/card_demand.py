"""How much of a food will be wanted: what meals plan, and what was eaten before."""

from __future__ import annotations

from datetime import datetime

from lidclock.app.card_facts import Facts
from lidclock.plan.demand import Demand, certain


class Expected:
    """Demand by food and moment, each worked out once."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts

    def is_known(self, food: str) -> bool:
        """Whether a record or a meal says anything of it."""
        return any(need.food == food for need in self.facts.needs)

    def demand(self, food: str, until: datetime) -> Demand:
        """Portions of `food` (casefolded) wanted before `until`."""
        return certain(self.facts.planned(food, until))

    def says(self, food: str, until: datetime) -> str:
        """What is expected, in words."""
        planned = self.facts.planned(food, until)
        return f"{planned} wanted by meals before {self.facts.day(until)}"
