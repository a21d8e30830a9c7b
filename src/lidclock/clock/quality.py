"""Quality horizons: how long food keeps well frozen; never a safety limit."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo

from lidclock.domain.history import History
from lidclock.domain.moments import local_date
from lidclock.guidance.model import Plan


def best_by_days(history: History, plan: Plan, zone: ZoneInfo) -> list[date]:
    """The low ends of the months in the freezer, counted from its first freezing."""
    if not history.is_frozen:
        return []
    froze_at = next(stay.began for stay in history.stays if stay.is_frozen)
    froze_on = local_date(froze_at, zone)
    return [_months_later(froze_on, rule.low) for rule in plan.quality]


def _months_later(day: date, months: int) -> date:
    """The same day so many months on; the last of a month that is shorter."""
    years, month = divmod(day.month - 1 + months, 12)
    for number in range(day.day, day.day - 4, -1):
        try:
            return date(day.year + years, month + 1, number)
        except ValueError:
            continue
    raise ValueError(f"no day {months} months after {day}")
