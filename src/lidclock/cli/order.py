"""`order`: what to order until the next order, less what is on hand."""

from __future__ import annotations

from pathlib import Path

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.list_lines import out_options, show_list
from lidclock.cli.options import echo_json, json_option
from lidclock.errors import InputError


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
@out_options
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
    from lidclock.app.order_form import asked_of, order_form
    from lidclock.app.order_page import order_json, order_page

    uses = [_pair(one, "NAME=USE, such as flatbread=10") for one in items]
    there = [_pair(one, "NAME=AMOUNT, such as flatbread=28") for one in have]
    with desk.session() as session:
        found = order_form(session, asked_of(uses, there, **asked))
        if as_json:
            echo_json(order_json(found, session))
        else:
            show_list(order_page(found, session), session, out, paper)


def _pair(text: str, how: str) -> tuple[str, str]:
    name, sign, value = text.rpartition("=")
    if not sign or not name.strip() or not value.strip():
        raise InputError(f"{text!r:.80} says too little; write it as {how}")
    return name.strip(), value.strip()
