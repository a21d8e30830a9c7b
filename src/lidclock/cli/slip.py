"""`slip`: what goes with food that is handed on."""

from __future__ import annotations

from pathlib import Path

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.list_lines import out_options, show_list
from lidclock.cli.options import echo_json, gathered, json_option


@click.command()
@click.argument("words", metavar="CODE...", nargs=-1, required=True)
@click.option("--by", default="", metavar="NAME", help="Who gives it.")
@click.option("--to", default="", metavar="NAME", help="Who takes it.")
@out_options("Write it as a page to sign.")
@json_option
@pass_desk
def slip(
    desk: Desk,
    words: tuple[str, ...],
    *,
    by: str,
    to: str,
    out: Path | None,
    paper: str | None,
    as_json: bool,
) -> None:
    """Write the slip for containers that are handed on.

    Name, making, last day, allergens, temperature and two names. Refused with the
    reason for what is past its limit, of unknown age, or was out of the cold. Nothing
    is recorded: the hand-over itself is, when a lid is scanned as given.

    \b
    Example:
      lidclock slip 4F7K2M0 --by Ana --to "night shelter" --out slip.pdf
    """
    from lidclock.app import slip as app

    codes = gathered(words)
    with desk.session() as session:
        if as_json:
            found = app.handed(session, codes)
            echo_json([app.handed_json(one, session) for one in found])
        else:
            show_list(app.slip(session, codes, by, to), session, out, paper)
