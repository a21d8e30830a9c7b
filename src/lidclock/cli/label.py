"""`label`: sheets of labels for lids, and the sheet of actions."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.filled import printed_lines
from lidclock.cli.options import echo_lines, gathered
from lidclock.cli.show import plural

if TYPE_CHECKING:
    from lidclock.app.session import Session


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
@click.option("--no-verify", is_flag=True, help="Do not read the symbols back.")
@click.option("--plain", is_flag=True, help="Print labels as text to copy onto tape.")
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE.pdf",
    help="Where to write the sheet.",
)
@pass_desk
def label(desk: Desk, words: tuple[str, ...], **options: Any) -> None:
    """Write label sheets as PDF: by code, by batch, all unlabelled, or the actions.

    \b
    Example:
      lidclock label --unlabelled --out labels.pdf
    """
    from lidclock.app import lids

    out: Path | None = options["out"]
    if out is None and not options["plain"]:
        raise click.UsageError("Missing option '--out'.")
    with desk.session() as session:
        if options["actions"]:
            _actions(session, out, options)
            return
        with session.write() as unit:
            views = lids.views_to_label(
                unit,
                gathered(words),
                batch=options["batch"],
                unlabelled=options["unlabelled"],
            )
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
            )
        echo_lines(printed_lines(printed, checked=check))


def _actions(session: Session, out: Path | None, options: dict[str, Any]) -> None:
    from lidclock.app import lids

    if options["plain"]:
        click.echo(lids.action_list(session), nl=False)
    if out is not None:
        actions = lids.print_actions(session, out, stock=options["stock"])
        click.echo(f"actions: {out} ({plural(len(actions), 'symbol')})")
