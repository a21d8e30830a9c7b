"""`label preview`: see a label before it is printed."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import code_words, echo_lines, gathered
from lidclock.domain.codes import spaced

if TYPE_CHECKING:
    from lidclock.app.previews import Look

_COLUMNS = 100


@click.command()
@code_words()
@click.option("--stock", metavar="NAME", help="Label stock. [the kitchen's]")
@click.option(
    "--dpi", type=int, metavar="N", help="The printer's dots to an inch. [the stock's]"
)
@click.option(
    "--columns",
    type=click.IntRange(20, 400),
    metavar="N",
    help=f"How wide to show it. [{_COLUMNS}, or the terminal]",
)
@click.option("--no-verify", is_flag=True, help="Do not read the symbols back.")
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE.png",
    help="Write the picture, dot by dot; of several, each with its code in the name.",
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

    columns = options["columns"] or min(_COLUMNS, shutil.get_terminal_size().columns)
    with desk.session() as session:
        looks = previews.look_at(
            session,
            gathered(words),
            stock=options["stock"],
            dpi=options["dpi"],
            check=not options["no_verify"],
        )
    for look in looks:
        echo_lines(_lines(look, columns, checked=not options["no_verify"]))
        if options["out"] is not None:
            path = previews.path_for(options["out"], look, len(looks))
            look.write(path)
            click.echo(f"picture: {path}")


def _lines(look: Look, columns: int, *, checked: bool) -> list[str]:
    """The label, and what came of reading it back."""
    stock = look.stock
    size = f"{stock.label_width_mm:g} x {stock.label_height_mm:g} mm"
    lines = [
        f"{spaced(look.code)} on {stock.name} ({size}, {look.dpi} dpi)",
        *look.in_characters(columns),
        *(f"{kind} {text} reads" for kind, text in look.read),
        *(f"! {finding}" for finding in look.findings),
        *(f"{part} shortened" for part in look.shortened),
    ]
    return lines if checked else [*lines, "symbols not read back (--no-verify)"]
