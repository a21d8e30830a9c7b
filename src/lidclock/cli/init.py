"""`init`: a new kitchen."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.domain.kitchens import STATES, Kitchen, Place
from lidclock.domain.moments import zone_of
from lidclock.errors import InputError

_ZONE_FOLDER = "zoneinfo/"


@click.command()
@click.option("--name", help="What the kitchen is called. [Home]")
@click.option("--zone", metavar="ZONE", help="IANA zone; found in the system if it is.")
@click.option(
    "--guidance",
    metavar="SET",
    help="Whose limits count; `lidclock guidance sets` lists them. [us-home]",
)
@click.option(
    "--units", type=click.Choice(["metric", "us"]), help="Units on labels. [metric]"
)
@click.option(
    "--day-start",
    type=click.IntRange(0, 23),
    default=0,
    show_default=True,
    metavar="HOUR",
    help="When the working day begins; groups lists, moves no limit.",
)
@click.option(
    "--lead",
    type=click.IntRange(1, 336),
    default=48,
    show_default=True,
    metavar="HOURS",
    help="How long before its last moment a container counts as soon.",
)
@click.option("--stock", metavar="NAME", help="Label stock. [letter-3x10]")
@click.option(
    "--symbol-base",
    default="HTTP://LIDCLOCK.LOCAL",
    show_default=True,
    metavar="URL",
    help="What a scanned QR symbol opens.",
)
@click.option(
    "--place",
    "places",
    multiple=True,
    metavar="NAME:STATE",
    help="A place such as 'Fridge:fridge'; repeat it. [Fridge, Freezer, Counter]",
)
@click.option(
    "--want-readings",
    is_flag=True,
    help="A fridge without temperature readings makes the last day unknown; they come "
    "with `scan CODE --to PLACE --temp 3C`.",
)
@click.option(
    "--high-risk",
    is_flag=True,
    help="People at higher risk eat here: the low end of every range is the limit.",
)
@click.option("--yes", is_flag=True, help="Ask nothing; take the defaults.")
@pass_desk
def init(desk: Desk, **options: Any) -> None:
    """Make a kitchen: its name, zone, guidance and places.

    \b
    Example:
      lidclock init --yes --zone America/New_York
    """
    from lidclock.app import setup

    ask = not options["yes"]
    found, where = system_zone()
    kitchen = Kitchen(
        id="",
        name=_answer(options["name"], "Name of the kitchen", "Home", ask=ask),
        zone_name=_answer(options["zone"], "Time zone", found, ask=ask),
        guidance=_answer(options["guidance"], "Guidance set", "us-home", ask=ask),
        units=_answer(options["units"], "Units (metric or us)", "metric", ask=ask),
        day_start_h=options["day_start"],
        lead_h=options["lead"],
        stock=_answer(options["stock"], "Label stock", "letter-3x10", ask=ask),
        symbol_base=options["symbol_base"],
        accepts_unmeasured=not options["want_readings"],
        is_high_risk=options["high_risk"],
    )
    if kitchen.units not in ("metric", "us"):
        raise InputError(f"units are metric or us, not {kitchen.units!r}")
    spots = (
        tuple(read_place(text) for text in options["places"]) or setup.DEFAULT_PLACES
    )
    made = setup.init_kitchen(desk.path, kitchen, spots)
    click.echo(f"kitchen {made.name!r} is ready in {desk.path}")
    told = "" if options["zone"] or ask else f" ({where})"
    click.echo(f"zone: {made.zone_name}{told}")
    risk = ", read for people at higher risk" if made.is_high_risk else ""
    click.echo(f"guidance: {made.guidance}{risk}")
    click.echo(f"places: {', '.join(f'{x.name} ({x.state})' for x in spots)}")
    click.echo(
        "next: `lidclock guidance categories`, then "
        '`lidclock prep "bean stew" --category soup-stew --count 4 --place NAME`'
    )


def _answer(given: str | None, question: str, default: str, *, ask: bool) -> str:
    if given is not None:
        return given.strip() or default
    if not ask:
        return default
    answer: str = click.prompt(question, default=default)
    return answer.strip()


def read_place(text: str) -> Place:
    """`Cellar fridge:fridge` as a place."""
    name, colon, state = text.rpartition(":")
    name, state = " ".join(name.split()), state.strip().lower()
    if not colon or not name or state not in STATES:
        raise InputError(
            f"{text!r} is not a place; write it like 'Cellar fridge:fridge' "
            f"(states: {', '.join(STATES)})"
        )
    return Place(name, state)


def system_zone() -> tuple[str, str]:
    """The zone this machine is set to, and where that was found; UTC if nowhere."""
    candidates = (
        (os.environ.get("TZ", "").lstrip(":"), "from TZ"),
        (_first_line(Path("/etc/timezone")), "from /etc/timezone"),
        (_linked(Path("/etc/localtime")), "from /etc/localtime"),
    )
    for name, where in candidates:
        if name and _is_zone(name):
            return name, where
    return "UTC", "no zone found in the system; give --zone if this is wrong"


def _first_line(path: Path) -> str:
    try:
        lines = path.read_text(encoding="utf-8").split()
    except (OSError, UnicodeDecodeError):
        return ""
    return lines[0] if lines else ""


def _linked(path: Path) -> str:
    try:
        target = os.readlink(path)
    except OSError:
        return ""
    return target.partition(_ZONE_FOLDER)[2]


def _is_zone(name: str) -> bool:
    try:
        zone_of(name)
    except InputError:
        return False
    return True
