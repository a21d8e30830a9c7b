"""`outage`: after a power cut, what to keep and what to discard."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, TypeVar

import click

from lidclock.cli.desk import Desk, pass_desk, time_of
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.errors import InputError

_Value = TypeVar("_Value")


@click.command()
@click.argument("places", metavar="[PLACE]...", nargs=-1)
@click.option(
    "--from", "began", metavar="TIME", required=True, help="When the power went."
)
@click.option("--until", "ended", metavar="TIME", help="When it came back. [now]")
@click.option(
    "--still-out", is_flag=True, help="It is not back: say when shut doors give out."
)
@click.option(
    "--fridge",
    "fridges",
    metavar="NAME=TEMP",
    multiple=True,
    help="What a fridge measured when the power came back, e.g. 'Fridge=9C'.",
)
@click.option(
    "--freezer-full/--freezer-half",
    default=False,
    help="Whether the freezers are full. [half: the stricter]",
)
@click.option(
    "--found",
    "finds",
    metavar="NAME=icy|warm",
    multiple=True,
    help="A freezer's food: icy, or warm (thawed, above 4.4 °C for over 2 h).",
)
@click.option(
    "--room",
    metavar="TEMP",
    help="How warm the room was, for the estimate where nobody measured. [25C]",
)
@json_option
@pass_desk
def outage(desk: Desk, places: tuple[str, ...], **options: Any) -> None:
    """After a power cut, say what to keep, refreeze, check or discard, and why.

    Of every fridge and freezer, or of each PLACE named. What was found in a freezer
    counts first, then readings of the time (`lidclock temp`, --fridge), then the hours
    that a shut door holds; a time that nobody measured is never taken as fine. The
    charts are of the US. Nothing is recorded.

    \b
    Example:
      lidclock outage --from 'today 06:00' --until 'today 11:30' --found Freezer=icy
      lidclock outage Fridge --from 'today 06:00' --still-out
    """
    from lidclock.app import outage as app
    from lidclock.cli.outage_page import Page, page_json, page_lines

    if options["still_out"] and options["ended"]:
        raise click.UsageError("--until or --still-out, not both")
    given = {"room_c": _temp(options["room"])} if options["room"] else {}
    with desk.session() as session:
        found = app.outage(
            session,
            time_of(session, options["began"]) or session.now,
            time_of(session, options["ended"]) or session.now,
            places=places,
            fridge_c=_pairs(options["fridges"], "Fridge=9C", _temp),
            freezer_full=options["freezer_full"],
            found=_pairs(options["finds"], "Freezer=icy", str.lower),
            **given,
        )
        page = Page(
            found, options["still_out"], app.outage_cautions(), session.kitchen.zone
        )
    if options["as_json"]:
        echo_json(page_json(page))
    else:
        echo_lines(page_lines(page))


def _temp(text: str) -> float:
    from lidclock.domain.readings import read_temp

    return read_temp(text)


def _pairs(
    words: Iterable[str], example: str, read: Callable[[str], _Value]
) -> dict[str, _Value]:
    """`NAME=VALUE` by name; a name may hold a `=` itself."""
    found: dict[str, _Value] = {}
    for word in words:
        name, sign, value = (part.strip() for part in word.rpartition("="))
        if not (name and sign and value):
            raise InputError(f"{word!r} names no place and value; write it {example}")
        if name in found:
            raise InputError(f"{name} was given twice; say it once")
        found[name] = read(value)
    return found
