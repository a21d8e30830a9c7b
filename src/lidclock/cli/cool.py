"""`cool start`, `read`, `finish`, `list`, `draw`: how a batch or a pan cools."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lidclock.app.cooling_facts import standing_json
from lidclock.cli.cool_list import list_lines
from lidclock.cli.cool_show import standing_lines
from lidclock.cli.cool_words import (
    Degrees,
    Depth,
    read_depth,
    target_and_temp,
    targets_in,
)
from lidclock.cli.desk import Desk, pass_desk, time_of
from lidclock.cli.options import (
    anyway_option,
    at_option,
    echo_json,
    echo_lines,
    json_option,
)
from lidclock.errors import InputError, RefusedError

if TYPE_CHECKING:
    from lidclock.app.cooling import Logged
    from lidclock.app.session import Session

# So that -1C reaches the reader of temperatures instead of being taken for an option.
_TEMPS = {"ignore_unknown_options": True}
DEGREES = Degrees()
targets_argument = click.argument(
    "words", metavar="BATCH|CODE...", nargs=-1, required=True
)
reading_argument = click.argument(
    "words", metavar="BATCH|CODE TEMP", nargs=-1, required=True
)
medium_option = click.option(
    "--medium",
    "medium_c",
    type=DEGREES,
    metavar="TEMP",
    help="What the air or water around it measures, e.g. 3C; not a dial's setting.",
)


@click.group()
def cool() -> None:
    """Cooling logs: cool a batch or a pan, measure it, and be warned in time."""


@cool.command("start", context_settings=_TEMPS)
@targets_argument
@click.option(
    "--depth", type=Depth(), metavar="DEPTH", help="How deep it lies, e.g. 50mm, 2in."
)
@click.option(
    "--temp", "temp_c", type=DEGREES, metavar="TEMP", help="How hot it is, e.g. 80C."
)
@click.option("--place", metavar="NAME", help="Where it cools; recorded as put there.")
@click.option(
    "--covered/--uncovered", "is_covered", default=None, help="Whether a lid is on it."
)
@medium_option
@at_option
@anyway_option
@pass_desk
def start(desk: Desk, words: tuple[str, ...], **options: Any) -> None:
    """Open a cooling log, and say which temperatures are due when.

    BATCH is the number of a batch: all its containers cool alike. CODE is one of them.

    \b
    Example:
      lidclock cool start 7 --depth 50mm --temp 80C --place Fridge --uncovered
      lidclock cool start 4F7 K2M0 9D3 T1PX --depth 2in
    """
    from lidclock.app import cooling

    depth_mm = options["depth"]
    with desk.session() as session:
        place = session.place(options["place"]) if options["place"] else None
        when = time_of(session, options["at"])
        names = targets_in(words)
        with session.write() as unit:
            targets = [cooling.target_of(unit, name) for name in names]
        if depth_mm is None:
            depth_mm = _asked_depth()
        setting = cooling.Setting(
            depth_mm, options["is_covered"], place, options["medium_c"]
        )
        with session.write() as unit:
            done = [
                cooling.start(
                    unit,
                    target,
                    setting,
                    temp_c=options["temp_c"],
                    at=when,
                    anyway=options["anyway"],
                )
                for target in targets
            ]
        for one in done:
            _show(one, session)


@cool.command("read", context_settings=_TEMPS)
@reading_argument
@medium_option
@at_option
@anyway_option
@pass_desk
def read(desk: Desk, words: tuple[str, ...], **options: Any) -> None:
    """Record what the middle of the food measures, and say how the stages stand.

    The forecast is an estimate that warns: a stage is met when it has been measured.

    \b
    Example:
      lidclock cool read 7 34C
      lidclock cool read 4F7 K2M0 93F --medium 3C --at 18:40
    """
    from lidclock.app import cooling

    name, temp_c = target_and_temp(words)
    if temp_c is None:
        raise InputError("say what the thermometer shows after the code: 34C or 93F")
    with desk.session() as session:
        when = time_of(session, options["at"])
        with session.write() as unit:
            done = cooling.read(
                unit,
                cooling.target_of(unit, name),
                temp_c,
                at=when,
                medium_c=options["medium_c"],
                anyway=options["anyway"],
            )
        _show(done, session)


@cool.command("finish", context_settings=_TEMPS)
@click.argument("words", metavar="BATCH|CODE [TEMP]", nargs=-1, required=True)
@click.option(
    "--reheat",
    "reheat_c",
    type=DEGREES,
    metavar="TEMP",
    help="It was heated again to TEMP: in time, cooling starts again, once.",
)
@click.option("--discard", metavar="REASON", help="It was thrown away, and why.")
@medium_option
@at_option
@anyway_option
@pass_desk
def finish(desk: Desk, words: tuple[str, ...], **options: Any) -> None:
    """Close the log with a cold reading, or reheat or discard what cooled too slowly.

    The reading is recorded in any case. The log closes once it is cold and no stage was
    missed; where one was missed it closes only by --discard, or goes on by --reheat.

    \b
    Example:
      lidclock cool finish 7 4.5C
      lidclock cool finish 4F7 K2M0 24C --reheat 75C
      lidclock cool finish 4F7 K2M0 --discard "too slow"
    """
    from lidclock.app import cooling

    name, temp_c = target_and_temp(words)
    with desk.session() as session:
        when = time_of(session, options["at"])
        with session.write() as unit:
            done = cooling.finish(
                unit,
                cooling.target_of(unit, name),
                temp_c,
                at=when,
                medium_c=options["medium_c"],
                reheat_c=options["reheat_c"],
                discard=options["discard"],
                anyway=options["anyway"],
            )
        _show(done, session)
    if done.refusal:
        raise RefusedError(done.refusal)


@cool.command("list")
@json_option
@pass_desk
def list_(desk: Desk, as_json: bool) -> None:
    """List the open logs: what is overdue first, then what is due next.

    \b
    Example:
      lidclock cool list
    """
    from lidclock.app.cooling_watch import open_standings

    with desk.session() as session, session.read() as unit:
        found = open_standings(unit)
        if as_json:
            echo_json([standing_json(one, session) for one in found])
        else:
            echo_lines(list_lines(found, session) or ["nothing is cooling"])


@cool.command()
@click.argument("words", metavar="BATCH|CODE", nargs=-1, required=True)
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    required=True,
    metavar="FILE",
    help="FILE.png, FILE.svg or FILE.pdf.",
)
@pass_desk
def draw(desk: Desk, words: tuple[str, ...], out: Path) -> None:
    """Draw a cooling curve with the stages it has to keep; BATCH or CODE.

    What is foreseen from the readings is hatched: a warning, never a pass.

    \b
    Example:
      lidclock cool draw 7 --out stew.png
    """
    from lidclock.app.cooling_figure import draw_cooling_log

    names = targets_in(words)
    if len(names) != 1:
        raise click.UsageError("one batch or one code at a time")
    with desk.session() as session:
        name = draw_cooling_log(session, names[0], out)
    click.echo(f"drawing: {out} ({name})")


def _show(done: Logged, session: Session) -> None:
    lines = [f"{done.target.name}"] if not done.standings else []
    for one in done.standings:
        lines += standing_lines(one, done.target, session)
    echo_lines([*lines, *done.remarks])


def _is_person() -> bool:
    return sys.stdin.isatty()


def _asked_depth() -> float | None:
    """Asked once, of a person; a script that leaves it out is told what that costs."""
    if not _is_person():
        click.echo(
            "depth: not known; with --depth (50mm, 2in) fewer early readings are lost"
        )
        return None
    answer: str = click.prompt(
        "How deep does it lie (50mm, 2in; Enter if not known)",
        default="",
        show_default=False,
    )
    return read_depth(answer) if answer.strip() else None
