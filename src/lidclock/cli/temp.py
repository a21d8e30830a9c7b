"""`temp`: how warm places are, typed in by hand, and what came of it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk, time_of
from lidclock.cli.lazy import LazyGroup
from lidclock.cli.options import (
    TEMP,
    anyway_option,
    at_option,
    echo_lines,
)
from lidclock.cli.show import say_when
from lidclock.domain.codes import spaced
from lidclock.domain.readings import say_temp
from lidclock.errors import InputError

if TYPE_CHECKING:
    from lidclock.app.session import Session
    from lidclock.app.temps import Typed
    from lidclock.domain.kitchens import Place

_HERE = "lidclock.cli"
COMMANDS = {
    "add": f"{_HERE}.temp:add",
    "list": f"{_HERE}.temp_list:list_",
    "stats": f"{_HERE}.temp_list:stats",
    "correct": f"{_HERE}.temp:correct",
    "sensor": f"{_HERE}.temp_sensor:sensor",
    "offset": f"{_HERE}.temp_sensor:offset",
    "lag": f"{_HERE}.temp_sensor:lag",
    "draw": f"{_HERE}.temp_draw:draw",
    "listen": f"{_HERE}.temp_listen:listen",
    "export": f"{_HERE}.temp_files:export",
    "import": f"{_HERE}.temp_import:import_",
    "load": f"{_HERE}.temp_files:load",
}
_MOST_NAMED = 5
# A temperature such as -18C looks like an option.
MINUS = {"ignore_unknown_options": True}
_DEGREES = re.compile(r"[-−+]?[0-9]+(?:[.,][0-9]+)?\s*°?\s*[cf]?", re.I)


class PlaceOrCommand(LazyGroup):
    """A first word that is no command is a place: `temp "Fridge 2" 6.5C`."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command; `add` where a place is named."""
        word, after = args[0], args[1:2]
        if word not in self.list_commands(ctx):
            args = ["add", *args]
        elif word != "add" and after and _DEGREES.fullmatch(after[0].strip()):
            raise InputError(
                f"{word!r} is a command here; for a place of that name write "
                f"`lidclock temp add {word} {after[0]}`"
            )
        return super().resolve_command(ctx, args)


@click.group(cls=PlaceOrCommand, lazy=COMMANDS)
def temp() -> None:
    """How warm places are: readings, sensors, what went beyond its limit.

    `lidclock temp PLACE TEMP` is short for `lidclock temp add PLACE TEMP`.

    \b
    Example:
      lidclock temp "Fridge 2" 6.5C
      lidclock temp list
    """


@click.command(context_settings=MINUS)
@click.argument("place")
@click.argument("temp_c", type=TEMP, metavar="TEMP")
@click.option(
    "--sensor", metavar="NAME", help="Whose display it was. [what people type]"
)
@at_option
@anyway_option
@pass_desk
def add(desk: Desk, place: str, temp_c: float, **options: Any) -> None:
    """Record what a thermometer said in PLACE: TEMP is written 6.5C or 43F.

    \b
    Example:
      lidclock temp add "Fridge 2" 6.5C --at "today 7:30"
      lidclock temp Freezer -18C
    """
    from lidclock.app import temps

    with desk.session() as session:
        typed = temps.type_reading(
            session,
            place,
            temp_c,
            at=time_of(session, options["at"]),
            sensor=options["sensor"],
            anyway=options["anyway"],
        )
        echo_lines(_typed_lines(typed, session))


def _over_lines(place: Place, session: Session) -> list[str]:
    """What is over now in a place that was too warm."""
    from lidclock.app.lists import stocked
    from lidclock.cli.show import plural

    there = stocked(session, place=place.name).containers
    over = [one.container for one in there if one.status == "over"]
    named = ", ".join(f"{spaced(one.code)} {one.food}" for one in over[:_MOST_NAMED])
    more = f" and {len(over) - _MOST_NAMED} more" if len(over) > _MOST_NAMED else ""
    if not over:
        return []
    return [f"over now, {plural(len(over), 'container')} here: {named}{more}"]


def _typed_lines(typed: Typed, session: Session) -> list[str]:
    from datetime import timedelta

    from lidclock.app.temp_values import limit_words
    from lidclock.domain.moments import say_span
    from lidclock.domain.readings import say_about

    kitchen, limit = session.kitchen, typed.limit
    when = say_when(typed.reading.at, kitchen.zone)
    said = say_temp(typed.reading.temp_c, kitchen.units)
    again = "" if typed.is_new else " (already recorded)"
    lines = [f"{typed.place.name}: {said}, {when}{again}"]
    if limit is not None and typed.is_beyond:
        by = say_about(limit.limit_c, kitchen.units)
        asked = "" if limit.is_floor else "door? power? "
        lines.append(
            f"{limit.side} its limit of {by}: {asked}check again, and move food if it "
            "stays so"
        )
        lines += _over_lines(typed.place, session)
    if limit is not None:
        source = f" ({limit.source})" if limit.source else ""
        lines.append(
            f"limit: {limit_words(limit, kitchen.units)}; {limit.says}{source}"
        )
    if typed.is_first and typed.sensor.interval_s:
        every = say_span(timedelta(seconds=typed.sensor.interval_s))
        lines.append(
            f"a reading is now expected every {every}, and `lidclock alert` tells when "
            f"none comes; `lidclock temp sensor interval {typed.sensor.name!r} SPAN` "
            "changes that"
        )
    return lines


@click.command(context_settings=MINUS)
@click.argument("place")
@click.argument("temp_c", type=TEMP, metavar="[TEMP]", required=False)
@click.option(
    "--at", metavar="TIME", required=True, help="Which reading, to the minute."
)
@click.option("--strike", is_flag=True, help="Strike it, instead of putting it right.")
@click.option(
    "--sensor", metavar="NAME", help="Whose reading it was. [what people type]"
)
@click.option("--reason", default="", metavar="TEXT", help="What went wrong.")
@anyway_option
@pass_desk
def correct(desk: Desk, place: str, temp_c: float | None, **options: Any) -> None:
    """Put a mistyped reading right, or strike it; what was typed stays on record.

    \b
    Example:
      lidclock temp correct "Fridge 2" 6.5C --at "today 7:30"
    """
    from lidclock.app import temps

    if (temp_c is None) != options["strike"]:
        raise InputError("give the right temperature, or --strike to strike it")
    with desk.session() as session:
        at = time_of(session, options["at"])
        assert at is not None
        sensor, was = temps.correct_reading(
            session,
            place,
            at,
            temp_c,
            sensor=options["sensor"],
            reason=options["reason"],
            anyway=options["anyway"],
        )
        units, zone = session.kitchen.units, session.kitchen.zone
    now = "struck" if temp_c is None else f"now {say_temp(temp_c, units)}"
    when = say_when(was.at, zone)
    click.echo(f"{sensor.name}, {when}: {say_temp(was.temp_c, units)}, {now}")
