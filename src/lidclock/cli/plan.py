"""`plan`: what the kitchen chooses for its proposals."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import timedelta
from typing import Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import Decorator, echo_json, echo_lines, json_option
from lidclock.domain.planning import SHAPES
from lidclock.errors import InputError

_DAY = timedelta(days=1)
_HOUR = timedelta(hours=1)
_MM = {"mm": 1.0, "cm": 10.0, "in": 25.4}
_THICK = re.compile(r"([0-9]{1,6}(?:[.,][0-9]{1,3})?)\s*(mm|cm|in)", re.I)
_SHARE = re.compile(r"([0-9]{1,3}(?:[.,][0-9]{1,3})?)\s*%")

worth_option = click.option(
    "--worth", type=float, metavar="MONEY", help="What a wasted portion costs."
)
freezing_option = click.option(
    "--freezing",
    type=float,
    metavar="MONEY",
    help="What freezing and thawing a portion costs, work and loss of quality.",
)
short_option = click.option(
    "--short", type=float, metavar="MONEY", help="What a missing portion costs."
)
# What the options of `set` and of `food` are called where they are recorded.
_OF_KITCHEN = {
    "card-hour": ("card_hours",),
    "most": ("most_shown",),
    "money": ("money",),
    "worth": ("worth",),
    "freezing": ("freezing",),
    "short": ("short",),
    "service": ("service",),
    "cover": ("cover_days",),
    "use-up": ("use_up_days", "use_up_at"),
}
_OF_FOOD = {
    "worth": ("worth",),
    "freezing": ("freezing",),
    "short": ("short",),
    "thaw": ("thaw_h",),
    "temper": ("temper_h",),
    "thick": ("thick_mm",),
    "shape": ("shape",),
    "model": ("model",),
}


def _reset_option(names: Mapping[str, tuple[str, ...]]) -> Decorator:
    return click.option(
        "--reset",
        type=click.Choice(list(names)),
        metavar="OPTION",
        multiple=True,
        help="Forget what was chosen with that option. May be given again.",
    )


def _reset(names: Mapping[str, tuple[str, ...]], typed: tuple[str, ...]) -> list[str]:
    return [key for name in typed for key in names[name]]


@click.group()
def plan() -> None:
    """Choices that proposals hang on: hours, costs, how food is frozen and thawed."""


@plan.command("show")
@json_option
@pass_desk
def show(desk: Desk, as_json: bool) -> None:
    """Show what was chosen, and what is as it comes.

    \b
    Example:
      lidclock plan show
    """
    from lidclock.app.planning import choices_of
    from lidclock.cli.plan_show import choices_json, choices_lines

    with desk.session() as session, session.read() as unit:
        choices = choices_of(unit)
        names = {food.name.casefold(): food.name for food in unit.snapshots.foods()}
    if as_json:
        echo_json(choices_json(choices, names))
    else:
        echo_lines(choices_lines(choices, names))


@plan.command("set")
@click.option(
    "--card-hour",
    "card_hours",
    metavar="HOUR",
    multiple=True,
    help="When the card speaks, e.g. 07:30. May be given again.",
)
@click.option("--most", type=int, metavar="N", help="How many proposals it shows.")
@click.option("--money", metavar="WORD", help="The kitchen's money, e.g. EUR.")
@worth_option
@freezing_option
@short_option
@click.option(
    "--service",
    metavar="SHARE",
    help="On how many of 100 days what was made should last, e.g. 95%, where no cost "
    "of a missing portion is given.",
)
@click.option("--cover", metavar="SPAN", help="How long one making has to last: 3d.")
@click.option(
    "--use-up",
    metavar="DAYS HOUR",
    help="When what is left over is eaten, e.g. 'Tue,Fri 18:30'.",
)
@_reset_option(_OF_KITCHEN)
@json_option
@pass_desk
def set_(desk: Desk, as_json: bool, **options: Any) -> None:
    """Choose for the whole kitchen; what is not named stays as it is.

    Costs are what a portion costs where a food names no cost of its own.

    \b
    Example:
      lidclock plan set --card-hour 07:30 --card-hour 17:00 --money EUR --worth 3
      lidclock plan set --use-up "Tue,Fri 18:30" --service 95% --cover 3d
    """
    from lidclock.app.choices import set_choices
    from lidclock.cli.plan_show import choices_json, choices_lines

    told = _told(options)
    with desk.session() as session, session.write() as unit:
        choices = set_choices(unit, told, _reset(_OF_KITCHEN, options["reset"]))
        names = {food.name.casefold(): food.name for food in unit.snapshots.foods()}
    if as_json:
        echo_json(choices_json(choices, names))
    else:
        echo_lines(choices_lines(choices, {}))


def _told(options: dict[str, Any]) -> dict[str, Any]:
    """What the options name, as it is recorded."""
    from lidclock.cli.weekly import read_clock, read_use_up

    told: dict[str, Any] = {
        name: options[name]
        for name in ("money", "worth", "freezing", "short")
        if options[name] is not None
    }
    if options["card_hours"]:
        hours = sorted(map(read_clock, options["card_hours"]))
        told["card_hours"] = [hour.isoformat("minutes") for hour in hours]
    if options["most"] is not None:
        told["most_shown"] = options["most"]
    if options["service"] is not None:
        told["service"] = _share(options["service"])
    if options["cover"] is not None:
        told["cover_days"] = _days(options["cover"])
    if options["use_up"] is not None:
        days, clock = read_use_up(options["use_up"])
        told["use_up_days"] = list(days)
        told["use_up_at"] = clock.isoformat("minutes")
    return told


@plan.command("food")
@click.argument("name")
@worth_option
@freezing_option
@short_option
@click.option("--thaw", metavar="SPAN", help="How long it thaws in a fridge, e.g. 8h.")
@click.option(
    "--temper",
    metavar="SPAN",
    help="How long it stands on the counter before it is eaten or worked, e.g. 45min.",
)
@click.option("--thick", metavar="LENGTH", help="How thick a container is, e.g. 50mm.")
@click.option("--shape", type=click.Choice(SHAPES), help="What it is kept in.")
@click.option(
    "--model", metavar="ID", help="Which food of `lidclock ready --list` it is like."
)
@_reset_option(_OF_FOOD)
@json_option
@pass_desk
def food(desk: Desk, name: str, as_json: bool, **options: Any) -> None:
    """Say of one food what it costs, how it thaws, and how it is kept.

    What is not named stays as it is; without options, show what was said.

    \b
    Example:
      lidclock plan food "bun dough" --worth 3 --thaw 8h --thick 50mm --shape tub
    """
    from lidclock.app.choices import food_plan, set_food_plan
    from lidclock.cli.plan_show import food_json, food_lines

    told = _food_told(options)
    with desk.session() as session:
        if told or options["reset"]:
            with session.write() as unit:
                named, choices = set_food_plan(
                    unit, name, told, _reset(_OF_FOOD, options["reset"])
                )
        else:
            with session.read() as unit:
                named, choices = food_plan(unit, name)
    if as_json:
        echo_json(food_json(named, choices))
    else:
        echo_lines(food_lines(named, choices))


def _food_told(options: dict[str, Any]) -> dict[str, Any]:
    from lidclock.cli.when import read_span

    told: dict[str, Any] = {
        name: options[name]
        for name in ("worth", "freezing", "short", "shape", "model")
        if options[name] is not None
    }
    for name in ("thaw", "temper"):
        if options[name] is not None:
            told[f"{name}_h"] = read_span(options[name]) / _HOUR
    if options["thick"] is not None:
        told["thick_mm"] = _thickness(options["thick"])
    return told


def _thickness(text: str) -> float:
    """Millimetres of `50mm`, `5cm` or `2in`."""
    match = _THICK.fullmatch(text.strip())
    if match is None:
        raise InputError(f"{text!r} is not a thickness; write it like 50mm, 5cm or 2in")
    return round(float(match[1].replace(",", ".")) * _MM[match[2].lower()], 1)


def _share(text: str) -> float:
    """0.95 of `95%`."""
    match = _SHARE.fullmatch(text.strip())
    if match is None:
        raise InputError(f"{text!r} is not a share; write it like 95%")
    return round(float(match[1].replace(",", ".")) / 100, 5)


def _days(text: str) -> int:
    """Whole days of `3d` or `72h`."""
    from lidclock.cli.when import read_span

    span = read_span(text)
    if span % _DAY:
        raise InputError(f"{text!r} is not whole days; write it like 3d")
    return span // _DAY
