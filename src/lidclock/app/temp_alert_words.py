"""What is the matter with a place, in the words of every screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lidclock.app.verdict_words import say_when
from lidclock.domain.moments import say_span
from lidclock.domain.readings import say_about, say_temp

if TYPE_CHECKING:
    from lidclock.app.session import Session
    from lidclock.app.temp_values import Reading, TemperatureAlert


def alert_words(alert: TemperatureAlert, session: Session) -> str:
    """What is the matter with a place, in one line."""
    words = {
        "excursion": _excursion_alert,
        "spike": _excursion_alert,
        "silent": _silent_alert,
        "disagree": _disagree_alert,
    }[alert.kind]
    return words(alert, session)


def reading_words(reading: Reading | None, session: Session) -> str:
    """`6.5 °C Mon 2 Nov 07:30`."""
    if reading is None:
        return "no reading yet"
    kitchen = session.kitchen
    temp = say_temp(reading.temp_c, kitchen.units)
    return f"{temp} {say_when(reading.at, kitchen.zone)}"


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
