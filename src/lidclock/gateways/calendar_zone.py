"""Time zones as a calendar needs them: every onset of every observance."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from lidclock.domain.moments import DAY, LAST_YEAR

if TYPE_CHECKING:
    from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

# How far ahead the zone's own data is asked. Where it goes on by a yearly rule to then,
# the rule is written and holds for ever; our choice.
YEARS_AHEAD = 20
_WEEKDAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
_WEEK_DAYS = 7


@dataclass(frozen=True, slots=True)
class Observance:
    """What clocks change to, and the local times at which they do.

    `onsets` are in the time that is left behind, as RFC 5545, 3.6.5, wants them.
    """

    name: str
    before: timedelta
    after: timedelta
    is_daylight: bool
    onsets: tuple[datetime, ...]


def timezone_of(zone: ZoneInfo, first_on: date, today: date) -> Timezone:
    """The VTIMEZONE of `zone`, right for times from `first_on` on.

    Where the zone keeps to a yearly rule it is right for ever, else to `YEARS_AHEAD`
    years from `today`.

    RFC 5545, 3.6.5. Written here because the calendar library puts the onset of summer
    time at the local time that follows the gap, an hour late.
    """
    from icalendar import Timezone

    written = Timezone()
    written.add("tzid", zone.key)
    last_year = min(max(today, first_on).year + YEARS_AHEAD, LAST_YEAR)
    for one in observances(zone, first_on.year - 1, last_year):
        written.add_component(_component(one, last_year))
    return written


def observances(zone: ZoneInfo, first_year: int, last_year: int) -> list[Observance]:
    """What is observed in those years and between, the earliest onset first."""
    first = datetime(first_year, 1, 1, tzinfo=UTC)
    found: dict[tuple[str, timedelta, timedelta, bool], list[datetime]] = {}
    start, offset = first.astimezone(zone), _offset(first, zone)
    kind = (start.tzname() or "", offset, offset, _is_daylight(start, start))
    found[kind] = [datetime(first_year, 1, 1)]  # noqa: DTZ001  local by definition
    for at in _changes(zone, first, datetime(last_year + 1, 1, 1, tzinfo=UTC)):
        local = at.astimezone(zone)
        earlier = (at - timedelta(seconds=1)).astimezone(zone)
        before, after = _offset(earlier, zone), _offset(at, zone)
        kind = (local.tzname() or "", before, after, _is_daylight(earlier, local))
        found.setdefault(kind, []).append((at + before).replace(tzinfo=None))
    return [Observance(*kind, tuple(onsets)) for kind, onsets in found.items()]


def _is_daylight(before: datetime, after: datetime) -> bool:
    """Whether clocks are ahead; zones whose winter is the exception are turned round.

    Their winter would be daylight time that is behind, which not every reader takes.
    """
    none = timedelta(0)
    was, is_now = before.dst() or none, after.dst() or none
    return is_now > none or (is_now == none and was < none)


def _changes(zone: ZoneInfo, first: datetime, last: datetime) -> Iterator[datetime]:
    """The instants in UTC at which the offset changes, to the second."""
    day = first
    while day < last:
        if _offset(day, zone) != _offset(day + DAY, zone):
            yield _change(zone, day, day + DAY)
        day += DAY


def _change(zone: ZoneInfo, low: datetime, high: datetime) -> datetime:
    old = _offset(low, zone)
    while high - low > timedelta(seconds=1):
        middle = (low + (high - low) / 2).replace(microsecond=0)
        if _offset(middle, zone) == old:
            low = middle
        else:
            high = middle
    return high


def _offset(at: datetime, zone: ZoneInfo) -> timedelta:
    return at.astimezone(zone).utcoffset() or timedelta(0)


def _component(one: Observance, last_year: int) -> TimezoneDaylight | TimezoneStandard:
    from icalendar import TimezoneDaylight, TimezoneStandard

    part = TimezoneDaylight() if one.is_daylight else TimezoneStandard()
    first, *others = one.onsets
    part.add("dtstart", first)
    part.add("tzname", one.name)
    part.add("tzoffsetfrom", one.before)
    part.add("tzoffsetto", one.after)
    rule = yearly_rule(one.onsets, last_year)
    if rule:
        part.add("rrule", rule)
    elif others:
        part.add("rdate", others)
    return part


def yearly_rule(
    onsets: tuple[datetime, ...], last_year: int
) -> dict[str, object] | None:
    """The n-th or last such weekday of a month, if onsets keep to it to `last_year`."""
    first = onsets[0]
    is_yearly = [one.year for one in onsets] == list(range(first.year, last_year + 1))
    alike = {(one.month, one.weekday(), one.time()) for one in onsets}
    if not is_yearly or len(alike) > 1 or len(onsets) < 2:
        return None
    weekday = _WEEKDAYS[first.weekday()]
    places = {(one.day - 1) // _WEEK_DAYS + 1 for one in onsets}
    if all((one + _WEEK_DAYS * DAY).month != one.month for one in onsets):
        places = {-1}
    if len(places) > 1:
        return None
    day = f"{places.pop()}{weekday}"
    return {"freq": "yearly", "bymonth": first.month, "byday": day}
