"""`take`, `split`, `combine`: masses out of containers and into others."""

from __future__ import annotations

import click

from lidclock.cli.desk import Desk, pass_desk, time_of
from lidclock.cli.filled import filled_lines
from lidclock.cli.options import (
    anyway_option,
    at_option,
    code_and_masses,
    echo_lines,
    food_option,
    gathered,
)
from lidclock.cli.show import did_line, mass
from lidclock.errors import InputError

# So that -5g reaches the reader of masses instead of being taken for an option.
_MASSES = {"ignore_unknown_options": True}


@click.command(context_settings=_MASSES)
@click.argument("words", metavar="CODE MASS", nargs=-1, required=True)
@at_option
@anyway_option
@pass_desk
def take(desk: Desk, words: tuple[str, ...], at: str | None, anyway: bool) -> None:
    """Record that part of a container was used.

    \b
    Example:
      lidclock take 4F7 K2M0 120g
    """
    from lidclock.app import moves

    code, masses = code_and_masses(words)
    if len(masses) != 1:
        raise InputError("take one mass at a time, for example 120g")
    with desk.session() as session:
        when = time_of(session, at)
        with session.write() as unit:
            done = moves.take(unit, code, masses[0], at=when, anyway=anyway)
    left = mass(done.view.container.mass_g)
    click.echo(did_line(done.view, f"{done.did}, {left} left"))


@click.command(context_settings=_MASSES)
@click.argument("words", metavar="CODE MASS...", nargs=-1, required=True)
@at_option
@pass_desk
def split(desk: Desk, words: tuple[str, ...], at: str | None) -> None:
    """Divide a container into new ones; the clock goes on in each.

    \b
    Example:
      lidclock split 4F7 K2M0 120g 120g
    """
    from lidclock.app import portions

    code, masses = code_and_masses(words)
    with desk.session() as session:
        when = time_of(session, at)
        with session.write() as unit:
            filled = portions.split(unit, code, masses, at=when)
        echo_lines(filled_lines(filled))


@click.command()
@click.argument("words", metavar="CODE CODE...", nargs=-1, required=True)
@food_option
@at_option
@pass_desk
def combine(
    desk: Desk, words: tuple[str, ...], food: str | None, at: str | None
) -> None:
    """Put containers together into a new one, as old as its oldest part.

    \b
    Example:
      lidclock combine 4F7K2M0 9D3T1PX --food "bean stew"
    """
    from lidclock.app import portions

    with desk.session() as session:
        when = time_of(session, at)
        with session.write() as unit:
            filled = portions.combine(unit, gathered(words), food=food, at=when)
        echo_lines(filled_lines(filled))
