"""`label calibrate`: pages of rulers, and the offset that they showed."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_lines
from lidclock.cli.show import offset_words
from lidclock.errors import PrinterError

if TYPE_CHECKING:
    from lidclock.app.printing import Printer
    from lidclock.app.session import Session


@click.command()
@click.option("--stock", metavar="NAME", help="Label stock. [the printer's, kitchen's]")
@click.option("--printer", metavar="NAME", help="The printer that this is about.")
@click.option(
    "--right", type=float, metavar="MM", help="Move the print right (left: negative)."
)
@click.option(
    "--down", type=float, metavar="MM", help="Move the print down (up: negative)."
)
@click.option("--reset", is_flag=True, help="Forget what was measured before.")
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="Write the rulers: FILE.pdf, or FILE.png of the first page.",
)
@click.option(
    "--print",
    "prints_on",
    is_flag=False,
    flag_value="",
    metavar="[PRINTER]",
    help="Print the rulers, on PRINTER or the one that --printer names.",
)
@pass_desk
def calibrate(desk: Desk, **options: Any) -> None:
    """Print a page of rulers; then tell a printer how far its print lies off.

    What you read on the page is added to what the printer has already, so that a
    second page shows what is left; --reset begins from none. It holds for every page
    of labels that is printed there.

    \b
    Example:
      lidclock label calibrate --stock a4-3x8 --out rulers.pdf
      lidclock label calibrate --printer Office --right 1.5 --down -0.5
      lidclock label calibrate --print Office
    """
    name = options["prints_on"] or options["printer"]
    is_told = options["reset"] or not (options["right"] is options["down"] is None)
    if (is_told or options["prints_on"] is not None) and not name:
        raise click.UsageError("Missing option '--printer': whose print is it?")
    if not name and options["out"] is None:
        raise click.UsageError("Missing option '--out', '--print' or '--printer'.")
    with desk.session() as session:
        known = _told(session, name, options, is_told=is_told) if name else None
        _rulers(session, known, options)


def _told(
    session: Session, name: str, options: dict[str, Any], *, is_told: bool
) -> Printer:
    """The printer, with what was measured added; says where it prints."""
    from lidclock.app import calibration, printing

    if is_told:
        by_mm = options["right"] or 0.0, options["down"] or 0.0
        known = calibration.move_print(session, name, by_mm, reset=options["reset"])
    else:
        known = printing.find_printer(session, name)
    words = offset_words(known.offset_mm)
    if not words:
        click.echo(f"{known.name}: prints where it takes the paper")
    else:
        click.echo(f"{known.name}: prints {words}{' from now on' if is_told else ''}")
    return known


def _rulers(session: Session, known: Printer | None, options: dict[str, Any]) -> None:
    """Write or print the rulers, if that was asked for, and say how to read them."""
    from lidclock.app import calibration

    out: Path | None = options["out"]
    prints = options["prints_on"] is not None
    if out is None and not prints:
        return
    page = calibration.rulers(session, options["stock"], known)
    if out is not None:
        calibration.write_rulers(page, out)
        click.echo(f"rulers: {out}")
    if prints and known is not None:
        report = calibration.print_rulers(session, page, known, tell=click.echo)
        if not report.is_printed:
            raise PrinterError(report.message)
        click.echo(f"rulers: {known.name}")
    echo_lines([f"  {line}" for line in page.words])
