"""`report waste`: made, eaten, given, wasted and still there, as a month's card."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_json, echo_lines, json_option

if TYPE_CHECKING:
    from datetime import date

    from lidclock.app.session import Session


@click.command()
@click.option("--from", "since", metavar="DAY", help="The first day. [27 days before]")
@click.option("--until", metavar="DAY", help="The last day, included. [today]")
@click.option("--food", metavar="NAME", help="One food only.")
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="Draw what was wasted week by week: FILE.png, FILE.svg or FILE.pdf.",
)
@json_option
@pass_desk
def waste(
    desk: Desk,
    since: str | None,
    until: str | None,
    food: str | None,
    out: Path | None,
    *,
    as_json: bool,
) -> None:
    """Say what became of what was made: eaten, handed on, wasted, still there.

    In grams, portions and money, by food and in total, with the causes of waste. What
    was there, made and opened adds up to what left and what is there. What nobody
    weighed is counted in containers; money that nobody knows is said to be unknown.

    \b
    Example:
      lidclock report waste
      lidclock report waste --from "1 Oct" --until "31 Oct" --out october.png
      lidclock report waste --food "bun dough" --json
    """
    from lidclock.app.waste import waste_report
    from lidclock.app.waste_json import report_json
    from lidclock.cli.report_waste_words import report_lines

    with desk.session() as session:
        found = waste_report(
            session,
            since=_day(session, since),
            until=_day(session, until),
            food=food,
            tell=_tell,
        )
        drawn = []
        if out is not None:
            from lidclock.app.waste_figure import draw_waste

            draw_waste(session, found, out)
            drawn = ["", f"drawing: {out}"]
        if as_json:
            echo_json(report_json(found, session))
        else:
            echo_lines([*report_lines(found, session), *drawn])


def _day(session: Session, text: str | None) -> date | None:
    if text is None:
        return None
    from lidclock.cli.when import read_past_day

    return read_past_day(text, session.kitchen.zone, session.now)


def _tell(what: str) -> None:
    """One line for whoever waits at a terminal."""
    if sys.stderr.isatty():
        click.echo(f"reading {what} ...", err=True)
