"""`pull`: what to take out, what ends and what must go, for one morning."""

from __future__ import annotations

from pathlib import Path

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.list_lines import list_options, show_list
from lidclock.cli.options import echo_json, json_option
from lidclock.cli.when import day_of


@click.command()
@list_options
@json_option
@pass_desk
def pull(
    desk: Desk, on: str | None, out: Path | None, paper: str | None, as_json: bool
) -> None:
    """List what to take out, what is on its last day, over, or frozen, for one morning.

    A later day is judged at the card's first hour of that day. On paper there are boxes
    to tick and room for hour, temperature and initials. Nothing is recorded.

    \b
    Example:
      lidclock pull --on tomorrow --out pull.pdf
    """
    from lidclock.app.pull import pull_list
    from lidclock.app.pull_page import pull_json, pull_page

    with desk.session() as session:
        found = pull_list(session, day_of(on, session.kitchen.zone, session.now))
        if as_json:
            echo_json(pull_json(found, session))
        else:
            show_list(pull_page(found, session), session, out, paper)
