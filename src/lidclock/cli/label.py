"""`label`: sheets of labels for lids, and the sheet of actions."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.filled import (
    print_now,
    print_option,
    printed_lines,
    rest_lines,
)
from lidclock.cli.options import GAP_AFTER, OFFSET, echo_lines, gathered
from lidclock.cli.show import plural
from lidclock.domain.codes import is_code, normalise
from lidclock.errors import PrinterError

if TYPE_CHECKING:
    from lidclock.app.printing import Printer
    from lidclock.app.session import Session, Unit, View


@click.command()
@click.argument("words", metavar="[CODE]...", nargs=-1)
@click.option("--batch", type=int, metavar="N", help="All containers of batch N.")
@click.option("--unlabelled", is_flag=True, help="All that have no label yet.")
@click.option("--actions", is_flag=True, help="The sheet of actions to scan instead.")
@click.option("--stock", metavar="NAME", help="Label stock. [the kitchen's]")
@click.option(
    "--start",
    type=click.IntRange(1),
    default=1,
    show_default=True,
    metavar="N",
    help="The first free label on the sheet.",
)
@click.option(
    "--offset",
    type=OFFSET,
    metavar="MM,MM",
    help="Move the print right and down, e.g. 1.5,-0.5; with --print, on top of what "
    "the printer was told by `label calibrate`.",
)
@click.option("--no-verify", is_flag=True, help="Do not read the symbols back.")
@click.option("--plain", is_flag=True, help="Print labels as text to copy onto tape.")
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE.pdf",
    help="Where to write the sheet.",
)
@print_option
@pass_desk
def label(desk: Desk, words: tuple[str, ...], **options: Any) -> None:
    """Write label sheets as PDF: by code, by batch, all unlabelled, or the actions.

    With --print they go to a printer at once, and the lids count as labelled only when
    it has reported them out.

    \b
    Example:
      lidclock label --unlabelled --out labels.pdf
      lidclock label --batch 3 --print
    """
    from lidclock.app import lids

    out: Path | None = options["out"]
    if options["plain"] and options["printer"] is not None:
        raise click.UsageError("--plain does not go with --print")
    if out is None and not options["plain"] and options["printer"] is None:
        raise click.UsageError("Missing option '--out' or '--print'.")
    with desk.session() as session:
        if options["printer"] is not None:
            _print(session, words, options)
            return
        if options["actions"]:
            _actions(session, out, options)
            return
        with session.write() as unit:
            views = _views(unit, words, options)
            if options["plain"]:
                click.echo(lids.tape_list(unit, views), nl=False)
            if out is None:
                return
            check = not options["no_verify"]
            printed = lids.print_labels(
                unit,
                views,
                out,
                stock=options["stock"],
                start=options["start"],
                check=check,
                offset_mm=options["offset"] or (0.0, 0.0),
            )
        echo_lines(printed_lines(printed, checked=check))
        echo_lines(rest_lines(printed.next_free))


def _print(session: Session, words: tuple[str, ...], options: dict[str, Any]) -> None:
    """Print at once; PrinterError, with nothing recorded, where that fails."""
    from lidclock.app import lids, printing

    words, name = _sorted_out(session, words, options["printer"])
    printer = printing.printer_for(session, name, options["stock"])
    stock, check = options["stock"] or printer.stock, not options["no_verify"]
    offset = printing.offset_on(printer, options["offset"])
    if options["actions"]:
        _print_actions(session, printer, stock, options["out"], offset)
        return
    with session.read() as unit:
        drawn = lids.draw_labels(
            unit,
            _views(unit, words, options),
            stock=stock,
            start=options["start"],
            check=check,
            offset_mm=offset,
        )
    report = print_now(session, drawn, printer, checked=check, copy=options["out"])
    if not report.is_printed:
        raise PrinterError(report.message)
    echo_lines(rest_lines(drawn.next_free))


def _views(unit: Unit, words: tuple[str, ...], options: dict[str, Any]) -> list[View]:
    """The containers that are meant."""
    from lidclock.app.lids import views_to_label

    return views_to_label(
        unit,
        gathered(words),
        batch=options["batch"],
        unlabelled=options["unlabelled"],
    )


def _sorted_out(
    session: Session, words: tuple[str, ...], name: str
) -> tuple[tuple[str, ...], str]:
    """The codes and the printer's name: a code may follow --print and is no name."""
    from lidclock.app import printing

    known = [one.name.casefold() for one in printing.known_printers(session)]
    is_half = len(name) == GAP_AFTER and words
    code = normalise(name + words[0] if is_half else name)
    if name.strip().casefold() in known or not is_code(code):
        return words, name
    return (name, *words), ""


def _print_actions(
    session: Session,
    printer: Printer,
    stock: str,
    out: Path | None,
    offset_mm: tuple[float, float],
) -> None:
    from lidclock.app import lids, printing

    actions, pdf = lids.draw_action_sheet(session, stock, offset_mm=offset_mm)
    report = printing.print_pdf(session, pdf, stock, printer, tell=click.echo)
    if not report.is_printed:
        raise PrinterError(report.message)
    click.echo(f"actions: {printer.name} ({plural(len(actions), 'symbol')})")
    if out is not None:
        lids.print_actions(session, out, stock=stock, offset_mm=offset_mm)
        click.echo(f"copy: {out}")


def _actions(session: Session, out: Path | None, options: dict[str, Any]) -> None:
    from lidclock.app import lids

    if options["plain"]:
        click.echo(lids.action_list(session), nl=False)
    if out is not None:
        actions = lids.print_actions(
            *(session, out),
            stock=options["stock"],
            offset_mm=options["offset"] or (0.0, 0.0),
        )
        click.echo(f"actions: {out} ({plural(len(actions), 'symbol')})")
