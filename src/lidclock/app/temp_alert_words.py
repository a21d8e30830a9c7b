"""What is the matter with a place, in the words of every screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lidclock.app.verdict_words import say_when
from lidclock.domain.moments import say_span
from lidclock.domain.phrases import told_of, with_commas, with_semicolons
from lidclock.domain.readings import say_about, say_temp
from lidclock.domain.sentences import Figure, joined, sentence

if TYPE_CHECKING:
    from lidclock.app.session import Session
    from lidclock.app.temp_values import Reading, TemperatureAlert
    from lidclock.templog.limits import PlaceLimit


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
        return sentence("no reading yet")
    kitchen = session.kitchen
    temp = say_temp(reading.temp_c, kitchen.units)
    when = say_when(reading.at, kitchen.zone)
    return joined("{temp} {when}", temp=temp, when=when)


def _beyond(limit: PlaceLimit, session: Session) -> str:
    """`above 4.4 °C`: on which side of it things are wrong."""
    temp = say_about(limit.limit_c, session.kitchen.units)
    if limit.is_floor:
        return sentence("below {limit}", limit=temp)
    return sentence("above {limit}", limit=temp)


def _excursion_alert(alert: TemperatureAlert, session: Session) -> str:
    one, limit = alert.excursion, alert.limit
    assert limit is not None
    beyond = _beyond(limit, session)
    said = reading_words(alert.reading, session)
    if one is None:
        return told_of(said, beyond)
    known = {
        "beyond": beyond,
        "span": say_span(one.length),
        "worst": say_about(one.peak_c, session.kitchen.units),
    }
    if limit.is_floor:
        lasted = sentence("{beyond} for {span}, lowest {worst}", **known)
        return told_of(said, lasted if one.length else beyond)
    lasted = sentence("{beyond} for {span}, highest {worst}", **known)
    words = told_of(said, lasted if one.length else beyond)
    if alert.kind != "excursion":
        return words
    return with_semicolons([words, sentence("door? power? move the food?")])


def _silent_alert(alert: TemperatureAlert, session: Session) -> str:
    silence, limit = alert.silence, alert.limit
    assert silence is not None
    last: str = sentence("it never spoke")
    if alert.reading is not None:
        last = sentence("last {reading}", reading=reading_words(alert.reading, session))
        if limit is not None and limit.is_beyond(alert.reading.temp_c):
            last = with_commas([last, _beyond(limit, session)])
    return sentence(
        "{sensor} silent for {span}: {last}; nobody knows how warm it is",
        sensor=alert.sensors[0],
        span=say_span(silence.lasted),
        last=last,
    )


def _disagree_alert(alert: TemperatureAlert, session: Session) -> str:
    one = alert.disagreement
    assert one is not None
    first, second = alert.sensors
    words = disagreement_words(first, second, one.most_c, session)
    return with_semicolons([words, sentence("check both in ice")])


def disagreement_words(first: str, second: str, most_c: float, session: Session) -> str:
    """`Probe A and Fridge, typed: up to 4.5 °C apart`: a difference, not a level."""
    most = sentence("{temp} °C", temp=Figure(f"{most_c:.1f}"))
    if session.kitchen.units == "us":
        most = sentence("{temp} °F", temp=Figure(f"{most_c * 1.8:.1f}"))
    return sentence(
        "{first} and {second} up to {most} apart",
        first=repr(first),
        second=repr(second),
        most=most,
    )
