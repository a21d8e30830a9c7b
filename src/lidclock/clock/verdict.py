"""The answer of the clock: limits, the binding one, the status, what is unknown."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from lidclock.clock.status import status_at
from lidclock.clock.why import Step, render
from lidclock.domain.moments import last_date
from lidclock.guidance.model import Rule

TICK = timedelta(microseconds=1)


@dataclass(frozen=True, slots=True)
class Limit:
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


@dataclass(frozen=True, slots=True)
class Verdict:
    """All limits on one container, and what follows from them at `now`.

    `limits` are sorted, the binding one first. `blocked` says why no last day can be
    given; `unknown` lists everything that is missing, also when one is given.
    """

    now: datetime
    zone: ZoneInfo
    lead: timedelta
    standing: str
    status: str
    limits: tuple[Limit, ...]
    unknown: tuple[str, ...] = ()
    is_blocked: bool = False
    days_left: int | None = None
    best_by: date | None = None
    plan_by: date | None = None
    next: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def binding(self) -> Limit | None:
        """The strictest limit, if any limit has a moment."""
        first = self.limits[0] if self.limits else None
        return first if first is not None and first.over_at is not None else None

    @property
    def over_at(self) -> datetime | None:
        """The first instant past the last moment; None while paused or unknown."""
        if self.status in ("paused", "unknown"):
            return None
        return self.binding.over_at if self.binding else None

    @property
    def last_moment(self) -> datetime | None:
        """The last moment, None while paused or unknown."""
        return self.binding.last_moment if self.binding and self.over_at else None

    @property
    def last_day(self) -> date | None:
        """The local calendar day on which the last moment falls."""
        return last_date(self.over_at, self.zone) if self.over_at else None

    @property
    def is_house_rule(self) -> bool:
        """Whether the date stands on a house rule alone, so it is never "use by"."""
        return self.binding is not None and self.binding.rule.is_house_rule

    @property
    def ties(self) -> tuple[Limit, ...]:
        """Other limits that end at the same moment as the binding one."""
        if self.binding is None:
            return ()
        return tuple(x for x in self.limits[1:] if x.over_at == self.binding.over_at)

    @property
    def next_change(self) -> datetime | None:
        """The next moment at which the status changes by itself."""
        over_at, day = self.over_at, self.last_day
        if over_at is None or day is None or self.standing == "ended":
            return None
        start = datetime(day.year, day.month, day.day, tzinfo=self.zone)
        later = [at for at in (over_at - self.lead, start, over_at) if at > self.now]
        return min(later, default=None)


__all__ = ["Limit", "Step", "Verdict", "status_at"]
