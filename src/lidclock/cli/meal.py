"""`meal`: what is going to be eaten, when, and by how many."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.domain.planning_checks import MOST_EATERS
from lidclock.errors import InputError

if TYPE_CHECKING:
    from lidclock.app.meal_changes import Draft
    from lidclock.app.session import Session

name_option = click.option("--name", metavar="NAME", help="What the meal is called.")
eaters_option = click.option(
    "--eaters",
    type=click.IntRange(1, MOST_EATERS),
    metavar="N",
    help="How many eat: foods without a number are one for each.",
)
spread_option = click.option(
    "--spread",
    type=float,
    metavar="SD",
    help="How far the number of eaters varies (standard deviation).",
)
every_option = click.option(
    "--every",
    metavar="DAYS",
    help="Again every day, week, weekday, or on days such as Tue,Thu.",
)
rule_option = click.option(
    "--rule", metavar="RULE", help="Again by a rule of RFC 5545: FREQ=MONTHLY;BYDAY=1FR"
)
until_option = click.option(
    "--until", metavar="DAY", help="The last day on which it may come again."
)


@click.group()
def meal() -> None:
    """Meals: what is going to be eaten when, once or again and again."""


@meal.command("add")
@click.argument("words", metavar="TEXT", nargs=-1, required=True)
@name_option
@eaters_option
@spread_option
@every_option
@rule_option
@until_option
@json_option
@pass_desk
def add(desk: Desk, words: tuple[str, ...], as_json: bool, **options: Any) -> None:
    """Put a meal on the list; say at once what is short.

    TEXT is the day and the hour, then the foods with their portions.

    \b
    Example:
      lidclock meal add "Thu 18:30 buns x2, filling x2, radish"
      lidclock meal add "Tue 12:00 bean stew" --eaters 12 --every Tue,Thu
    """
    from lidclock.app import meal_changes

    with desk.session() as session:
        draft = _draft(session, " ".join(words), options)
        with session.write() as unit:
            known = meal_changes.add_meal(unit, draft)
        _show_one(session, str(known.number), as_json=as_json)


@meal.command("list")
@click.option(
    "--within", metavar="SPAN", default="14d", help="How far ahead.", show_default=True
)
@json_option
@pass_desk
def list_(desk: Desk, within: str, as_json: bool) -> None:
    """List the meals ahead, the soonest first, by number.

    \b
    Example:
      lidclock meal list --within 7d
    """
    from lidclock.app.meals import agenda
    from lidclock.cli.meal_show import agenda_json, agenda_lines
    from lidclock.cli.when import read_span

    span = read_span(within)
    with desk.session() as session:
        with session.read() as unit:
            found = agenda(unit, span)
        if as_json:
            echo_json(agenda_json(found))
        else:
            echo_lines(agenda_lines(found, span, session.now))


@meal.command("show")
@click.argument("meal_name", metavar="MEAL")
@json_option
@pass_desk
def show(desk: Desk, meal_name: str, as_json: bool) -> None:
    """Show one meal: its days to come, and what is short.

    MEAL is its number in `lidclock meal list`, or its name.

    \b
    Example:
      lidclock meal show 2
    """
    with desk.session() as session:
        _show_one(session, meal_name, as_json=as_json, is_whole=True)


@meal.command("change")
@click.argument("meal_name", metavar="MEAL")
@click.argument("words", metavar="[TEXT]", nargs=-1)
@name_option
@eaters_option
@spread_option
@every_option
@rule_option
@until_option
@click.option("--once", is_flag=True, help="It does not come again any more.")
@json_option
@pass_desk
def change(
    desk: Desk,
    meal_name: str,
    words: tuple[str, ...],
    as_json: bool,
    **options: Any,
) -> None:
    """Change a meal, on all its days to come; what is not named stays.

    TEXT is a time, foods, or both. An hour alone keeps the day.

    \b
    Example:
      lidclock meal change 2 19:00
      lidclock meal change 2 "buns x3, radish" --eaters 3
    """
    from lidclock.app import meal_changes

    with desk.session() as session:
        draft = _draft(session, " ".join(words), options, is_change=True)
        with session.write() as unit:
            known = meal_changes.change_meal(unit, meal_name, draft)
        _show_one(session, str(known.number), as_json=as_json)


@meal.command("skip")
@click.argument("meal_name", metavar="MEAL")
@click.argument("day", nargs=-1, required=True)
@json_option
@pass_desk
def skip(desk: Desk, meal_name: str, day: tuple[str, ...], as_json: bool) -> None:
    """Leave a meal out on one day; the others stay.

    \b
    Example:
      lidclock meal skip 2 Thu
    """
    from lidclock.app import meal_changes
    from lidclock.cli.meal_text import read_coming_day

    with desk.session() as session:
        on = read_coming_day(" ".join(day), session.kitchen.zone, session.now)
        with session.write() as unit:
            known = meal_changes.skip_meal(unit, meal_name, on)
        _show_one(session, str(known.number), as_json=as_json, skipped=on)


@meal.command("remove")
@click.argument("meal_name", metavar="MEAL")
@json_option
@pass_desk
def remove(desk: Desk, meal_name: str, as_json: bool) -> None:
    """Take a meal off the list, with all its days to come.

    \b
    Example:
      lidclock meal remove 2
    """
    from lidclock.app import meal_changes
    from lidclock.app.meal_words import say_title

    with desk.session() as session:
        with session.write() as unit:
            known = meal_changes.remove_meal(unit, meal_name)
        if as_json:
            echo_json({"number": known.number, "id": known.meal.id, "removed": True})
        else:
            click.echo(f"meal {known.number} is off the list: {say_title(known.meal)}")


def _show_one(
    session: Session,
    meal_name: str,
    *,
    as_json: bool,
    is_whole: bool = False,
    skipped: Any = None,
) -> None:
    from lidclock.app.meal_stock import outlook
    from lidclock.cli.meal_show import meal_json, meal_text

    with session.read() as unit:
        found = outlook(unit, meal_name)
    if as_json:
        echo_json(meal_json(found))
    else:
        echo_lines(meal_text(found, session.now, is_whole=is_whole, skipped=skipped))


def _draft(
    session: Session, text: str, options: dict[str, Any], *, is_change: bool = False
) -> Draft:
    """What was typed, as one draft."""
    from lidclock.app.meal_changes import Draft
    from lidclock.cli.meal_text import read_meal

    written = read_meal(text, session.kitchen.zone, session.now)
    clock = written.clock if is_change else None
    return Draft(
        at=None if clock else written.at,
        clock=clock,
        items=written.items,
        name=options["name"],
        eaters=options["eaters"],
        spread=options["spread"],
        rule=_rule(session, options),
    )


def _rule(session: Session, options: dict[str, Any]) -> str | None:
    """The rule that the options tell; None where they tell none."""
    from lidclock.app.meal_words import until_text
    from lidclock.cli.meal_text import read_coming_day
    from lidclock.cli.weekly import every_text

    told = [x for x in ("every", "rule", "once") if options.get(x)]
    if len(told) > 1:
        raise click.UsageError(f"give --{told[0]} or --{told[1]}, not both")
    if options.get("once"):
        rule: str | None = ""
    elif options["every"] is not None:
        rule = every_text(options["every"])
    else:
        rule = options["rule"]
    if options["until"] is None:
        return rule
    if not rule:
        raise InputError("--until needs --every or --rule: say how it comes again")
    zone = session.kitchen.zone
    last = read_coming_day(options["until"], zone, session.now)
    return f"{rule};{until_text(last, zone)}"
