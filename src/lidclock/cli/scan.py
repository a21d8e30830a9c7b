"""`scan`: the loop at the fridge door, and one container at a time."""

from __future__ import annotations

import sys
from datetime import datetime
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, time_of
from lidclock.cli.options import (
    anyway_option,
    at_option,
    echo_json,
    echo_lines,
    json_option,
    one_code,
)
from lidclock.cli.show import did_line, reason_lines

if TYPE_CHECKING:
    from lidclock.app.moves import Done
    from lidclock.app.session import Session, Unit

STOPPED = 130
PROMPT = "scan> "
HELP = (
    "FREEZE, THAW, OPEN, USE, DISCARD or TO=PLACE, then lids; "
    "UNDO takes back the last; DONE goes back to looking only; QUIT ends"
)
ACTIONS = ("freeze", "thaw", "to", "open", "use", "discard", "give")


@click.command()
@click.argument("words", metavar="[CODE]", nargs=-1)
@click.option("--freeze", is_flag=True, help="Into the freezer.")
@click.option("--thaw", is_flag=True, help="Out of the freezer, into the fridge.")
@click.option("--to", metavar="PLACE", help="Into a place.")
@click.option("--open", is_flag=True, help="Its lid was opened.")
@click.option("--use", is_flag=True, help="All of it was used.")
@click.option("--discard", metavar="REASON", help="Thrown away, and why.")
@click.option("--give", metavar="WHO", help="Handed on, and to whom.")
@click.option("--temp", metavar="TEMP", help="With --to: what the place measured.")
@at_option
@anyway_option
@json_option
@click.pass_context
def scan(ctx: click.Context, /, words: tuple[str, ...], **options: Any) -> None:
    """Read lids from a scanner or keyboard, line by line; or act on one CODE.

    Without CODE: scan an action symbol (or type FREEZE, THAW, OPEN, USE, DISCARD,
    TO=PLACE, UNDO, DONE), then lids; HELP lists the words, QUIT ends. A CODE without
    an action is only looked at.

    \b
    Example:
      lidclock scan 4F7 K2M0 --to Freezer --at 'today 18:30'
    """
    desk = ctx.find_object(Desk)
    assert desk is not None
    chosen = [name for name in ACTIONS if options[name] not in (None, False)]
    if len(chosen) > 1:
        raise click.UsageError("one action at a time: --" + ", --".join(chosen))
    if words:
        _once(desk, one_code(words), chosen[0] if chosen else "", options)
        return
    if chosen or any(options[name] for name in ("at", "anyway", "temp", "as_json")):
        raise click.UsageError("name the CODE that this is about")
    ctx.exit(_loop(desk))


def _once(desk: Desk, code: str, action: str, options: dict[str, Any]) -> None:
    from lidclock.app import lists
    from lidclock.app.scanning import look_line
    from lidclock.cli.detail import view_json

    if options["temp"] and action != "to":
        raise click.UsageError("--temp goes with --to")
    if action and options["as_json"]:
        raise click.UsageError("--json goes with looking only")
    with desk.session() as session:
        if not action:
            if options["at"] or options["anyway"]:
                raise click.UsageError("--at and --anyway go with an action")
            view = lists.show(session, code)
            if options["as_json"]:
                echo_json(view_json(view, session))
            else:
                echo_lines([look_line(view), *reason_lines(view.verdict)])
            return
        at = time_of(session, options["at"])
        with session.write() as unit:
            done = act(unit, code, action, options, at)
        click.echo(did_line(done.view, done.did))


def act(
    unit: Unit, code: str, action: str, options: dict[str, Any], at: datetime | None
) -> Done:
    """Record the one action that was chosen."""
    from lidclock.app import moves
    from lidclock.cli.when import read_temp

    anyway = options["anyway"]
    if action == "to":
        where = unit.session.place(options["to"])
        temp_c = read_temp(options["temp"]) if options["temp"] else None
        return moves.place(unit, code, where, at=at, temp_c=temp_c, anyway=anyway)
    if action == "discard":
        return moves.discard(unit, code, options["discard"], at=at, anyway=anyway)
    if action == "give":
        return moves.give(unit, code, options["give"], at=at, anyway=anyway)
    plain = {
        "freeze": moves.freeze,
        "thaw": moves.thaw,
        "open": moves.open_container,
        "use": moves.use,
    }
    return plain[action](unit, code, at=at, anyway=anyway)


def _loop(desk: Desk) -> int:
    """Answer each line at once until the input ends; Ctrl-C ends it as well."""
    with desk.session() as session:
        try:
            _answer_lines(desk, session)
        except KeyboardInterrupt:
            click.echo("stopped; everything scanned so far is recorded", err=True)
            return STOPPED
    return 0


def _answer_lines(desk: Desk, session: Session) -> None:
    from lidclock.app.scanning import Scanner

    scanner = Scanner(session)
    is_person = sys.stdin.isatty()
    if is_person:
        click.echo("scan an action, then lids; HELP lists the words, Ctrl-D ends")
    while True:
        if is_person:
            click.echo(PROMPT, nl=False)
        line = sys.stdin.readline()
        if not line:
            if is_person:
                click.echo()
            return
        word = line.strip().lower()
        if word in ("quit", "exit"):
            return
        if word == "help":
            click.echo(HELP)
        elif word:
            session.now = desk.now(session.kitchen.zone)
            click.echo(scanner.hear(line))
