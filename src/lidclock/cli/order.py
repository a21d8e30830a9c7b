"""`order`: what to order until the next order, less what is on hand."""

from __future__ import annotations

from pathlib import Path

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.list_lines import out_options, show_list
from lidclock.cli.options import echo_json, json_option


@click.command()
@click.argument("items", metavar="[NAME=USE]", nargs=-1)
@click.option(
    "--lead",
    metavar="DAYS",
    default="0",
    help="Days until it comes.",
    show_default=True,
)
@click.option(
    "--review",
    metavar="DAYS",
    default="1",
    help="Days until the next order.",
    show_default=True,
)
@click.option(
    "--have",
    metavar="NAME=AMOUNT",
    multiple=True,
    help="What is on hand, and on its way: 28, 2kg.",
)
@click.option("--recipe", metavar="NAME", default="", help="And what it takes.")
@click.option("--daily", metavar="N", default="", help="Portions of it a day.")
@click.option("--once", metavar="N", default="", help="Portions for one occasion.")
@click.option("--portion", metavar="MASS", default="", help="Of each. [the recipe's]")
@out_options("Write it as a page to hang up.")
@json_option
@pass_desk
def order(
    desk: Desk,
    items: tuple[str, ...],
    have: tuple[str, ...],
    *,
    out: Path | None,
    paper: str | None,
    as_json: bool,
    **asked: str,
) -> None:
    """Fill in an order form: (lead + review) x use a day, less what is on hand.

    NAME=USE is what is ordered by the piece, and how much a day takes of it. Of a
    recipe each input is told as bought, before it is trimmed. Nothing is recorded.

    \b
    Example:
      lidclock order flatbread=10 --have flatbread=28 --lead 2 --review 3
      lidclock order --recipe "bean salad" --once 117 --have "white beans=2kg"
    """
    from lidclock.app.order_form import asked_of, order_form, read_pair
    from lidclock.app.order_page import order_json, order_page

    question = asked_of(
        [read_pair(one) for one in items], [read_pair(one) for one in have], **asked
    )
    with desk.session() as session:
        found = order_form(session, question)
        if as_json:
            echo_json(order_json(found, session))
        else:
            show_list(order_page(found, session), session, out, paper)
