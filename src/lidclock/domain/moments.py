"""Instants, local days and the words for them; days are calendar sums, hours UTC."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from lidclock.domain.sentences import DayName, figure, joined, sentence
from lidclock.errors import InputError

DAY = timedelta(days=1)
FIRST_YEAR, LAST_YEAR = 1900, 2200
LONG_AWAY_DAYS = 180
_TICK = timedelta(microseconds=1)
# Shorter than this, seconds are worth saying.
_SHORT = timedelta(minutes=2)
# English names on purpose: a label must not change with the machine's locale.
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun") + (
    ("Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
)


@lru_cache(maxsize=64)
def zone_of(name: str) -> ZoneInfo:
    """The IANA time zone called `name`; InputError if there is none."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise InputError(
            f"unknown time zone {name!r}; use an IANA name such as America/New_York"
        ) from error


def from_local(local: datetime, zone: ZoneInfo) -> datetime:
    """The UTC instant at which clocks in `zone` show the naive time `local`.

    A time that occurs twice is read as the earlier instant. One that does not occur
    is refused, with the last time before the gap and the first after it.
    """
    checked_year(local)
    instant = local.replace(tzinfo=zone, fold=0).astimezone(UTC)
    if instant.astimezone(zone).replace(tzinfo=None) != local:
        before, after = _gap(local, zone)
        raise InputError(
            sentence(
                "{when} does not exist in {zone}: clocks jump there; did you mean "
                "{before} or {after}?",
                when=f"{local:%Y-%m-%d %H:%M}",
                zone=zone.key,
                before=f"{before:%Y-%m-%d %H:%M}",
                after=f"{after:%Y-%m-%d %H:%M}",
            )
        )
    return instant


def _gap(local: datetime, zone: ZoneInfo) -> tuple[datetime, datetime]:
    """The local minutes just before and just after the jump that skips `local`."""
    low = local.replace(tzinfo=zone, fold=1).astimezone(UTC)
    high = local.replace(tzinfo=zone, fold=0).astimezone(UTC)
    old = low.astimezone(zone).utcoffset()
    while high - low > timedelta(seconds=1):
        middle = low + (high - low) / 2
        if middle.astimezone(zone).utcoffset() == old:
            low = middle
        else:
            high = middle
    after = high.replace(microsecond=0).astimezone(zone).replace(tzinfo=None)
    before = (high - timedelta(minutes=1)).astimezone(zone).replace(tzinfo=None)
    return before, after


def read_iso(text: str, zone: ZoneInfo) -> datetime:
    """The UTC instant of an ISO 8601 date-time; without an offset it is in `zone`."""
    try:
        moment = datetime.fromisoformat(text)
    except ValueError as error:
        raise InputError(
            sentence(
                "{text} is not an ISO 8601 time such as 2026-10-31T17:10",
                text=repr(text),
            )
        ) from error
    checked_year(moment)
    return from_local(moment, zone) if moment.tzinfo is None else moment.astimezone(UTC)


def read_iso_day(text: str) -> date:
    """The calendar day of an ISO 8601 date; InputError if it is none."""
    try:
        day = date.fromisoformat(text)
    except ValueError as error:
        raise InputError(
            sentence("{text} is not an ISO date such as 2026-11-03", text=repr(text))
        ) from error
    checked_year(day)
    return day


def checked_year(day: date) -> None:
    """InputError for a year that no container can have seen or will see.

    Inside these bounds no sum of days or hours can run off the calendar.
    """
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise InputError(
            sentence(
                "the year {year} cannot be right; it must lie within {first} and "
                "{last}",
                year=figure(day.year),
                first=figure(FIRST_YEAR),
                last=figure(LAST_YEAR),
            )
        )


def local_date(instant: datetime, zone: ZoneInfo) -> date:
    """The calendar day that `instant` falls on in `zone`."""
    return instant.astimezone(zone).date()


def last_date(end: datetime, zone: ZoneInfo) -> date:
    """The last calendar day touched by a time that ends, exclusively, at `end`."""
    return (end - _TICK).astimezone(zone).date()


def working_day(instant: datetime, zone: ZoneInfo, start_h: int) -> date:
    """The working day that `instant` belongs to where days begin at `start_h`.

    It groups what people read; no limit ever uses it.
    """
    local = instant.astimezone(zone)
    return local.date() - DAY if local.hour < start_h else local.date()


def working_day_begins(day: date, zone: ZoneInfo, start_h: int) -> datetime:
    """The UTC instant from which on things belong to working `day`.

    An hour that is skipped counts from the jump; one that occurs twice is the earlier.
    """
    begins = datetime(day.year, day.month, day.day, start_h, tzinfo=zone)
    return begins.astimezone(UTC)


@lru_cache(maxsize=4096)
def end_of_day(day: date, zone: ZoneInfo) -> datetime:
    """The UTC instant at which local `day` is over: the next local midnight.

    A midnight that is skipped counts from the jump itself; one that occurs twice is
    read as the earlier, so that no mark outlives its day.
    """
    after = day + DAY
    midnight = datetime(after.year, after.month, after.day, tzinfo=zone)
    return midnight.astimezone(UTC)


def say_day(day: date) -> str:
    """`Tue 3 Nov 2026`: weekday and month in letters, so nobody misreads it."""
    return DayName(f"{_short(day)} {day.year}", day, with_year=True)


def say_short_day(day: date) -> str:
    """`Tue 3 Nov`: the same without the year, for things a few days old."""
    return DayName(_short(day), day, with_year=False)


def say_near_day(day: date, today: date) -> str:
    """`Tue 3 Nov`, with the year where it is more than half a year away."""
    is_near = abs((day - today).days) <= LONG_AWAY_DAYS
    return say_short_day(day) if is_near else say_day(day)


def say_moment(instant: datetime, zone: ZoneInfo) -> str:
    """`Tue 3 Nov 2026 17:10` in the kitchen's zone."""
    local = instant.astimezone(zone)
    return joined("{day} {clock}", day=say_day(local.date()), clock=f"{local:%H:%M}")


def say_span(span: timedelta) -> str:
    """`30 s`, `45 min`, `3 h 10 min`, `6 d 3 h`."""
    if span < _SHORT:
        seconds = round(span / timedelta(seconds=1))
        return sentence("{seconds} s", seconds=figure(seconds))
    if span < 2 * DAY:
        return say_hours(span)
    days, rest = divmod(round(span / timedelta(hours=1)), 24)
    if not rest:
        return sentence("{days} d", days=figure(days))
    return sentence("{days} d {hours} h", days=figure(days), hours=figure(rest))


def say_hours(span: timedelta) -> str:
    """`1 h 50 min`, `45 min`, `2 h`: a length of time as people say it."""
    hours, rest = divmod(round(span.total_seconds() / 60), 60)
    if not hours:
        return sentence("{minutes} min", minutes=figure(rest))
    if not rest:
        return sentence("{hours} h", hours=figure(hours))
    return sentence(
        "{hours} h {minutes} min", hours=figure(hours), minutes=figure(rest)
    )


def _short(day: date) -> str:
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"
