"""`prep-list`: what to make on a day for the meals to come."""

from __future__ import annotations

from pathlib import Path

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.list_lines import list_options, show_list
from lidclock.cli.options import echo_json, json_option
from lidclock.cli.when import day_of


@click.command("prep-list")
@list_options
@json_option
@pass_desk
def prep_list(
    desk: Desk, on: str | None, out: Path | None, paper: str | None, as_json: bool
) -> None:
    """List what to make for the meals of the next days, less what is there.

    A kept recipe with the name of the food is scaled to what is missing. On paper there
    are boxes to tick and room to write. Nothing is recorded.

    \b
    Example:
      lidclock prep-list --out prep.pdf
    """
    from lidclock.app import prep_list as lists
    from lidclock.app.prep_page import prep_json, prep_page

    with desk.session() as session:
        day = day_of(on, session.kitchen.zone, session.now)
        found = lists.prep_list(session, day)
        if as_json:
            echo_json(prep_json(found, session))
        else:
            show_list(prep_page(found, session), session, out, paper)
