"""The answer of the clock: limits, the binding one, the status, what is unknown."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from lidclock.clock.advice import cautions_for, next_actions
from lidclock.clock.limit import Limit
from lidclock.clock.probed import probe_lines
from lidclock.clock.quality import best_by_days
from lidclock.clock.status import days_left_at
from lidclock.clock.unknowns import missing, silences
from lidclock.domain.foods import Food
from lidclock.domain.history import History
from lidclock.domain.moments import last_date
from lidclock.guidance.model import Plan
from lidclock.guidance.sets import GuidanceSet


@dataclass(frozen=True, slots=True)
class Verdict:
    """All limits on one container, and what follows from them at `now`.

    `limits` are sorted, the binding one first. `blockers` say why no last day can be
    given. What people read besides (unknowns, cautions, actions) is worked out when
    it is asked for.
    """

    food: Food
    history: History
    guidance: GuidanceSet
    plan: Plan
    zone: ZoneInfo
    now: datetime
    lead: timedelta
    accepts_unmeasured: bool
    standing: str
    status: str
    limits: tuple[Limit, ...]
    blockers: tuple[str, ...] = ()

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
    def carried_days(self) -> int | None:
        """Days that the count carries over a freezing; None where none is paused."""
        left = [x.days_left for x in self.limits if x.days_left is not None]
        return min(left) if left and not self.blockers else None

    @property
    def days_left(self) -> int | None:
        """Days left if it is thawed now, the maker's date included."""
        over_at = self.binding.over_at if self.binding else None
        return days_left_at(self.carried_days, over_at, self.now, self.zone)

    @property
    def plan_by(self) -> date | None:
        """The low end of a published range, where the last day does not come sooner."""
        planned = [x.plan_day for x in self.limits if x.plan_day is not None]
        if not planned or self.status == "unknown":
            return None
        return min(*planned, self.last_day) if self.last_day else min(planned)

    @property
    def best_by(self) -> date | None:
        """The horizon for eating quality, or the house rule's day; never a limit."""
        days = best_by_days(self.history, self.plan, self.zone)
        days += [
            last_date(limit.over_at, self.zone)
            for limit in self.limits
            if limit.rule.is_house_rule and limit.over_at is not None
        ]
        return min(days, default=None)

    @property
    def is_house_rule(self) -> bool:
        """Whether the date stands on house rules alone, so it is never "use by".

        An authority's limit at the same moment makes it "use by" again.
        """
        if self.binding is None:
            return False
        return all(x.rule.is_house_rule for x in (self.binding, *self.ties))

    @property
    def ties(self) -> tuple[Limit, ...]:
        """Other limits that end at the same moment as the binding one."""
        if self.binding is None:
            return ()
        return tuple(x for x in self.limits[1:] if x.over_at == self.binding.over_at)

    @property
    def unknown(self) -> tuple[str, ...]:
        """What is missing, listed also where a last day is given."""
        guidance, accepts = self.guidance, self.accepts_unmeasured
        rest = missing(self.history, self.plan, guidance, accepts)
        silent = silences(self.history, self.zone, self.now)
        warm = probe_lines(self.history, guidance.cold_c, self.zone)
        return (*self.blockers, *warm, *silent, *rest)

    @property
    def next(self) -> tuple[str, ...]:
        """The actions that are left open, the most useful first."""
        counting, plan = self.guidance.counting, self.plan
        return next_actions(self.status, self.history, plan, counting, self.days_left)

    @property
    def cautions(self) -> tuple[str, ...]:
        """The cautions that belong with it, the food's own first."""
        plan, guidance = self.plan, self.guidance
        return cautions_for(self.food, self.history, plan, guidance, self.status)

    @property
    def next_change(self) -> datetime | None:
        """The next moment at which the status changes by itself."""
        if self.status == "paused" and self.binding is not None:
            return self.binding.over_at
        over_at, day = self.over_at, self.last_day
        if over_at is None or day is None or self.standing == "ended":
            return None
        start = datetime(day.year, day.month, day.day, tzinfo=self.zone)
        later = [at for at in (over_at - self.lead, start, over_at) if at > self.now]
        return min(later, default=None)
