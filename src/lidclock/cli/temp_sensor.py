"""`temp sensor`, `temp offset`, `temp lag`: what measures, and how well."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk, time_of
from lidclock.cli.options import (
    TEMP,
    anyway_option,
    at_option,
    echo_json,
    echo_lines,
    json_option,
)
from lidclock.cli.show import columns, say_when
from lidclock.cli.temp_check import apart_words, check_every, check_facts, check_words
from lidclock.cli.temp_topic import topic
from lidclock.domain.moments import local_date, say_short_day
from lidclock.domain.readings import say_temp
from lidclock.errors import InputError

if TYPE_CHECKING:
    from lidclock.app.sensor_list import SensorStanding
    from lidclock.app.session import Session

AUTO = "auto"
# Sensors speak every few seconds; nothing else here is that short.
_SECONDS = re.compile(r"([0-9]{1,6}) ?(?:s|secs?|seconds?)", re.I)
place_needed = click.option(
    "--place", metavar="PLACE", required=True, help="What it measures."
)


@click.group()
def sensor() -> None:
    """What measures the places of this kitchen."""


sensor.add_command(topic)


@sensor.command("add")
@click.argument("name")
@place_needed
@click.option(
    "--every",
    metavar="SPAN",
    help="How often it should speak, e.g. 5min. [as its readings show]",
)
@click.option("--note", default="", metavar="TEXT", help="Where exactly, what model.")
@click.option("--since", metavar="TIME", help="When it was put there. [now]")
@pass_desk
def add(desk: Desk, name: str, place: str, **options: Any) -> None:
    """Add a sensor: a probe or logger that stays in one place.

    \b
    Example:
      lidclock temp sensor add "Probe A" --place "Fridge 2" --every 5min
    """
    from lidclock.app import sensors
    from lidclock.cli.foods import clean_name

    with desk.session() as session:
        made = sensors.add_sensor(
            session,
            clean_name(name),
            place,
            interval=_span(options["every"]),
            note=options["note"],
            since=time_of(session, options["since"]),
        )
        where = session.place(place).name
    click.echo(f"added: {made.name}, in {where}{_every(made.interval_s)}")


def _span(text: str | None) -> timedelta | None:
    if text is None:
        return None
    from lidclock.cli.when import read_span

    if match := _SECONDS.fullmatch(text.strip()):
        return timedelta(seconds=int(match[1]))
    return read_span(text)


def _every(interval_s: float | None) -> str:
    if interval_s is None:
        return ""
    from lidclock.domain.moments import say_span

    return f", expected every {say_span(timedelta(seconds=interval_s))}"


@sensor.command("list")
@json_option
@pass_desk
def list_(desk: Desk, as_json: bool) -> None:
    """List the sensors: where, last reading, silence, when last and next checked.

    \b
    Example:
      lidclock temp sensor list
    """
    from lidclock.app import sensor_list

    with desk.session() as session:
        found = sensor_list.sensor_standings(session)
        if as_json:
            echo_json([_json(one, session) for one in found])
        elif found:
            echo_lines(columns([_row(one, session) for one in found]))
        else:
            click.echo(
                "no sensors yet: type a reading with `lidclock temp PLACE TEMP`, or "
                "add one with `lidclock temp sensor add NAME --place PLACE`"
            )


def _row(one: SensorStanding, session: Session) -> list[str]:
    from lidclock.cli.temp_words import reading_words, silence_words

    offset = one.offset
    return [
        one.sensor.name,
        one.place or "in no place",
        reading_words(one.latest, session) if one.now else "",
        silence_words(one.now) if one.now else "",
        f"{offset.offset_c:+.2f} °C put right" if offset and offset.offset_c else "",
        check_words(one.check, session),
    ]


def _json(one: SensorStanding, session: Session) -> dict[str, Any]:
    from lidclock.cli.temp_words import reading_json

    zone, silence = session.kitchen.zone, one.now.silence if one.now else None
    return {
        "name": one.sensor.name,
        "id": one.sensor.id,
        "place": one.place or None,
        "typed": one.sensor.is_typed,
        "note": one.sensor.note or None,
        "latest": reading_json(one.latest, zone),
        "expected_minutes": one.pace and round(one.pace.interval_s / 60, 2),
        "expected_is_guessed": one.pace.is_guessed if one.pace else None,
        "silent_minutes": silence and round(silence.lasted / timedelta(minutes=1), 1),
        "is_silent": bool(silence and silence.is_alarm),
        "readings": one.count,
        "offset_c": one.offset.offset_c if one.offset else None,
        **check_facts(one.check, session),
    }


@sensor.command("move")
@click.argument("name")
@click.argument("place", required=False)
@click.option("--nowhere", is_flag=True, help="It measures no place any more.")
@at_option
@pass_desk
def move(desk: Desk, name: str, place: str | None, nowhere: bool, at: str) -> None:
    """Say that a sensor measures PLACE from now on; what it measured before stays.

    \b
    Example:
      lidclock temp sensor move "Probe A" Freezer --at "today 9:00"
      lidclock temp sensor move "Fridge, typed" --nowhere
    """
    from lidclock.app import sensors

    if (place is None) != nowhere:
        raise InputError("name the place it measures now, or say --nowhere")
    with desk.session() as session:
        moved, where, when = sensors.move_sensor(
            session, name, place, time_of(session, at)
        )
        zone = session.kitchen.zone
    there = f"measures {where}" if where else "measures no place"
    click.echo(f"{moved.name} {there} from {say_when(when, zone)} on")


@sensor.command("interval")
@click.argument("name")
@click.argument("span")
@pass_desk
def interval(desk: Desk, name: str, span: str) -> None:
    """Say how often a sensor should speak: SPAN such as 5min, or `auto`.

    Three spans without a reading are a gap and an alarm; for what people type, one and
    a half. With `auto` the usual time between its readings counts.

    \b
    Example:
      lidclock temp sensor interval "Probe A" 10min
    """
    from lidclock.app import sensors

    with desk.session() as session:
        every = None if span == AUTO else _span(span)
        changed = sensors.set_interval(session, name, every)
    click.echo(f"{changed.name}{_every(changed.interval_s) or ': by its own readings'}")


sensor.add_command(check_every)


class _Altitude(click.ParamType[float]):
    """An altitude such as 1500m or 5000ft, read into metres."""

    name = "altitude"

    def convert(self, value: Any, param: Any, ctx: Any) -> float:  # noqa: ARG002
        """Metres; InputError says how to write it."""
        from lidclock.cli.guidance_target import read_altitude

        return value if isinstance(value, float) else read_altitude(value)


@click.command()
@click.argument("name", metavar="SENSOR")
@click.option("--ice-point", type=TEMP, metavar="TEMP", help="What it said in slush.")
@click.option(
    "--boiling-point", type=TEMP, metavar="TEMP", help="What it said in boiling water."
)
@click.option(
    "--altitude",
    type=_Altitude(),
    metavar="HEIGHT",
    help="With --boiling-point: the kitchen's height, e.g. 1500m. [sea level]",
)
@at_option
@anyway_option
@pass_desk
def offset(desk: Desk, name: str, **options: Any) -> None:
    """Put a sensor right by what it said in ice slush or boiling water.

    From then on the difference is added to what it says; what was stored stays as it
    was read.

    \b
    Example:
      lidclock temp offset "Probe A" --ice-point 0.4C
      lidclock temp offset "Probe A" --boiling-point 94.9C --altitude 5000ft
    """
    from lidclock.app import sensors

    ice, boiling = options["ice_point"], options["boiling_point"]
    if (ice is None) == (boiling is None):
        raise InputError("give either --ice-point or --boiling-point with what it said")
    if boiling is None and options["altitude"] is not None:
        raise InputError("--altitude goes with --boiling-point; ice melts at 0 °C")
    with desk.session() as session:
        found = sensors.check_sensor(
            session,
            name,
            boiling if ice is None else ice,
            method="boiling-point" if ice is None else "ice-point",
            altitude_m=options["altitude"] or 0.0,
            at=time_of(session, options["at"]),
            anyway=options["anyway"],
        )
        zone, units = session.kitchen.zone, session.kitchen.units
    within = "within" if found.verdict.is_within else "NOT within"
    said, true = (
        say_temp(found.offset.measured_c or 0.0),
        say_temp(round(found.true_c, 1)),
    )
    echo_lines(
        [
            f"{found.sensor.name}: said {said} where it is {true}; from "
            f"{say_when(found.offset.since, zone)} on {found.offset.offset_c:+.2f} °C "
            "is added",
            f"{within} ±{sensors.TOLERANCE_C:g} °C ({sensors.TOLERANCE_SAYS})"
            + ("" if found.verdict.is_within else ": replace it"),
            f"check again by {say_short_day(local_date(found.next_check, zone))}"
            + ("" if found.sensor.check_every_s else " (common practice, no source)"),
            *([apart_words(found.apart_c, units)] if found.apart_c else []),
        ]
    )


@click.command()
@click.argument("place")
@click.argument("span")
@pass_desk
def lag(desk: Desk, place: str, span: str) -> None:
    """Say how far food in PLACE lags behind its air: SPAN such as 45min; 0min for none.

    It only tells an open door from warming: an excursion in which food so far behind
    stays within the limit is called a spike. Hours are charged by the air all the same.

    \b
    Example:
      lidclock temp lag "Fridge 2" 45min
    """
    from lidclock.app import sensors
    from lidclock.domain.moments import say_span

    with desk.session() as session:
        behind = _span(span)
        assert behind is not None
        where = sensors.set_lag(session, place, behind)
    click.echo(f"{where.name}: food lags {say_span(behind)} behind the air")
