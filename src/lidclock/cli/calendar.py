"""`calendar`: last days, thawing and meals as a file that calendars read."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.show import plural
from lidclock.domain.screen_text import shown


@click.command()
@click.argument("file", metavar="FILE.ics|-")
@pass_desk
def calendar(desk: Desk, file: str) -> None:
    """Write last days, what thaws and meals as a calendar file.

    Any calendar reads it (RFC 5545). Containers of one food that end on one day are one
    entry, with an alarm at the card's first hour. An entry keeps its identity when its
    date changes, so reading a newer file moves it. - writes to standard output.

    \b
    Example:
      lidclock calendar kitchen.ics
    """
    from lidclock.app import calendar as calendars

    with desk.session() as session:
        if file == "-":
            sys.stdout.buffer.write(calendars.calendar_of(session))
            return
        count = calendars.write_calendar(session, Path(file))
    click.echo(shown(f"wrote: {file}, {plural(count, 'entry', 'entries')}"))
