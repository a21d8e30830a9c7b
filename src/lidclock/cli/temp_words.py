"""How readings, limits, excursions and silence look on a screen."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from lidclock.cli.show import iso, plural, say_when
from lidclock.domain.moments import say_span
from lidclock.domain.readings import say_about, say_temp

if TYPE_CHECKING:
    from lidclock.app.session import Session
    from lidclock.app.temp_report import PlaceReport
    from lidclock.app.temp_values import (
        Excursion,
        Member,
        Reading,
        TemperatureAlert,
    )

_PLACES = 4


def say_degree_hours(degree_hours: float, units: str) -> str:
    """`1.4 °C h`: how far beyond the limit, times for how long."""
    amount = degree_hours * 1.8 if units == "us" else degree_hours
    return f"{amount:.1f} °{'F' if units == 'us' else 'C'} h"


def reading_words(reading: Reading | None, session: Session) -> str:
    """`6.5 °C Mon 2 Nov 07:30`."""
    if reading is None:
        return "no reading yet"
    kitchen = session.kitchen
    temp = say_temp(reading.temp_c, kitchen.units)
    return f"{temp} {say_when(reading.at, kitchen.zone)}"


def silence_words(member: Member) -> str:
    """`silent for 3 h 10 min`, with what was expected once that is an alarm."""
    if member.silence is None:
        return ""
    if member.silence.lasted < timedelta(minutes=1):
        return "heard just now"
    words = f"silent for {say_span(member.silence.lasted)}"
    if not member.silence.is_alarm:
        return words
    every = say_span(timedelta(seconds=member.pace.interval_s))
    return f"{words}, expected every {every}"


def excursion_row(one: Excursion, report: PlaceReport, session: Session) -> list[str]:
    """Begin, end, length, worst, mean and degree-hours as cells."""
    kitchen, limit = session.kitchen, report.found.limit
    word = "lowest" if limit is not None and limit.is_floor else "highest"
    end = "now" if one.is_open else say_when(one.ended, kitchen.zone)
    notes = ""
    if one.is_bounded:
        notes = f"bounded: {say_span(one.bridged)} of it not measured"
    return [
        f"{say_when(one.began, kitchen.zone)} to {end}",
        say_span(one.length),
        f"{word} {say_about(one.peak_c, kitchen.units)}",
        f"mean {say_about(one.mean_c, kitchen.units)}",
        say_degree_hours(one.degree_hours, kitchen.units),
        notes,
    ]


def current_words(report: PlaceReport, session: Session) -> str:
    """`above 4.4 °C since Mon 2 Nov 07:10`, or that it is a spike; else nothing."""
    one, limit = report.current, report.found.limit
    if one is None or limit is None:
        return ""
    units, zone = session.kitchen.units, session.kitchen.zone
    kind = "spike: " if one.is_spike else ""
    return (
        f"{kind}{limit.side} {say_about(limit.limit_c, units)} since "
        f"{say_when(one.began, zone)}"
    )


def alert_line(alert: TemperatureAlert, session: Session) -> str:
    """One line of `alert`: the kind, the place, and what is the matter."""
    words = {
        "excursion": _excursion_alert,
        "spike": _excursion_alert,
        "silent": _silent_alert,
        "disagree": _disagree_alert,
    }[alert.kind]
    return f"{alert.kind}  {alert.place.name}  {words(alert, session)}"


def _excursion_alert(alert: TemperatureAlert, session: Session) -> str:
    one, limit, units = alert.excursion, alert.limit, session.kitchen.units
    assert limit is not None
    said = reading_words(alert.reading, session)
    words = f"{said}: {limit.side} {say_about(limit.limit_c, units)}"
    if one is None:
        return words
    word = "lowest" if limit.is_floor else "highest"
    worst = say_about(one.peak_c, units)
    words = f"{words} for {say_span(one.length)}, {word} {worst}"
    is_warm = alert.kind == "excursion" and not limit.is_floor
    return f"{words}; door? power? move the food?" if is_warm else words


def _silent_alert(alert: TemperatureAlert, session: Session) -> str:
    silence, limit = alert.silence, alert.limit
    assert silence is not None
    last = "it never spoke"
    if alert.reading is not None:
        last = f"last {reading_words(alert.reading, session)}"
        if limit is not None and limit.is_beyond(alert.reading.temp_c):
            last += f", {limit.side} {say_about(limit.limit_c, session.kitchen.units)}"
    return (
        f"{alert.sensors[0]} silent for {say_span(silence.lasted)}: {last}; nobody "
        "knows how warm it is"
    )


def _disagree_alert(alert: TemperatureAlert, session: Session) -> str:
    one = alert.disagreement
    assert one is not None
    first, second = alert.sensors
    return (
        f"{disagreement_words(first, second, one.most_c, session)}; check both in ice"
    )


def disagreement_words(first: str, second: str, most_c: float, session: Session) -> str:
    """`Probe A and Fridge, typed: up to 4.5 °C apart`: a difference, not a level."""
    is_us = session.kitchen.units == "us"
    most = f"{most_c * 1.8:.1f} °F" if is_us else f"{most_c:.1f} °C"
    return f"{first!r} and {second!r} up to {most} apart"


def reading_json(reading: Reading | None, zone: ZoneInfo) -> dict[str, Any] | None:
    """A reading as JSON-ready data."""
    if reading is None:
        return None
    return {"at": iso(reading.at, zone), "temp_c": reading.temp_c}


def excursion_json(one: Excursion, zone: ZoneInfo) -> dict[str, Any]:
    """An excursion as JSON-ready data; times in the kitchen's zone."""
    return {
        "began": iso(one.began, zone),
        "ended": iso(one.ended, zone),
        "minutes": round(one.length / timedelta(minutes=1), 1),
        "open": one.is_open,
        "peak_c": round(one.peak_c, _PLACES),
        "mean_c": round(one.mean_c, _PLACES),
        "degree_hours": round(one.degree_hours, _PLACES),
        "unmeasured_minutes": round(one.bridged / timedelta(minutes=1), 1),
        "food_peak_c": round(one.food_peak_c, _PLACES),
    }


def alert_json(alert: TemperatureAlert, zone: ZoneInfo) -> dict[str, Any]:
    """An alert as JSON-ready data."""
    silence, apart = alert.silence, alert.disagreement
    return {
        "kind": alert.kind,
        "place": alert.place.name,
        "state": alert.place.state,
        "since": iso(alert.since, zone),
        "limit_c": round(alert.limit.limit_c, _PLACES) if alert.limit else None,
        "reading": reading_json(alert.reading, zone),
        "excursion": alert.excursion and excursion_json(alert.excursion, zone),
        "silent_minutes": silence and round(silence.lasted / timedelta(minutes=1), 1),
        "apart_c": apart and round(apart.most_c, _PLACES),
        "sensors": list(alert.sensors),
    }


def counted(count: int, word: str) -> str:
    """`2 spikes`, or nothing for none."""
    return plural(count, word) if count else ""


def ago(at: datetime, now: datetime) -> str:
    """`20 min ago`, or `now`."""
    span = now - at
    return "now" if span < timedelta(minutes=1) else f"{say_span(span)} ago"
