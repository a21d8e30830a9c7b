"""How checks of thermometers look on a screen, and `temp sensor check-every`."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Any

import click

from lidclock.app.instants import to_second
from lidclock.cli.desk import Desk, pass_desk
from lidclock.domain.moments import local_date, say_near_day, say_span

if TYPE_CHECKING:
    from lidclock.app.sensor_checks import Check
    from lidclock.app.session import Session

USUAL = "usual"
_METHODS = {"ice-point": "in ice", "boiling-point": "in boiling water"}


@click.command("check-every")
@click.argument("name", metavar="SENSOR")
@click.argument("span")
@pass_desk
def check_every(desk: Desk, name: str, span: str) -> None:
    """Say how often a sensor is to be checked: SPAN such as 14d, or `usual`.

    The usual 30 days are common practice, no source. `temp sensor list` and `alert`
    tell when a check is due; `temp offset` records one.

    \b
    Example:
      lidclock temp sensor check-every "Probe A" 14d
    """
    from lidclock.app import sensor_checks
    from lidclock.cli.when import read_span

    every = None if span == USUAL else read_span(span)
    with desk.session() as session:
        changed = sensor_checks.set_check_every(session, name, every)
    said = say_span(sensor_checks.every(changed))
    note = " (common practice, no source)" if every is None else ""
    click.echo(f"{changed.name}: to be checked every {said}{note}")


def check_words(one: Check, session: Session) -> str:
    """When and by what it was checked, when it is next; nothing where none is owed."""
    if one.next_at is None:
        return ""
    if one.last is None:
        return "never checked"
    method = _METHODS.get(one.last.method, "another way")
    words = (
        f"checked {_day(one.last.since, session)} {method}, "
        f"{'was due' if one.is_due(session.now) else 'next by'} "
        f"{_day(one.next_at, session)}"
    )
    return "; ".join([words, *_faults(one, session)])


def check_line(one: Check, session: Session) -> str:
    """The line of `alert`: which thermometer, where, what to do."""
    return f"thermometer  {one.sensor.name}  {one.place}  {_to_do(one, session)}"


def _to_do(one: Check, session: Session) -> str:
    said = check_words(one, session)
    if one.is_off or one.apart_c is not None:
        return said
    return (
        f"{said}: put it in crushed ice with water and record what it says with "
        f"`lidclock temp offset {one.sensor.name!r} --ice-point TEMP`"
    )


def _faults(one: Check, session: Session) -> list[str]:
    from lidclock.app.sensors import TOLERANCE_C

    units = session.kitchen.units
    faults = []
    if one.last is not None and one.is_off:
        off, most = _apart(abs(one.last.offset_c), units), _apart(TOLERANCE_C, units)
        faults.append(f"{off} off, more than {most}: replace it")
    if one.apart_c is not None:
        faults.append(apart_words(one.apart_c, units))
    return faults


def apart_words(apart_c: float, units: str) -> str:
    """That ice and boiling water of one day do not agree: no one offset mends that."""
    from lidclock.app.sensors import TOLERANCE_C

    return (
        f"ice and boiling water of one day {_apart(apart_c, units)} apart, more than "
        f"{_apart(TOLERANCE_C, units)}: no one offset puts it right, replace it"
    )


def _apart(degrees_c: float, units: str) -> str:
    """A difference, not a level."""
    is_us = units == "us"
    return f"{degrees_c * 1.8:.1f} °F" if is_us else f"{degrees_c:.1f} °C"


def _day(at: Any, session: Session) -> str:
    zone = session.kitchen.zone
    return say_near_day(local_date(at, zone), local_date(session.now, zone))


def check_json(one: Check, session: Session) -> dict[str, Any]:
    """A check that is due, as JSON-ready data."""
    return {
        "kind": "thermometer",
        "sensor": one.sensor.name,
        "place": one.place or None,
        **check_facts(one, session),
    }


def check_facts(one: Check, session: Session) -> dict[str, Any]:
    """What is known of a sensor's checks, as JSON-ready data."""
    from lidclock.app.sensor_checks import every

    zone, last = session.kitchen.zone, one.last
    return {
        "checked_at": to_second(last.since, zone) if last else None,
        "checked_by": last.method if last else None,
        "check_every_days": round(every(one.sensor) / timedelta(days=1), 2),
        "next_check": to_second(one.next_at, zone),
        "check_is_due": one.is_due(session.now),
        "is_off": one.is_off,
        "points_apart_c": one.apart_c,
    }
