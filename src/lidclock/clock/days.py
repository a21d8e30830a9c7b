"""Day counts: which calendar days are charged, and which is the last.

Days are calendar days in the kitchen's zone. The day of making (or opening) is day 1
and always counts. A day on which the container was out of the freezer, even for a
minute, counts, unless the set frees the day of the first freezing or thawing.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from lidclock.domain.history import History
from lidclock.domain.moments import last_date, local_date
from lidclock.guidance.model import Counting

_ONE_DAY = timedelta(days=1)
# Stands for "for ever" in a span that has not ended: later than any real date.
OPEN_END = date.max.toordinal()


@dataclass(frozen=True, slots=True)
class DaySpans:
    """The days out of the freezer as (first, last) ordinals, and the freed ones.

    `is_paused` means that the container is in the freezer now; days are `zone`'s.
    """

    spans: tuple[tuple[int, int], ...]
    freed: frozenset[int]
    is_paused: bool
    zone: ZoneInfo


def day_spans(history: History, counting: Counting, zone: ZoneInfo) -> DaySpans:
    """The chargeable days of `history`, whatever the limit."""
    spans: list[tuple[int, int]] = []
    froze_on: int | None = None
    thawed_on: int | None = None
    was_frozen = False
    for stay in history.stays:
        if stay.is_frozen:
            if froze_on is None:
                froze_on = local_date(stay.began, zone).toordinal()
            was_frozen = True
            continue
        first = local_date(stay.began, zone).toordinal()
        if stay.ended is None:
            last = OPEN_END
        else:
            last = max(first, last_date(stay.ended, zone).toordinal())
        if was_frozen and thawed_on is None:
            thawed_on = first
        was_frozen = False
        if spans and first <= spans[-1][1] + 1:
            spans[-1] = (spans[-1][0], max(last, spans[-1][1]))
        else:
            spans.append((first, last))
    freed = set()
    if (
        froze_on is not None
        and not counting.freeze_day_counts
        and froze_on != thawed_on
    ):
        freed.add(froze_on)
    if thawed_on is not None and not counting.thaw_day_counts:
        freed.add(thawed_on)
    return DaySpans(tuple(spans), frozenset(freed), was_frozen, zone)


def nth_day(days: DaySpans, first: date, count: int) -> tuple[date | None, int]:
    """The `count`-th charged day from `first` on, and how many were charged.

    The day is None while the count is paused before the end of that day: a container
    frozen on its last day has none left, but is not over while it stays frozen.
    """
    start = first.toordinal()
    last_charged, charged = start, 1
    frozen_on = days.spans[-1][1] if days.is_paused and days.spans else None
    if days.is_paused and not days.spans:
        frozen_on = start
    if charged >= count:
        # What is opened in the freezer is in there on its first day as well.
        is_in = frozen_on is not None and frozen_on <= start
        return (None, charged) if is_in else (first, charged)
    for begin, end in days.spans:
        begin = max(begin, last_charged + 1)
        if begin > end:
            continue
        freed = sum(1 for day in days.freed if begin <= day <= end)
        there = end - begin + 1 - freed
        if charged + there >= count:
            day = _day_within(days.freed, begin, count - charged)
            return (None, count) if day.toordinal() == frozen_on else (day, count)
        charged += there
        last_charged = end
    if days.is_paused:
        return None, charged
    return _day_within(frozenset(), last_charged + 1, count - charged), count


def _day_within(freed: frozenset[int], begin: int, need: int) -> date:
    """The `need`-th charged day from ordinal `begin` on."""
    day = begin
    while True:
        if day not in freed:
            need -= 1
            if need == 0:
                return date.fromordinal(min(day, date.max.toordinal() - 1))
        day += 1
