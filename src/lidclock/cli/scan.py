"""`scan`: the loop at the fridge door, and one container at a time."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, coming_time_of, time_of
from lidclock.cli.filled import label_anew, print_option
from lidclock.cli.options import (
    anyway_option,
    at_option,
    echo_json,
    echo_lines,
    json_option,
    one_code,
)
from lidclock.cli.show import did_line, plural, reason_lines

if TYPE_CHECKING:
    from lidclock.app.moves import Done
    from lidclock.app.printing import Printer
    from lidclock.app.session import Session, Unit
    from lidclock.app.values import CodeRead

STOPPED = 130
PROMPT = "scan> "
HELP = (
    "FREEZE, THAW, OPEN, USE, DISCARD or TO=PLACE, then lids; "
    "LABEL prints what they need; UNDO takes back the last; DONE goes back to "
    "looking only; QUIT ends"
)
SET_UP = (
    "scan the set-up symbol now, once; it is on the sheet of actions "
    "(`lidclock label --actions --out FILE.pdf`)"
)
ACTIONS = ("freeze", "thaw", "to", "open", "use", "discard", "give")


@click.command()
@click.argument("words", metavar="[CODE]", nargs=-1)
@click.option("--freeze", is_flag=True, help="Into the freezer.")
@click.option("--thaw", is_flag=True, help="Out of the freezer, into the fridge.")
@click.option("--to", metavar="PLACE", help="Into a place.")
@click.option("--open", is_flag=True, help="Its lid was opened.")
@click.option("--use", is_flag=True, help="All of it was used.")
@click.option(
    "--discard",
    metavar="REASON",
    help="Thrown away, and why: past day, too much, mystery, cold, quality, accident; "
    "or in your words.",
)
@click.option("--give", metavar="WHO", help="Handed on, and to whom.")
@click.option("--temp", metavar="TEMP", help="With --to: what the place measured.")
@click.option("--ready", metavar="TIME", help="With --thaw: when it should be thawed.")
@click.option(
    "--image",
    "images",
    type=click.Path(path_type=Path, dir_okay=False),
    multiple=True,
    metavar="FILE",
    help="A photo with the lid's symbol, in place of CODE; may be repeated.",
)
@click.option(
    "--set-up", is_flag=True, help="Learn this keyboard's layout from one scan."
)
@click.option("--forget", is_flag=True, help="With --set-up: forget the layout.")
@print_option
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE.pdf",
    help="Write the new label, if it needs one, to a file.",
)
@at_option
@anyway_option
@json_option
@click.pass_context
def scan(ctx: click.Context, /, words: tuple[str, ...], **options: Any) -> None:
    """Read lids from a scanner or keyboard, line by line; or act on one CODE.

    Without CODE: scan an action symbol (or type FREEZE, THAW, OPEN, USE, DISCARD,
    TO=PLACE, LABEL, UNDO, DONE), then lids; HELP lists the words, QUIT ends. A CODE
    without an action is only looked at. With --set-up, scan the set-up symbol once:
    what a scanner types on a German, French or other keyboard is put right from then
    on. Frozen, thawed or opened, a lid needs a new label: --print or --out makes it.
    Past its last moment a container is discarded, or was used or frozen before: --at
    says when, and it is marked late.

    \b
    Example:
      lidclock scan 4F7 K2M0 --to Freezer --at 'today 18:30'
      lidclock scan 4F7 K2M0 --freeze --print
      lidclock scan --image lid.jpg --use
      lidclock scan 4F7 K2M0 --use --at 'Wed 18:00'
      lidclock scan 4F7 K2M0 --discard 'too much: two guests did not come'
    """
    desk = ctx.find_object(Desk)
    assert desk is not None
    chosen = [name for name in ACTIONS if options[name] not in (None, False)]
    if len(chosen) > 1:
        raise click.UsageError("one action at a time: --" + ", --".join(chosen))
    others = chosen or any(
        options[x] for x in ("at", "anyway", "temp", "as_json", "ready", "out")
    )
    others = others or options["printer"] is not None
    if options["set_up"] or options["forget"]:
        if words or others or options["images"] or not options["set_up"]:
            raise click.UsageError("--set-up stands alone, or with --forget")
        _set_up(desk, forget=options["forget"])
        return
    if words and options["images"]:
        raise click.UsageError("a CODE or photos, not both")
    if words or options["images"]:
        _once(desk, words, chosen[0] if chosen else "", options)
        return
    if others:
        raise click.UsageError("name the CODE that this is about")
    ctx.exit(_loop(desk))


def _once(
    desk: Desk, words: tuple[str, ...], action: str, options: dict[str, Any]
) -> None:
    if options["temp"] and action != "to":
        raise click.UsageError("--temp goes with --to")
    if options["ready"] and action != "thaw":
        raise click.UsageError("--ready goes with --thaw")
    if not action and (options["printer"] is not None or options["out"]):
        raise click.UsageError(
            "--print and --out go with an action; `lidclock label CODE` prints at "
            "any time"
        )
    if options["as_json"] and (action or len(options["images"]) > 1):
        raise click.UsageError("--json goes with looking only, at one container")
    if not action and (options["at"] or options["anyway"]):
        raise click.UsageError("--at and --anyway go with an action")
    with desk.session() as session:
        lids = _lids(session, words, options["images"])
        if not action:
            _look(session, lids, as_json=options["as_json"])
            return
        times = {
            "at": time_of(session, options["at"]),
            "ready": coming_time_of(session, options["ready"]),
        }
        printer = _printer(session, options["printer"])
        with session.write() as unit:
            done = [act(unit, lid.code, action, options | times) for lid in lids]
        echo_lines(
            [
                did_line(one.view, one.did, lid.number)
                for one, lid in zip(done, lids, strict=True)
            ]
        )
        label_anew(session, [one.view for one in done], printer, options["out"])


def _printer(session: Session, name: str | None) -> Printer | None:
    """The printer meant, if one is: found before anything is recorded."""
    if name is None:
        return None
    from lidclock.app.printing import printer_for

    return printer_for(session, name)


def _lids(
    session: Session, words: tuple[str, ...], images: tuple[Path, ...]
) -> list[CodeRead]:
    """The lid whose code was typed, or the one in each photo."""
    if images:
        from lidclock.app.photos import lids_in

        return lids_in(session, images)
    from lidclock.app.scanning import lid_of

    return [lid_of(session, one_code(words))]


def _look(session: Session, lids: list[CodeRead], *, as_json: bool) -> None:
    from lidclock.app import lists
    from lidclock.app.scanning import look_line
    from lidclock.cli.detail import view_json

    for lid in lids:
        view = lists.show(session, lid.code)
        if as_json:
            echo_json(view_json(view, session))
        else:
            echo_lines([look_line(view, lid.number), *reason_lines(view.verdict)])


def _set_up(desk: Desk, *, forget: bool) -> None:
    """Learn the layout from one line, or forget it."""
    from lidclock.app import keyboards

    with desk.session() as session:
        if forget:
            was_known = keyboards.forget_keyboard(session)
            end = "is forgotten" if was_known else "was not set up"
            click.echo(f"the keyboard of {session.device} {end}: scans stand as typed")
            return
        click.echo(SET_UP)
        keymap = keyboards.set_up_keyboard(session, sys.stdin.readline())
    moved = f"{plural(keymap.moved, 'symbol')} put right in every scan from now on"
    click.echo(
        f"this keyboard looks like {keymap.layout}; "
        f"{moved if keymap.moved else 'nothing to put right'}"
    )
    if keymap.lost:
        click.echo(f"{keymap.lost} does not arrive: type TO=PLACE by hand")


def act(unit: Unit, code: str, action: str, options: dict[str, Any]) -> Done:
    """Record the one action that was chosen; its times are instants already."""
    from lidclock.app import moves
    from lidclock.domain.readings import read_temp

    anyway, at = options["anyway"], options["at"]
    if action == "to":
        where = unit.session.place(options["to"])
        temp_c = read_temp(options["temp"]) if options["temp"] else None
        return moves.place(unit, code, where, at=at, temp_c=temp_c, anyway=anyway)
    if action == "discard":
        return moves.discard(unit, code, options["discard"], at=at, anyway=anyway)
    if action == "give":
        return moves.give(unit, code, options["give"], at=at, anyway=anyway)
    if action == "thaw":
        ready_at = options["ready"]
        return moves.thaw(unit, code, at=at, ready_at=ready_at, anyway=anyway)
    plain = {
        "freeze": moves.freeze,
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
    from lidclock.app.keyboards import keyboard_of
    from lidclock.app.scanning import Scanner

    scanner = Scanner(session, keyboard=keyboard_of(session))
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
