"""`cooled`, `reheated`, `missing`: facts about one container."""

from __future__ import annotations

import click

from lidclock.cli.desk import Desk, pass_desk, time_of
from lidclock.cli.options import at_option, code_words, one_code, temp_option
from lidclock.cli.show import did_line


@click.command()
@code_words()
@temp_option
@at_option
@pass_desk
def cooled(
    desk: Desk, words: tuple[str, ...], temp: float | None, at: str | None
) -> None:
    """Record that cooling was finished and measured.

    \b
    Example:
      lidclock cooled 4F7 K2M0 --temp 4C --at 'today 19:40'
    """
    from lidclock.app import moves

    with desk.session() as session:
        when = time_of(session, at)
        with session.write() as unit:
            done = moves.cooled(unit, one_code(words), at=when, temp_c=temp)
        click.echo(did_line(done.view, done.did))


@click.command()
@code_words()
@temp_option
@at_option
@pass_desk
def reheated(
    desk: Desk, words: tuple[str, ...], temp: float | None, at: str | None
) -> None:
    """Record a reheating: counter time starts again, the days go on.

    \b
    Example:
      lidclock reheated 4F7 K2M0 --temp 75C
    """
    from lidclock.app import moves

    with desk.session() as session:
        when = time_of(session, at)
        with session.write() as unit:
            done = moves.reheated(unit, one_code(words), at=when, temp_c=temp)
        click.echo(did_line(done.view, done.did))


@click.command()
@code_words()
@at_option
@pass_desk
def missing(desk: Desk, words: tuple[str, ...], at: str | None) -> None:
    """Record that a container was looked for and not seen.

    \b
    Example:
      lidclock missing 4F7 K2M0
    """
    from lidclock.app import moves

    with desk.session() as session:
        when = time_of(session, at)
        with session.write() as unit:
            done = moves.missing(unit, one_code(words), at=when)
        click.echo(did_line(done.view, done.did))
        click.echo("scan it into a place again if it turns up")
