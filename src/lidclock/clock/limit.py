"""What one rule comes to when it is applied to one history."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import NamedTuple

from lidclock.clock.why import Step, render
from lidclock.guidance.model import Rule

TICK = timedelta(microseconds=1)


class Limit(NamedTuple):
    """One rule applied to one history.

    `over_at` is the first instant at which the limit is passed; None while the clock
    is paused, where a budget is not being used up, or where a step was met.
    `days_left` is given by day counts that are paused. `via` names the component
    that brought the limit into a mixture.
    """

    rule: Rule
    steps: tuple[Step, ...]
    over_at: datetime | None = None
    includes_moment: bool = False
    plan_day: date | None = None
    days_left: int | None = None
    via: str = ""
    serial: int = 1

    @property
    def id(self) -> str:
        """The rule's id, numbered from the second time it applies."""
        return self.rule.id if self.serial == 1 else f"{self.rule.id}#{self.serial}"

    @property
    def last_moment(self) -> datetime | None:
        """The moment as authorities state it: midnight, or the full two hours."""
        if self.over_at is None or not self.includes_moment:
            return self.over_at
        return self.over_at - TICK

    @property
    def why(self) -> list[str]:
        """The arithmetic in words, one step a line."""
        return [render(step) for step in self.steps]
