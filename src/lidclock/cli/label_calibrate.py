"""`label calibrate`: a page of rulers, and the offset that it showed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_lines
from lidclock.errors import PrinterError

_HOW = (
    "print it at 100 %, lay it on a sheet of labels, hold both against the light;",
    "the line that lies on a label's left edge is --right, on its upper edge --down",
)


@click.command()
@click.option("--stock", metavar="NAME", help="Label stock. [the printer's, kitchen's]")
@click.option("--printer", metavar="NAME", help="The printer that this is about.")
@click.option(
    "--print", "prints", is_flag=True, help="Print the page of rulers on PRINTER."
)
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
    help="Write the page of rulers: FILE.pdf or FILE.png.",
)
@pass_desk
def calibrate(desk: Desk, **options: Any) -> None:
    """Print a page of rulers; then tell a printer how far its print lies off.

    What you read on the page is added to what the printer has already, so that a
    second page shows what is left. It holds for every label printed there.

    \b
    Example:
      lidclock label calibrate --stock a4-3x8 --out rulers.pdf
      lidclock label calibrate --printer Office --right 1.5 --down -0.5
    """
    from lidclock.app import calibration

    moves = options["right"] is not None or options["down"] is not None
    if not (moves or options["reset"] or options["prints"] or options["out"]):
        raise click.UsageError("Missing option '--out', '--print', or '--right'.")
    if (moves or options["reset"] or options["prints"]) and not options["printer"]:
        raise click.UsageError("Missing option '--printer'.")
    with desk.session() as session:
        if moves or options["reset"]:
            known = calibration.move_print(
                *(session, options["printer"]),
                (options["right"] or 0.0, options["down"] or 0.0),
                reset=options["reset"],
            )
            right, down = known.offset_mm
            click.echo(
                f"{known.name}: every label {right:+g} mm to the right, "
                f"{down:+g} mm down from now on"
            )
        name, stock = options["printer"], options["stock"]
        if options["out"] is not None:
            calibration.write_rulers(session, options["out"], stock, name)
            echo_lines([f"rulers: {options['out']}", *_HOW])
        if options["prints"]:
            report = calibration.print_rulers(session, name, stock, tell=click.echo)
            if not report.is_printed:
                raise PrinterError(report.message)
            echo_lines([f"rulers: {name}", *_HOW])
