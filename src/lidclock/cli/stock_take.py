"""`stock-take`: a place recounted by scanning what is in it."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.errors import InputError

if TYPE_CHECKING:
    from lidclock.app.session import Session
    from lidclock.app.stock_take import Answer, Report, StockTake
    from lidclock.domain.snapshots import Snapshot

STOPPED = 130
PROMPT = "lid> "
STDIN = "-"
HELP = (
    "scan every lid that is in this place, in any order; DONE ends, QUIT stops and "
    "records nothing"
)
# A lid whose code begins with one of these letters is never taken for an answer.
_ANSWERS = {
    "e": "eaten",
    "eaten": "eaten",
    "l": "lost",
    "lost": "lost",
    "d": "discarded",
    "discarded": "discarded",
    "s": "still there",
}


class _QuitError(Exception):
    """Somebody stopped in the middle."""


@click.command("stock-take")
@click.argument("place", metavar="PLACE")
@click.argument("source", metavar="[-]", required=False, type=click.Choice([STDIN]))
@click.option(
    "--codes",
    type=click.Path(path_type=Path, dir_okay=False, allow_dash=True),
    metavar="FILE",
    help="Read the lids from a file, a line each, in place of the scanner.",
)
@click.option(
    "--image",
    "images",
    type=click.Path(path_type=Path, dir_okay=False),
    multiple=True,
    metavar="FILE",
    help="Read every symbol in a photo, in place of the scanner; may be repeated.",
)
@click.option(
    "--missing",
    "missing",
    type=click.Choice(["lost", "leave"]),
    help="All that was not seen is recorded as missing, or left as it is. [leave; at a "
    "terminal each is asked about]",
)
@click.option(
    "--move/--no-move",
    "moves",
    default=None,
    help="Record lids from elsewhere as placed here now, or not. [not; at a terminal "
    "it is asked once]",
)
@json_option
@click.pass_context
def stock_take(ctx: click.Context, /, place: str, **options: Any) -> None:
    """Recount PLACE by scanning: what is missing, not known, or from elsewhere.

    Scan every lid, in any order; each is answered at once, and a second scan does no
    harm. DONE, or the end of the input, ends it: what was not seen is listed, and at a
    terminal you say of each whether it was eaten, lost, discarded or is still there.
    Nothing is recorded of a container unless you say so, only that PLACE was counted.
    One `lidclock undo` takes back all of it. QUIT or Ctrl-C stops and records nothing.

    \b
    Example:
      lidclock stock-take Freezer
      lidclock stock-take Freezer --codes scanned.txt --missing lost
      lidclock stock-take Freezer --image shelf-1.jpg --image shelf-2.jpg
    """
    desk = ctx.find_object(Desk)
    assert desk is not None
    if options["codes"] and options["images"]:
        raise click.UsageError("--codes or --image, not both")
    if options["source"] and (options["codes"] or options["images"]):
        raise click.UsageError("- reads the scanner: leave out --codes and --image")
    with desk.session() as session:
        try:
            shown = _count(desk, session, place, options)
        except (KeyboardInterrupt, _QuitError):
            click.echo("stopped: nothing of this stock-take is recorded", err=True)
            ctx.exit(STOPPED)
        shown()


def _count(
    desk: Desk, session: Session, place: str, options: dict[str, Any]
) -> Callable[[], None]:
    """The whole stock-take; what is left to show once it is recorded."""
    from lidclock.app.stock_take import StockTake
    from lidclock.cli.stock_take_page import page_json, recorded_lines, report_lines

    take = StockTake.of(session, place)
    _hear_all(desk, take, options)
    session.now = desk.now(session.kitchen.zone)
    report = take.report()
    is_asked = _is_person() and take.has_read and not options["as_json"]
    if not options["as_json"]:
        echo_lines(report_lines(report, session))
    answers, moves = _said(take, report, options, is_asked=is_asked)
    session.now = desk.now(session.kitchen.zone)
    done = take.record(answers, moves=moves)
    if options["as_json"]:
        return lambda: echo_json(page_json(report, done, session))
    return lambda: echo_lines(recorded_lines(report, done, is_asked=is_asked))


def _hear_all(desk: Desk, take: StockTake, options: dict[str, Any]) -> None:
    """Answer each line as it comes; with --json beside the document, not in it."""
    is_aside = options["as_json"]
    if options["images"]:
        from lidclock.app.photos import symbols_in

        for photo in options["images"]:
            for text in symbols_in(photo):
                click.echo(take.hear_symbol(text), err=is_aside)
        return
    codes = options["codes"]
    is_typed = codes is None or str(codes) == STDIN
    for line in _typed_lines(take) if is_typed else _file_lines(codes):
        word = line.strip().lower()
        if word in ("quit", "exit"):
            raise _QuitError
        if word == "help":
            click.echo(HELP, err=is_aside)
        elif word:
            take.session.now = desk.now(take.session.kitchen.zone)
            answer = take.hear(line)
            if take.is_over:
                return
            click.echo(answer, err=is_aside)


def _typed_lines(take: StockTake) -> Iterator[str]:
    is_person = _is_person()
    _read_anything()
    if is_person:
        holds = f"{take.place.name} should hold {take.expected_count}"
        click.echo(f"{holds}: scan what is there; DONE or Ctrl-D ends, HELP helps")
    while True:
        if is_person:
            click.echo(PROMPT, nl=False)
        line = sys.stdin.readline()
        if not line:
            if is_person:
                click.echo()
            return
        yield line


def _file_lines(path: Path) -> Iterator[str]:
    try:
        with path.open(encoding="utf-8-sig", errors="replace") as file:
            yield from file
    except OSError as error:
        raise InputError(f"cannot read {path}: {error.strerror}") from error


def _read_anything() -> None:
    """Bytes that are no text are lines that nobody knows, and no reason to end."""
    reconfigure = getattr(sys.stdin, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(errors="replace")


def _is_person() -> bool:
    return sys.stdin.isatty()


def _said(
    take: StockTake, report: Report, options: dict[str, Any], *, is_asked: bool
) -> tuple[dict[str, Answer], bool]:
    """What became of what was not seen, and whether lids are placed here."""
    from lidclock.app.stock_take import LOST, Answer

    missing, moves = report.found.missing, options["moves"]
    answers: dict[str, Answer] = {}
    if options["missing"] == "lost":
        answers = {one.code: Answer(LOST) for one in missing}
    elif options["missing"] is None and is_asked:
        answers = _asked(take, missing)
    if moves is None and is_asked and report.movable:
        moves = _asked_moves(report)
    return answers, bool(moves)


def _asked(take: StockTake, missing: tuple[Snapshot, ...]) -> dict[str, Answer]:
    """What became of each, one letter a time; DONE or Ctrl-D leaves the rest."""
    from lidclock.app.stock_take import STILL_THERE, Answer
    from lidclock.app.stock_take_words import missing_name

    answers: dict[str, Answer] = {}
    if missing:
        click.echo(
            "what became of it? e eaten, l lost, d discarded (d WHY), s still there, "
            "Enter leaves it"
        )
    waiting = list(missing)
    while waiting:
        one = waiting[0]
        click.echo(f"{missing_name(one)}> ", nl=False)
        line = sys.stdin.readline()
        if not line or line.strip().lower() == "done":
            click.echo()
            break
        what, _, rest = line.strip().partition(" ")
        if what.lower() in ("quit", "exit"):
            raise _QuitError
        if what.lower() in _ANSWERS and (not rest or what.lower().startswith("d")):
            answers[one.code] = Answer(_ANSWERS[what.lower()], rest)
        elif take.names(line, one.code) or line.strip().lower() == STILL_THERE:
            answers[one.code] = Answer(STILL_THERE)
        elif what:
            click.echo("e, l, d, s or Enter; or scan this lid if it is there after all")
            continue
        waiting.pop(0)
    return answers


def _asked_moves(report: Report) -> bool:
    from lidclock.cli.show import plural

    lids = plural(len(report.movable), "lid")
    click.echo(
        f"record the {lids} from elsewhere as in {report.place.name} now? [y/N] ",
        nl=False,
    )
    answer = sys.stdin.readline().strip().lower()
    if answer in ("quit", "exit"):
        raise _QuitError
    return answer in ("y", "yes")
