"""How readings, limits, excursions and silence look on a screen."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from lidclock.app.instants import to_second
from lidclock.app.temp_alert_words import (
    alert_words,
    disagreement_words,
    reading_words,
)
from lidclock.cli.show import plural, say_when
from lidclock.domain.moments import say_span
from lidclock.domain.readings import say_about

if TYPE_CHECKING:
    from lidclock.app.session import Session
    from lidclock.app.temp_report import PlaceReport
    from lidclock.app.temp_values import (
        Excursion,
        Member,
        Reading,
        TemperatureAlert,
    )

__all__ = ["disagreement_words", "reading_words"]

_PLACES = 4


def say_degree_hours(degree_hours: float, units: str) -> str:
    """`1.4 °C h`: how far beyond the limit, times for how long."""
    amount = degree_hours * 1.8 if units == "us" else degree_hours
    return f"{amount:.1f} °{'F' if units == 'us' else 'C'} h"


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
    return f"{alert.kind}  {alert.place.name}  {alert_words(alert, session)}"


def reading_json(reading: Reading | None, zone: ZoneInfo) -> dict[str, Any] | None:
    """A reading as JSON-ready data."""
    if reading is None:
        return None
    return {"at": to_second(reading.at, zone), "temp_c": reading.temp_c}


def excursion_json(one: Excursion, zone: ZoneInfo) -> dict[str, Any]:
    """An excursion as JSON-ready data; times in the kitchen's zone."""
    return {
        "began": to_second(one.began, zone),
        "ended": to_second(one.ended, zone),
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
        "since": to_second(alert.since, zone),
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
