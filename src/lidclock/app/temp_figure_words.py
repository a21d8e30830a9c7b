"""What stands around a figure of temperatures: whose limit, what happened, what not."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from lidclock.app.session import Session
from lidclock.app.temp_report import PlaceReport
from lidclock.domain.kitchens import Place
from lidclock.domain.moments import local_date, say_short_day, say_span
from lidclock.domain.readings import say_about

if TYPE_CHECKING:
    from lidclock.reports.place import Frame, Words
    from lidclock.templog.excursions import Excursion
    from lidclock.templog.limits import PlaceLimit

# The longest are told; the rest are counted, and stand in `temp list`.
_MOST_TOLD = 4
_MOST_CHANGES = 2


def place_words(found: PlaceReport, session: Session, frame: Frame) -> Words:
    """Above: place, span, guidance set, limit and whose. Below: what happened."""
    from lidclock.reports.drawing import say_days
    from lidclock.reports.page import Words

    span = say_days(frame.began, frame.ended, frame.zone)
    head = (
        f"{figure_name(found.place, session)} ({_STATES[found.place.state]})",
        f"{span}, {_guidance_words(session)}",
        f"Limit: {limit_line(found.found.limit, session.kitchen.units)}",
    )
    foot = [
        _summary(found, session),
        *_excursion_lines(found, session),
        *_change_lines(frame),
    ]
    if found.spikes:
        foot.append(
            "A spike is short: food so far behind the air stays within the limit. "
            "Hours are charged by the air all the same."
        )
    return Words(head, [line for line in foot if line])


def fleet_words(found: list[PlaceReport], session: Session, frame: Frame) -> Words:
    """Above: span and guidance set. Below: every limit once, and whose it is."""
    from lidclock.reports.drawing import say_days
    from lidclock.reports.page import Words

    kitchen = session.kitchen
    drawn = [one for one in found if one.found.latest is not None]
    limits = {
        one.place.state: f"{_STATES[one.place.state].capitalize()}: "
        f"{limit_line(one.found.limit, kitchen.units)}"
        for one in drawn
    }
    unread = [
        figure_name(one.place, session) for one in found if one.found.latest is None
    ]
    foot = [*limits.values(), *_change_lines(frame)]
    if unread:
        foot.append(f"Without any reading, so nothing is known: {', '.join(unread)}.")
    head = (
        f"{kitchen.name}: {say_days(frame.began, frame.ended, frame.zone)}",
        _guidance_words(session),
    )
    return Words(head, foot)


_STATES = {one: one for one in ("fridge", "freezer", "counter")} | {"hot": "hot hold"}


def limit_line(limit: PlaceLimit | None, units: str) -> str:
    """`at most 4.4 °C; what it is (whose word that is)`."""
    from lidclock.templog.limits import limit_words

    if limit is None:
        return "none; a counter is held to no limit"
    said = limit_words(limit, units)
    source = f" ({limit.source})" if limit.source else ""
    return f"{said}; {limit.says.rstrip('.')}{source}"


def _guidance_words(session: Session) -> str:
    guidance = session.guidance
    return f"guidance set {guidance.id}: {guidance.title}"


def told_words(found: PlaceReport, session: Session, count: int | None) -> str:
    """The limit, what went beyond it and who is silent, for a small picture."""
    from lidclock.templog.limits import limit_words

    units, limit = session.kitchen.units, found.found.limit
    parts = [limit_words(limit, units) if limit is not None else "no limit"]
    latest = found.found.latest
    if not found.has_readings and latest is not None:
        day = say_short_day(local_date(latest.at, session.kitchen.zone))
        parts.append(f"none since {day}")
    parts += [
        _counted(len(found.excursions), "excursion"),
        _counted(len(found.spikes), "spike"),
    ]
    if count is not None:
        parts.append(f"{count} container{'' if count == 1 else 's'}")
    return ", ".join(part for part in parts if part)


def _last_words(found: PlaceReport, session: Session) -> str:
    latest = found.found.latest
    if latest is None:
        return "no readings"
    when = _when(latest.at, session.kitchen.zone)
    said = say_about(latest.temp_c, session.kitchen.units)
    return f"no readings since {when} ({said})"


def _summary(found: PlaceReport, session: Session) -> str:
    """Range, mean, how long was measured, the share beyond the limit."""
    stats, limit, units = found.stats, found.found.limit, session.kitchen.units
    if stats is None:
        if found.has_readings:
            return "One reading."
        return f"Nobody measured: {_last_words(found, session)}."
    parts = [
        f"{say_about(stats.min_c, units)} to {say_about(stats.max_c, units)}, mean "
        f"{say_about(stats.mean_c, units)} over time",
        f"{say_span(stats.measured)} measured of {say_span(found.until - found.since)}",
    ]
    if limit is not None and stats.share_beyond is not None:
        by = say_about(limit.limit_c, units)
        parts.append(f"{stats.share_beyond:.1%} of it {limit.side} {by}")
    return f"{'; '.join(parts)}."


def _excursion_lines(found: PlaceReport, session: Session) -> Iterator[str]:
    """The longest excursions in the order of their hours, and how many more."""
    longest = sorted(found.excursions, key=lambda one: one.length)[-_MOST_TOLD:]
    for one in found.excursions:
        if one in longest:
            yield f"Excursion {_excursion_words(one, found.found.limit, session)}."
    if more := len(found.excursions) - len(longest):
        yield (
            f"{_counted(more, 'shorter excursion')} more; `lidclock temp list` has all."
        )


def _excursion_words(one: Excursion, limit: PlaceLimit | None, session: Session) -> str:
    zone, units = session.kitchen.zone, session.kitchen.units
    word = "lowest" if limit is not None and limit.is_floor else "highest"
    end = "now" if one.is_open else _until(one.began, one.ended, zone)
    words = (
        f"{_when(one.began, zone)} to {end}: {say_span(one.length)}, {word} "
        f"{say_about(one.peak_c, units)}"
    )
    if one.is_bounded:
        words += f"; {say_span(one.bridged)} of it not measured"
    return words


def _change_lines(frame: Frame) -> list[str]:
    from lidclock.reports.drawing import clock_changes, say_change

    found = clock_changes(frame.began, frame.ended, frame.zone)
    return [f"{say_change(at, frame.zone)}." for at in found[:_MOST_CHANGES]]


def figure_name(place: Place, session: Session) -> str:
    """The place's name; its number where the font has not all of its letters."""
    from lidclock.reports.page import has

    if all(has(letter) for letter in place.name):
        return place.name
    return f"place {session.places.index(place) + 1}"


def missing_letters(places: list[Place], session: Session) -> tuple[str, ...]:
    """Which places are drawn by number, and what the font has not."""
    from lidclock.reports.page import has

    return tuple(
        f"{place.name} is drawn as {figure_name(place, session)}: the font of figures "
        f"has no {missing}"
        for place in places
        if (missing := " ".join(dict.fromkeys(x for x in place.name if not has(x))))
    )


def _when(at: datetime, zone: ZoneInfo) -> str:
    return f"{say_short_day(local_date(at, zone))} {at.astimezone(zone):%H:%M}"


def _until(began: datetime, ended: datetime, zone: ZoneInfo) -> str:
    """The hour alone where it is the same day and no clock changed between."""
    is_same = local_date(began, zone) == local_date(ended, zone)
    both = began.astimezone(zone), ended.astimezone(zone)
    if is_same and both[0].utcoffset() == both[1].utcoffset():
        return f"{both[1]:%H:%M}"
    return _when(ended, zone)


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}" if count else ""
