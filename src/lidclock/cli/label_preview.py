"""`label preview`: see a label before it is printed."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import code_words, echo_lines, gathered
from lidclock.domain.codes import spaced

_WIDEST = 110


@click.command()
@code_words()
@click.option("--stock", metavar="NAME", help="Label stock. [the kitchen's]")
@click.option("--dpi", type=int, help="The printer's dots to an inch. [the stock's]")
@click.option(
    "--columns",
    type=click.IntRange(20, 400),
    metavar="N",
    help="How wide to show it. [the terminal]",
)
@click.option("--no-verify", is_flag=True, help="Do not read the symbols back.")
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE.png",
    help="Write the picture of the first, dot by dot.",
)
@pass_desk
def preview(desk: Desk, words: tuple[str, ...], **options: Any) -> None:
    """Show what the lids of these containers would say now; nothing is recorded.

    Every symbol is read back as a scanner would, and what it says is told.

    \b
    Example:
      lidclock label preview 4F7 K2M0 --stock roll-50x25 --out lid.png
    """
    from lidclock.app import previews

    columns = options["columns"] or min(shutil.get_terminal_size().columns, _WIDEST)
    with desk.session() as session:
        looks = previews.look_at(
            session,
            gathered(words),
            stock=options["stock"],
            dpi=options["dpi"],
            check=not options["no_verify"],
        )
    for look in looks:
        size = f"{look.width_mm:g} x {look.height_mm:g} mm"
        click.echo(f"{spaced(look.code)} on {look.stock} ({size}, {look.dpi} dpi)")
        echo_lines(look.in_characters(columns))
        echo_lines([f"{kind} reads {text}" for kind, text in look.read])
        echo_lines([f"! {finding}" for finding in look.findings])
        if options["no_verify"]:
            click.echo("symbols not read back (--no-verify)")
        echo_lines([f"{part} shortened" for part in look.shortened])
    if options["out"] is not None:
        looks[0].write(options["out"])
        click.echo(f"picture: {options['out']}")
