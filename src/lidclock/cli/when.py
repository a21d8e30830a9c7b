"""Times, days, spans and temperatures as people write them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from lidclock.domain.moments import (
    MONTHS,
    WEEKDAYS,
    from_local,
    local_date,
    read_iso,
    say_day,
)
from lidclock.errors import InputError

EXAMPLE = "write it like 'Sat 31 Oct 17:10', 'yesterday 18:00' or 2026-10-31T17:10"
COMING_EXAMPLE = "write it like 'Sat 31 Oct 17:10', 'tomorrow 08:00' or 'in 12 h'"
PAST_DAYS = "write it like '5 Nov', 'yesterday' or 2026-11-05"
DAY_EXAMPLE = "write it like '5 Nov 2026' or 2026-11-05"
LONGEST = timedelta(days=3660)
_DAY = timedelta(days=1)
# A day without a year that comes this soon is a slip rather than last year's.
_SLIP = timedelta(days=31)
_FULL_WEEKDAYS = (
    *("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"),
)
_NEARBY_DAYS = {"today": 0, "tonight": 0, "yesterday": -1, "tomorrow": 1}
_WEEKDAY = r"(?:mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?"
_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|"
    r"aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
_NUMBER = r"[0-9]{1,2}(?:st|nd|rd|th)?"
_DATE = re.compile(
    rf"(?:(?P<weekday>{_WEEKDAY}) )?"
    rf"(?:{_NUMBER} {_MONTH}|{_MONTH} {_NUMBER})(?: [0-9]{{4}})?"
)
_ONLY_WEEKDAY = re.compile(_WEEKDAY)
_ISO_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_ISO_TIME = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:?[0-9]{2}.*", re.I)
_ALL_NUMBERS = re.compile(r"([0-9]{1,2})[/.-]([0-9]{1,2})(?:[/.-]([0-9]{2,4}))?\.?")
_CLOCK = re.compile(
    r"(?<![0-9:+.])(?P<hour>[0-9]{1,2})"
    r"(?::(?P<minute>[0-9]{2})(?::(?P<second>[0-9]{2}))?\s*(?P<half>[ap]m)?"
    r"|\s*(?P<bare_half>[ap]m))(?![0-9:a-z])"
)
_SPAN = re.compile(
    r"(?:(?P<d>[0-9]{1,9}) ?(?:d|days?))? ?"
    r"(?:(?P<h>[0-9]{1,9}) ?(?:h|hrs?|hours?))? ?"
    r"(?:(?P<m>[0-9]{1,9}) ?(?:m|mins?|minutes?))?"
)


def read_time(text: str, zone: ZoneInfo, now: datetime) -> datetime:
    """The UTC instant that a person at `now` in `zone` means by `text`.

    A year left out is the most recent that is not in the future, and so is a bare
    weekday; a bare hour is today's. A day of the coming month is refused instead.
    """
    words = _tidy(text)
    if words == "now":
        return now
    if words.endswith(" ago"):
        return now - _positive(words.removesuffix(" ago"), text)
    if _ISO_TIME.fullmatch(words):
        return read_iso(words.upper(), zone)
    clock, rest = _cut_clock(words, text)
    today = local_date(now, zone)
    if clock is None:
        day = _day(rest, text, today, EXAMPLE, maker=False)
        raise InputError(
            f"{text!r} names no hour on {say_day(day)}; {EXAMPLE} "
            "(00:00 if nobody knows the hour: the earliest is the careful reading)"
        )
    if not rest:
        return from_local(datetime.combine(today, clock), zone)
    if _ONLY_WEEKDAY.fullmatch(rest):
        return _last_weekday(_weekday(rest), clock, zone, now)
    day = _day(rest, text, today, EXAMPLE, maker=False)
    return from_local(datetime.combine(day, clock), zone)


def read_coming_time(text: str, zone: ZoneInfo, now: datetime) -> datetime:
    """The UTC instant still to come that a person at `now` in `zone` means by `text`.

    A bare hour or weekday is the next one, a year left out the nearest. What lies in
    the past all the same is for the caller to refuse.
    """
    words = _tidy(text)
    if words.startswith("in "):
        return now + _positive(words.removeprefix("in "), text)
    if _ISO_TIME.fullmatch(words):
        return read_iso(words.upper(), zone)
    clock, rest = _cut_clock(words, text)
    if clock is None:
        raise InputError(f"{text!r} names no hour; {COMING_EXAMPLE}")
    today, step = local_date(now, zone), _DAY
    if not rest:
        day = today
    elif _ONLY_WEEKDAY.fullmatch(rest):
        day = today + timedelta(days=(_weekday(rest) - today.weekday()) % 7)
        step = 7 * _DAY
    else:
        day = _day(rest, text, today, COMING_EXAMPLE, maker=True)
        return from_local(datetime.combine(day, clock), zone)
    at = from_local(datetime.combine(day, clock), zone)
    return at if at > now else from_local(datetime.combine(day + step, clock), zone)


def read_day(text: str, zone: ZoneInfo, now: datetime) -> date:
    """The day on a maker's label; without a year, the nearest such day to `now`."""
    words = _tidy(text)
    if _cut_clock(words, text)[0] is not None:
        raise InputError(f"{text!r} is a time; a maker's date is a day: {DAY_EXAMPLE}")
    return _day(words, text, local_date(now, zone), DAY_EXAMPLE, maker=True)


def read_past_day(text: str, zone: ZoneInfo, now: datetime) -> date:
    """A day up to today; a year left out is the most recent, and so is a weekday."""
    words, today = _tidy(text), local_date(now, zone)
    if _cut_clock(words, text)[0] is not None:
        raise InputError(f"{text!r} is a time; here a whole day is meant: {PAST_DAYS}")
    return _day(words, text, today, PAST_DAYS, maker=False)


def day_of(text: str | None, zone: ZoneInfo, now: datetime) -> date | None:
    """The day a list is for: `today`, `Thu`, `5 Nov`; None if nothing was written.

    A bare weekday is the next one, today among them; a year left out the nearest.
    """
    if text is None:
        return None
    words = _tidy(text)
    if _ONLY_WEEKDAY.fullmatch(words):
        today = local_date(now, zone)
        return today + timedelta(days=(_weekday(words) - today.weekday()) % 7)
    if _cut_clock(words, text)[0] is not None:
        raise InputError(f"{text!r} is a time; a list is for a day: {DAY_EXAMPLE}")
    return _day(words, text, local_date(now, zone), DAY_EXAMPLE, maker=True)


def read_span(text: str) -> timedelta:
    """A length of time: `36h`, `2d`, `90min`, `1h 30min`."""
    match = _SPAN.fullmatch(_tidy(text))
    if match is None or not any(match.groups()):
        raise InputError(f"{text!r} is not a span; write it like 36h, 2d or 90min")
    counts = {key: int(value or 0) for key, value in match.groupdict().items()}
    if max(counts.values()) > LONGEST // timedelta(minutes=1):
        raise InputError(f"{text!r} is longer than {LONGEST.days} days")
    span = timedelta(days=counts["d"], hours=counts["h"], minutes=counts["m"])
    if span > LONGEST:
        raise InputError(f"{text!r} is longer than {LONGEST.days} days")
    return span


def _tidy(text: str) -> str:
    return " ".join(text.replace(",", " ").split()).lower()


def _positive(words: str, text: str) -> timedelta:
    try:
        return read_span(words)
    except InputError as error:
        raise InputError(f"{text!r} is not a time; write it like '2 h ago'") from error


def _cut_clock(words: str, text: str) -> tuple[time | None, str]:
    """The hour in `words`, and what is left without it."""
    found = list(_CLOCK.finditer(words))
    if not found:
        return None, words
    if len(found) > 1:
        raise InputError(f"{text!r} names two hours; {EXAMPLE}")
    match = found[0]
    rest = f"{words[: match.start()]} {words[match.end() :]}"
    rest = " ".join(word for word in rest.split() if word not in ("at", "on"))
    return _clock(match, text), rest


def _clock(match: re.Match[str], text: str) -> time:
    hour, minute = int(match["hour"]), int(match["minute"] or 0)
    half = match["half"] or match["bare_half"]
    if half and not 1 <= hour <= 12:
        raise InputError(f"{text!r}: {hour} {half} is not an hour; {EXAMPLE}")
    if half:
        hour = hour % 12 + (12 if half == "pm" else 0)
    try:
        return time(hour, minute, int(match["second"] or 0))
    except ValueError as error:
        raise InputError(f"{text!r}: there is no such hour; {EXAMPLE}") from error


def _day(rest: str, text: str, today: date, example: str, *, maker: bool) -> date:
    if rest in _NEARBY_DAYS:
        return today + timedelta(days=_NEARBY_DAYS[rest])
    numbers = _ALL_NUMBERS.fullmatch(rest)
    if numbers:
        raise InputError(_readings(text, numbers, today))
    if _ISO_DAY.fullmatch(rest):
        try:
            return date.fromisoformat(rest)
        except ValueError as error:
            raise InputError(f"{text!r}: there is no such day; {example}") from error
    if _ONLY_WEEKDAY.fullmatch(rest) and not maker:
        return today - timedelta(days=(today.weekday() - _weekday(rest)) % 7)
    spelt = rest.replace("/", " ").replace("-", " ").replace(".", " ")
    match = _DATE.fullmatch(" ".join(spelt.split()))
    if match is None:
        raise InputError(f"{text!r} is not a {_kind(maker)}; {example}")
    found = _parsed(match[0], text, example)
    day = found.on(today, maker=maker)
    if day is None:
        raise InputError(f"{text!r}: there is no such day; {example}")
    if match["weekday"] and day.weekday() != _weekday(match["weekday"]):
        raise InputError(_wrong_weekday(day, _weekday(match["weekday"])))
    return day


def _kind(maker: bool) -> str:
    return "day" if maker else "time"


@dataclass(frozen=True, slots=True)
class _Found:
    """Day and month as written; `year=None` where it was left out."""

    day: int
    month: int
    year: int | None

    def on(self, today: date, *, maker: bool) -> date | None:
        """The day meant, seen from `today`; None if there is no such day."""
        if self.year is not None:
            return self._in(self.year)
        # A 29 February may lie up to eight years back (1896 to 1904).
        years = range(today.year - 8, today.year + 2)
        days = [day for year in years if (day := self._in(year)) is not None]
        if maker:
            return min(days, key=lambda day: abs(day - today), default=None)
        past = max((day for day in days if day <= today), default=None)
        soon = min((day for day in days if day > today), default=None)
        if past is not None and soon is not None and soon - today <= _SLIP:
            raise InputError(
                f"{say_day(soon)} is in the future; if you mean {say_day(past)}, "
                "write the year"
            )
        return past

    def _in(self, year: int) -> date | None:
        try:
            return date(year, self.month, self.day)
        except ValueError:
            return None


def _parsed(words: str, text: str, example: str) -> _Found:
    """Day, month and year; what differs between two defaults was not written."""
    from dateutil import parser

    bare = re.sub(rf"^{_WEEKDAY} ", "", words)
    try:
        # Leap years, so that 29 Feb without a year is read as well.
        one = parser.parse(bare, default=datetime(2000, 1, 1, tzinfo=UTC))
        other = parser.parse(bare, default=datetime(2004, 2, 2, tzinfo=UTC))
    except (parser.ParserError, OverflowError) as error:
        raise InputError(f"{text!r}: there is no such day; {example}") from error
    if (one.day, one.month) != (other.day, other.month):
        raise InputError(f"{text!r} does not name a day and a month; {example}")
    return _Found(one.day, one.month, one.year if one.year == other.year else None)


def _weekday(word: str) -> int:
    return [name.lower() for name in WEEKDAYS].index(word[:3])


def _wrong_weekday(day: date, said: int) -> str:
    on = f"{day.day} {MONTHS[day.month - 1]} {day.year}"
    is_on, not_on = _FULL_WEEKDAYS[day.weekday()], _FULL_WEEKDAYS[said]
    return f"{on} is a {is_on}, not a {not_on}; correct the day or the weekday"


def _last_weekday(weekday: int, clock: time, zone: ZoneInfo, now: datetime) -> datetime:
    today = local_date(now, zone)
    day = today - timedelta(days=(today.weekday() - weekday) % 7)
    at = from_local(datetime.combine(day, clock), zone)
    if at > now:
        at = from_local(datetime.combine(day - 7 * _DAY, clock), zone)
    return at


def _readings(text: str, numbers: re.Match[str], today: date) -> str:
    """What an all-number date could mean, in words."""
    first, second = int(numbers[1]), int(numbers[2])
    year = int(numbers[3]) if numbers[3] else today.year
    year += 2000 if year < 100 else 0
    readings = []
    for day, month in dict.fromkeys([(first, second), (second, first)]):
        try:
            meant = date(year, month, day)
        except ValueError:
            continue
        readings.append(f"{meant.day} {MONTHS[meant.month - 1]}")
    if not readings:
        return f"{text!r} is no date; write the month in letters"
    words = " or ".join(readings)
    return f"{text!r} could be {words} {year}: write the month in letters"
