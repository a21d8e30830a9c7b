"""`trace`: back to what went in, forward to where it went."""

from __future__ import annotations

from pathlib import Path

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.list_lines import out_options, show_list
from lidclock.cli.options import echo_json, gathered, json_option


@click.command()
@click.argument("words", metavar="[CODE]...", nargs=-1)
@click.option("--lot", "lots", multiple=True, help="A lot, as it stands on the pack.")
@click.option(
    "--batch", "batches", multiple=True, metavar="N", help="A batch by its number."
)
@click.option("--back", is_flag=True, help="Only back, to what went in.")
@click.option("--forward", is_flag=True, help="Only forward, to where it went.")
@out_options("Write it as a list to print and tick.")
@json_option
@pass_desk
def trace(
    desk: Desk,
    words: tuple[str, ...],
    lots: tuple[str, ...],
    batches: tuple[str, ...],
    *,
    out: Path | None,
    paper: str | None,
    **options: bool,
) -> None:
    """Trace containers, lots or batches: what went in, and where it went.

    Back to packs with maker, lot, maker's date and opening, and to batches with when
    and by whom; forward to every batch and container, where each is now or how it
    ended. Both, unless one is asked for. What nobody recorded is said to be unknown.
    Nothing is recorded.

    \b
    Example:
      lidclock trace 4F7 K2M0 --back
      lidclock trace --lot AB12 --forward --out recall.pdf
    """
    from lidclock.app import trace as app
    from lidclock.app.trace_page import trace_json, trace_list, trace_page

    if options["back"] and options["forward"]:
        raise click.UsageError("give --back or --forward; without either it is both")
    ways = tuple(way for way in (app.BACK, app.FORWARD) if options[way])
    question = app.Question(
        tuple(gathered(words)), lots, batches, ways or (app.BACK, app.FORWARD)
    )
    with desk.session() as session:
        found = app.trace(session, question)
        if options["as_json"]:
            echo_json(trace_json(found, session))
        else:
            page = trace_list(trace_page(found, session), session)
            show_list(page, session, out, paper)
