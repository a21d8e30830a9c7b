"""`calendar`: last days, thawing and meals as a file that calendars read."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_lines
from lidclock.cli.show import plural, say_when
from lidclock.domain.screen_text import shown

if TYPE_CHECKING:
    from lidclock.app.session import Session


_MAKE, _END, _SINCE = "make", "end", "since"


@click.command()
@click.argument("file", metavar="[FILE.ics|-]", required=False)
@click.option(
    "--feed",
    type=click.Choice([_MAKE, _END, _SINCE]),
    help="The address for programs that look at it over and over: make a new one (the "
    "old one ends), end it, or tell since when there is one.",
)
@pass_desk
def calendar(desk: Desk, file: str | None, feed: str | None) -> None:
    """Write last days, what thaws and meals as a calendar file.

    Any calendar reads it (RFC 5545). Containers of one food that end on one day are one
    entry, with an alarm at the card's first hour. An entry keeps its identity when its
    date changes, so reading a newer file moves it. - writes to standard output.

    A kitchen that is served has the same calendar at an address of its own, with a
    secret in it that is told once: --feed.

    \b
    Example:
      lidclock calendar kitchen.ics
      lidclock calendar --feed make
    """
    if (file is None) == (feed is None):
        raise click.UsageError("name a file, or say --feed make, end or since")
    with desk.session() as session:
        if feed is not None:
            echo_lines(_feed_lines(session, feed))
        elif file is not None:
            _write(session, file)


def _write(session: Session, file: str) -> None:
    from lidclock.app import calendar as calendars

    if file == "-":
        sys.stdout.buffer.write(calendars.calendar_of(session))
        return
    count = calendars.write_calendar(session, Path(file))
    click.echo(shown(f"wrote: {file}, {plural(count, 'entry', 'entries')}"))


def _feed_lines(session: Session, wish: str) -> list[str]:
    from lidclock.app import feed

    if wish == _MAKE:
        token = feed.make_feed(session)
        return [
            f"{feed.FEED_PATH}{token}",
            "told this once: put the address that `lidclock serve` prints before it; "
            "whoever knows it reads the calendar",
        ]
    if wish == _END:
        ended = feed.revoke_feed(session)
        return ["ended: it reads nothing more" if ended else "there is no address"]
    since = feed.feed_since(session)
    if since is None:
        return ["there is no address yet: `lidclock calendar --feed make`"]
    return [f"there is an address since {say_when(since, session.kitchen.zone)}"]
