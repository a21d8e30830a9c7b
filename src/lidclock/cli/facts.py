"""`cooled`, `reheated`, `missing`: facts about one container."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk, time_of
from lidclock.cli.options import (
    anyway_option,
    at_option,
    code_words,
    one_code,
    temp_option,
)
from lidclock.cli.show import did_line

if TYPE_CHECKING:
    from lidclock.app.moves import Done


@click.command()
@code_words()
@temp_option
@at_option
@anyway_option
@pass_desk
def cooled(desk: Desk, words: tuple[str, ...], **options: Any) -> None:
    """Record that cooling was finished and measured.

    \b
    Example:
      lidclock cooled 4F7 K2M0 --temp 4C --at 'today 19:40'
    """
    from lidclock.app import moves

    _record(desk, moves.cooled, words, options)


@click.command()
@code_words()
@temp_option
@at_option
@anyway_option
@pass_desk
def reheated(desk: Desk, words: tuple[str, ...], **options: Any) -> None:
    """Record a reheating: counter time starts again, the days go on.

    \b
    Example:
      lidclock reheated 4F7 K2M0 --temp 75C
    """
    from lidclock.app import moves

    _record(desk, moves.reheated, words, options)


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


def _record(
    desk: Desk,
    record: Callable[..., Done],
    words: tuple[str, ...],
    options: dict[str, Any],
) -> None:
    """Record a fact that may carry a temperature, and say how things stand."""
    with desk.session() as session:
        when = time_of(session, options["at"])
        with session.write() as unit:
            done = record(
                unit,
                one_code(words),
                at=when,
                temp_c=options["temp"],
                anyway=options["anyway"],
            )
        click.echo(did_line(done.view, done.did))
