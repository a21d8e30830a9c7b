"""Rules by which a thing happens again, after RFC 5545: on which local days it falls.

Rules are expanded on local time, so a daily 18:30 stays 18:30 when clocks change. A
rule names days; the hour is that of the first time. Work is bounded: a rule starts at
the days asked for unless it counts, and nothing runs off the years that are known.
"""

from __future__ import annotations

from calendar import isleap, monthrange
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from lidclock.domain.moments import DAY, LAST_YEAR

DAILY, WEEKLY, MONTHLY, YEARLY = "DAILY", "WEEKLY", "MONTHLY", "YEARLY"
FREQUENCIES = (DAILY, WEEKLY, MONTHLY, YEARLY)
WEEKDAY_CODES = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
# 29 February falls on one weekday every 28 years, and over 2100 after 40.
SEARCH_YEARS = 40


@dataclass(frozen=True, slots=True)
class Rule:
    """The parts of RFC 5545, 3.3.10, that name days.

    `by_day` holds (which, weekday): (0, 3) is every Thursday, (-1, 3) the last one.
    `until` is inclusive: aware in UTC, or naive in the local time of the meal.
    """

    freq: str
    interval: int = 1
    count: int | None = None
    until: datetime | None = None
    by_month: tuple[int, ...] = ()
    by_monthday: tuple[int, ...] = ()
    by_yearday: tuple[int, ...] = ()
    by_day: tuple[tuple[int, int], ...] = ()
    by_setpos: tuple[int, ...] = ()
    week_start: int = 0

    def for_first(self, first_on: date) -> Rule:
        """With the day that the first time lends it where no part names one."""
        if self.by_day or self.by_monthday or self.by_yearday:
            return self
        if self.freq == WEEKLY:
            return replace(self, by_day=((0, first_on.weekday()),))
        if self.freq == MONTHLY:
            return replace(self, by_monthday=(first_on.day,))
        if self.freq == YEARLY:
            months = self.by_month or (first_on.month,)
            return replace(self, by_month=months, by_monthday=(first_on.day,))
        return self


def instant_of(local: datetime, zone: ZoneInfo) -> datetime:
    """The UTC instant of a naive local time, as RFC 5545, 3.3.5, reads it.

    A time that occurs twice is the earlier instant. One that does not occur is read
    with the offset before the gap: 02:30 on a night that skips it is 03:30.
    """
    return local.replace(tzinfo=zone, fold=0).astimezone(UTC)


def falls(
    rule: Rule, begins: datetime, zone: ZoneInfo, first_on: date, last_on: date
) -> Iterator[datetime]:
    """The naive local times on which it falls from `first_on` to `last_on`, in order.

    The first time itself falls only where the rule says so: RFC 5545, 3.8.5.3, leaves
    a rule that its first time does not fit undefined.
    """
    whole = rule.for_first(begins.date())
    last_on = min(last_on, date(LAST_YEAR, 12, 31))
    start_on = begins.date() if rule.count is not None else first_on
    left = rule.count if rule.count is not None else -1
    for day in _days(whole, begins.date(), max(start_on, begins.date()), last_on):
        if left == 0:
            return
        left -= 1
        local = datetime.combine(day, begins.time())
        if rule.until is not None and _is_after(local, rule.until, zone):
            return
        if day >= first_on:
            yield local


def first_fall(rule: Rule, begins: datetime, zone: ZoneInfo) -> datetime | None:
    """The first time it falls; None if that is on no day of the next 40 years."""
    end = begins.date() + SEARCH_YEARS * 366 * DAY
    return next(falls(rule, begins, zone, begins.date(), end), None)


def _is_after(local: datetime, until: datetime, zone: ZoneInfo) -> bool:
    if until.tzinfo is None:
        return local > until
    return instant_of(local, zone) > until


def _days(rule: Rule, begun_on: date, from_on: date, last_on: date) -> Iterator[date]:
    """Days of the rule from `from_on` on, period by period."""
    for period in _PERIODS[rule.freq](rule, begun_on, from_on):
        if period[0] > last_on:
            return
        for day in _chosen(rule, [day for day in period if _fits(rule, day)]):
            if from_on <= day <= last_on:
                yield day


def _chosen(rule: Rule, days: list[date]) -> list[date]:
    """Those at the positions of BYSETPOS, counted from either end of the period."""
    if not rule.by_setpos:
        return days
    places = {x - 1 if x > 0 else len(days) + x for x in rule.by_setpos}
    return [day for place, day in enumerate(days) if place in places]


def _fits(rule: Rule, day: date) -> bool:
    """Whether every part that the rule has lets it fall on `day`."""
    if rule.by_month and day.month not in rule.by_month:
        return False
    if rule.by_monthday and not _counts(
        day.day, monthrange(day.year, day.month)[1], rule.by_monthday
    ):
        return False
    number, of = day.timetuple().tm_yday, 366 if isleap(day.year) else 365
    if rule.by_yearday and not _counts(number, of, rule.by_yearday):
        return False
    return not rule.by_day or any(_is_that(rule, day, one) for one in rule.by_day)


def _counts(number: int, of: int, wanted: tuple[int, ...]) -> bool:
    """Whether the `number`-th of `of` is wanted, from the front or from the end."""
    return number in wanted or number - of - 1 in wanted


def _is_that(rule: Rule, day: date, wanted: tuple[int, int]) -> bool:
    """Whether it is that weekday: any, or the n-th in its month or year."""
    which, weekday = wanted
    if day.weekday() != weekday:
        return False
    if not which:
        return True
    if rule.freq == MONTHLY or rule.by_month:
        number, of = day.day, monthrange(day.year, day.month)[1]
    else:
        number, of = day.timetuple().tm_yday, 366 if isleap(day.year) else 365
    return which in ((number - 1) // 7 + 1, -((of - number) // 7 + 1))


Periods = Iterator[list[date]]


def _each_day(rule: Rule, begun_on: date, from_on: date) -> Periods:
    step = rule.interval * DAY
    day = begun_on + max(0, (from_on - begun_on) // step) * step
    while day.year <= LAST_YEAR:
        yield [day]
        day += step


def _each_week(rule: Rule, begun_on: date, from_on: date) -> Periods:
    step = 7 * rule.interval * DAY
    first = begun_on - (begun_on.weekday() - rule.week_start) % 7 * DAY
    monday = first + max(0, (from_on - first) // step) * step
    while monday.year <= LAST_YEAR:
        yield [monday + timedelta(days=number) for number in range(7)]
        monday += step


def _each_month(rule: Rule, begun_on: date, from_on: date) -> Periods:
    first, wanted = _month_number(begun_on), _month_number(from_on)
    number = first + max(0, (wanted - first) // rule.interval) * rule.interval
    while number < (LAST_YEAR + 1) * 12:
        year, month = number // 12, number % 12 + 1
        length = monthrange(year, month)[1]
        yield [date(year, month, day) for day in range(1, length + 1)]
        number += rule.interval


def _month_number(day: date) -> int:
    return day.year * 12 + day.month - 1


def _each_year(rule: Rule, begun_on: date, from_on: date) -> Periods:
    jumps = max(0, (from_on.year - begun_on.year) // rule.interval)
    year = begun_on.year + jumps * rule.interval
    while year <= LAST_YEAR:
        first = date(year, 1, 1)
        yield [first + timedelta(days=number) for number in range(365 + isleap(year))]
        year += rule.interval


_PERIODS: Mapping[str, Callable[[Rule, date, date], Periods]] = {
    DAILY: _each_day,
    WEEKLY: _each_week,
    MONTHLY: _each_month,
    YEARLY: _each_year,
}
