"""`temp import`: the CSV of any data logger, shown before it is recorded."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk
from lidclock.cli.options import echo_lines
from lidclock.cli.show import plural
from lidclock.errors import InputError, OddFactError

if TYPE_CHECKING:
    from lidclock.app.logger_file import LoggerFile, Progress
    from lidclock.app.session import Session
    from lidclock.app.temp_import import Open, Options, Plan
    from lidclock.app.temp_record import Outcome

# Some rows were left out: docs/exit-codes.md.
PARTLY = 4
_STDIN, _STDIN_NAME = "-", "standard input"
# How the CSV of `temp export` begins, and what its Parquet is called.
# Files that are read in less than a second need no bar.
_BAR_FROM_BYTES = 16 << 20
_SPOOL_PIECE = 1 << 20


@click.command("import")
@click.argument("files", metavar="FILE...", nargs=-1, required=True)
@click.option("--place", "places", metavar="PLACE", multiple=True, help="Where it was.")
@click.option(
    *("--sensor", "sensors"), metavar="NAME", multiple=True, help="Which sensor it is."
)
@click.option(
    *("--time", "times"),
    metavar="COLUMN",
    multiple=True,
    help="The column of times, by number or heading; two if date and hour are apart.",
)
@click.option(
    *("--temp", "temps"),
    metavar="COLUMN",
    multiple=True,
    help="The column of temperatures; once for each of several sensors.",
)
@click.option(
    "--unit",
    type=click.Choice("CF", case_sensitive=False),
    metavar="[C|F]",
    help="°C or °F.",
)
@click.option("--zone", metavar="ZONE", help="Zone of its times, or UTC, +02:00.")
@click.option(
    "--order", type=click.Choice(["dmy", "mdy", "ymd"]), help="Order of day and month."
)
@click.option(
    "--shift", metavar="SPAN", help="How far its clock was slow, or fast: +1h, -5min."
)
@click.option("--dry-run", is_flag=True, help="Show what would be recorded.")
@click.option("--yes", is_flag=True, help="Record without asking.")
@click.pass_context
def import_(ctx: click.Context, /, **given: Any) -> None:
    """Import readings from the CSV of any data logger; `-` reads standard input.

    Columns, unit and order of dates are found and shown before anything is recorded;
    what the file leaves open is asked. All of it is remembered for the next file of
    that logger. Importing a file again records nothing twice. --place and --sensor
    are given once for each sensor in the file, in its order.

    \b
    Example:
      lidclock temp import october.csv --place "Fridge 2"
    """
    from lidclock.app.temp_import import Options

    options = Options(
        sensors=given["sensors"],
        places=given["places"],
        times=given["times"],
        temps=given["temps"],
        unit=(given["unit"] or "").upper(),
        zone=given["zone"] or "",
        order=given["order"] or "",
        shift=None if given["shift"] is None else read_shift(given["shift"]),
    )
    is_partial = False
    desk = ctx.find_object(Desk)
    assert desk is not None
    with desk.session() as session:
        for name in given["files"]:
            _refuse_own_export(name)
            with _file(name) as file:
                is_partial |= _import(
                    session, file, options, dry=given["dry_run"], yes=given["yes"]
                )
    ctx.exit(PARTLY if is_partial else 0)


def _refuse_own_export(name: str) -> None:
    """InputError for a file that `temp export` wrote: it has a way of its own back."""
    from lidclock.app.temp_files import is_export

    if name != _STDIN and is_export(name):
        raise InputError(
            f"{name} is no logger's CSV: what `lidclock temp export` wrote comes in "
            f"with `lidclock temp load {name}`"
        )


def read_shift(text: str) -> timedelta:
    """A span with a sign: `+1h`, `-5min`, `0`; InputError says how to write it."""
    from lidclock.cli.when import read_span

    bare = text.strip().replace("−", "-")
    if bare.strip("+-") == "0":
        return timedelta(0)
    if bare[:1] not in ("+", "-"):
        raise InputError(
            f"--shift {text!r} has no sign; +1h if the logger's clock was an hour "
            "slow, -1h if it was fast"
        )
    span = read_span(bare[1:])
    return -span if bare[0] == "-" else span


@contextmanager
def _file(name: str) -> Iterator[LoggerFile]:
    """The file of that name; standard input is kept in a file, to be read twice."""
    from lidclock.app.logger_file import LoggerFile

    if name != _STDIN:
        yield LoggerFile.at(Path(name), name)
        return
    with tempfile.NamedTemporaryFile(prefix="lidclock-") as kept:
        while piece := sys.stdin.buffer.read(_SPOOL_PIECE):
            kept.write(piece)
        kept.flush()
        yield LoggerFile.at(Path(kept.name), _STDIN_NAME)


def _import(
    session: Session, file: LoggerFile, options: Options, *, dry: bool, yes: bool
) -> bool:
    """One file from look to record; True if some of its rows were left out."""
    from lidclock.app.temp_import_words import plan_lines
    from lidclock.app.temp_record import record

    is_asked = may_ask(file)
    plan = _looked(session, file, options, is_asked=is_asked)
    echo_lines([f"{file.name}:", *plan_lines(session, plan)])
    if not dry:
        _settle(plan, is_asked=is_asked, yes=yes)
    with _progress(file, "recording") as progress:
        outcome = record(session, plan, progress, dry=dry)
    echo_lines(_outcome_lines(plan, outcome, dry=dry))
    left_out = plan.refused + outcome.clashes
    if left_out:
        rows = plural(left_out, "value")
        click.echo(f"{file.name}: {rows} left out, named above", err=True)
    return bool(left_out)


def may_ask(file: LoggerFile) -> bool:
    """Whether somebody at a terminal can answer."""
    return file.name != _STDIN_NAME and sys.stdin.isatty()


def _looked(
    session: Session, file: LoggerFile, options: Options, *, is_asked: bool
) -> Plan:
    """The plan; what the file leaves open is asked, or refused by its option."""
    from lidclock.app.temp_import import Open, look

    while True:
        with _progress(file, "reading") as progress:
            found = look(session, file, options, progress)
        if not isinstance(found, Open):
            return found
        if not is_asked:
            raise InputError(_refusal(found))
        options = _asked(found, options)


def _refusal(found: Open) -> str:
    said = [
        f"{one.text}; give {one.option} {' or '.join(one.answers)}"
        for one in found.questions
    ]
    return f"{found.file.name}: {'. '.join(said)}"


def _asked(found: Open, options: Options) -> Options:
    for one in found.questions:
        answer: str = click.prompt(
            f"{found.file.name}: {one.text}", type=click.Choice(one.answers)
        )
        if one.option == "--unit":
            options = replace(options, unit=answer)
        else:
            options = replace(options, order=answer)
    return options


def _settle(plan: Plan, *, is_asked: bool, yes: bool) -> None:
    """Go on if nothing is doubtful, and the source known or approved; else ask.

    Where nobody can be asked, the error says what to do instead.
    """
    if plan.doubts and not is_asked:
        unit = plan.layout.temps[0].unit
        other = "F" if unit == "C" else "C"
        raise OddFactError(
            f"{plan.file.name}: {plan.doubts[0]}; "
            f"give --unit {unit} if it is so, or --unit {other}"
        )
    has_new = any(one.sensor_id is None for one in plan.targets)
    if (yes or (plan.is_known and not has_new)) and not plan.doubts:
        return
    if not is_asked:
        raise InputError(
            f"{plan.file.name} is of a kind that was not imported before, or of a new "
            "sensor: look at the lines above, then repeat with --yes"
        )
    click.confirm(f"record these {plural(plan.count, 'reading')}?", abort=True)


@contextmanager
def _progress(file: LoggerFile, what: str) -> Iterator[Progress]:
    """A bar on standard error while a large file is read at a terminal."""
    from lidclock.app.logger_file import silent

    if file.size < _BAR_FROM_BYTES or not sys.stderr.isatty():
        yield silent
        return
    with click.progressbar(length=file.size, label=what, file=sys.stderr) as bar:
        yield bar.update


def _outcome_lines(plan: Plan, outcome: Outcome, *, dry: bool) -> list[str]:
    head = "would be recorded: " if dry else ""
    lines = [f"{head}{outcome.new:,} new, {outcome.known:,} known already"]
    if outcome.clashes:
        lines.append(
            f"{plural(outcome.clashes, 'reading')} left out, since the recorded one "
            f"stays: {outcome.first_clash}"
        )
    lines += [
        f"{one.sensor} is in no place at that time: give --place, so that its "
        "readings count for what is there"
        for one in plan.targets
        if not one.place
    ]
    return lines
