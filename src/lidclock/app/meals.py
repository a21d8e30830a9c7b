"""Meals: when they happen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta

from lidclock.domain.moments import zone_of
from lidclock.domain.planning import Meal, Occurrence
from lidclock.domain.recurrence import falls, instant_of, read_rule

# Further than any zone's clock is from UTC.
_MARGIN = timedelta(days=2)


def occurrences(
    meals: Iterable[Meal], after: datetime, before: datetime
) -> list[Occurrence]:
    """Every time that one of `meals` happens within [after, before), the soonest first.

    Wall time in the meal's zone; a time that occurs twice is the earlier instant, one
    that does not occur is read with the offset before the gap (RFC 5545, 3.3.5).
    InputError for a rule that cannot be read.
    """
    found = [one for meal in meals for one in _of(meal, after, before)]
    return sorted(found, key=lambda one: (one.at, one.meal.id))


def _of(meal: Meal, after: datetime, before: datetime) -> Iterable[Occurrence]:
    zone = zone_of(meal.zone_name)
    # By instant: where a zone skips a whole day, two days' meals would be one.
    found = {
        at: Occurrence(meal, at, local.date())
        for local in _locals(meal, after, before)
        if local.date() not in meal.without
        and after <= (at := instant_of(local, zone)) < before
    }
    return found.values()


def _locals(meal: Meal, after: datetime, before: datetime) -> Iterator[datetime]:
    if not meal.rule:
        return iter([meal.begins])
    first_on, last_on = (after - _MARGIN).date(), (before + _MARGIN).date()
    zone, rule = zone_of(meal.zone_name), read_rule(meal.rule)
    return falls(rule, meal.begins, zone, first_on, last_on)
