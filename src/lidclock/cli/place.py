"""`place add`, `place list`."""

from __future__ import annotations

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.foods import clean_name
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import columns
from lidclock.domain.kitchens import STATES, Place


@click.group()
def place() -> None:
    """Places of this kitchen: fridges, freezers, counters, hot holds."""


@place.command("add")
@click.argument("name")
@click.option(
    "--state", type=click.Choice(STATES), required=True, help="What kind it is."
)
@pass_desk
def add(desk: Desk, name: str, state: str) -> None:
    """Add a place.

    \b
    Example:
      lidclock place add "Cellar fridge" --state fridge
    """
    from lidclock.app import setup

    with desk.session() as session:
        made = setup.add_place(session, Place(clean_name(name), state))
    click.echo(f"added: {made.name} ({made.state})")


@place.command("list")
@json_option
@pass_desk
def list_(desk: Desk, as_json: bool) -> None:
    """List the places.

    \b
    Example:
      lidclock place list
    """
    with desk.session() as session:
        places = session.places
    if as_json:
        echo_json([{"name": x.name, "state": x.state} for x in places])
    else:
        echo_lines(columns([[x.name, x.state] for x in places]))
