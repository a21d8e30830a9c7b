"""Calendars after RFC 5545 and RFC 7986: entries in, bytes of a file or feed out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

from lidclock.domain.moments import DAY, zone_of
from lidclock.domain.screen_text import shown
from lidclock.gateways.calendar_zone import timezone_of

if TYPE_CHECKING:
    from icalendar import Alarm as AlarmPart
    from icalendar import Calendar, Event
    from icalendar.prop import vText

PRODID = "-//lidclock//calendar 1//EN"
# The least time between two looks at a feed that a calendar is asked for.
REFRESH = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class Alarm:
    """A reminder on the screen: at an instant, or so long before the entry begins."""

    says: str
    when: datetime | timedelta


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a calendar; it takes up no time of its reader.

    `begins` is a day, an aware instant, or naive local time in `zone_name`. `rule` is
    the text after `RRULE:` and `without` the local times on which it does not happen.
    `uid` is the same whenever the same thing is written; `revision` rises when it
    changes.
    """

    uid: str
    title: str
    lines: tuple[str, ...]
    begins: date | datetime
    zone_name: str = ""
    rule: str = ""
    without: tuple[datetime, ...] = ()
    alarm: Alarm | None = None
    revision: int = 0


def calendar_bytes(
    name: str, entries: Iterable[Entry], *, now: datetime, zone_name: str
) -> bytes:
    """The calendar called `name`, as it is at `now`; the same input gives the same.

    The zone of the kitchen always stands in it, since a calendar must hold at least one
    component (RFC 5545, 3.6). There is no METHOD, so DTSTAMP tells when the calendar
    was last written and takes the place of LAST-MODIFIED (3.8.7.2).
    """
    from icalendar import Calendar

    listed = sorted(entries, key=lambda one: one.uid)
    calendar = Calendar()
    calendar.add("prodid", PRODID)
    calendar.add("version", "2.0")
    calendar.add("name", _text(name))
    # RFC 7986, 5.7: VALUE=DURATION is required; the library leaves it out.
    calendar.add("refresh-interval", REFRESH, parameters={"VALUE": "DURATION"})
    _add_zones(calendar, listed, now, zone_name)
    for entry in listed:
        calendar.add_component(_event(entry, now))
    written: bytes = calendar.to_ical()
    return written


def _add_zones(
    calendar: Calendar, entries: list[Entry], now: datetime, zone_name: str
) -> None:
    """Every zone that an entry refers to, from its earliest entry on."""
    first_on = {zone_name: now.date()}
    for one in entries:
        if one.zone_name and isinstance(one.begins, datetime):
            known = first_on.get(one.zone_name, one.begins.date())
            first_on[one.zone_name] = min(known, one.begins.date())
    for key, day in sorted(first_on.items()):
        calendar.add_component(timezone_of(zone_of(key), day, now.date()))


def _event(entry: Entry, now: datetime) -> Event:
    from icalendar import Event, vRecur

    event = Event()
    event.add("uid", entry.uid)
    event.add("dtstamp", now.astimezone(UTC))
    event.add("sequence", entry.revision)
    event.add("summary", _text(entry.title))
    event.add("description", _text(*entry.lines))
    event.add("transp", "TRANSPARENT")
    event.add("dtstart", _begins(entry.begins, entry.zone_name))
    if not isinstance(entry.begins, datetime):
        event.add("dtend", entry.begins + DAY)  # exclusive: RFC 5545, 3.6.1
    if entry.rule:
        event.add("rrule", vRecur.from_ical(entry.rule))
    for one in entry.without:
        event.add("exdate", _begins(one, entry.zone_name))
    if entry.alarm is not None:
        event.add_component(_alarm(entry.alarm))
    return event


def _begins(begins: date | datetime, zone_name: str) -> date | datetime:
    if not isinstance(begins, datetime):
        return begins
    if begins.tzinfo is None:
        return begins.replace(tzinfo=zone_of(zone_name))
    return begins.astimezone(UTC)


def _alarm(alarm: Alarm) -> AlarmPart:
    from icalendar import Alarm as AlarmPart

    part = AlarmPart()
    part.add("action", "DISPLAY")
    part.add("description", _text(alarm.says))
    if isinstance(alarm.when, datetime):
        at = alarm.when.astimezone(UTC)
        part.add("trigger", at, parameters={"VALUE": "DATE-TIME"})
    else:
        part.add("trigger", -alarm.when)
    return part


def _text(*lines: str) -> vText:
    """Text of one or several lines, none of which can begin a line of the file.

    What would command a screen or turn a line round is shown as a sign. The library
    takes a backslash before an N for a line break; here it stays one.
    """
    from icalendar.prop import vText

    class Text(vText):
        def to_ical(self) -> bytes:
            return escaped(str(self)).encode()

    return Text("\n".join(tidy(line) for line in lines))


def tidy(line: str) -> str:
    """The line without breaks and without what UTF-8 or a calendar cannot hold."""
    encodable = line.encode("utf-8", "replace").decode()
    return shown(" ".join(encodable.split()))


def escaped(text: str) -> str:
    """Text as RFC 5545, 3.3.11, writes it: a colon stays, four others are escaped."""
    text = text.replace("\\", "\\\\").replace(";", r"\;").replace(",", r"\,")
    return text.replace("\n", r"\n")
