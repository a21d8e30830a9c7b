"""`prep`: one making of a food, from pot to labelled lids."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk, time_of
from lidclock.cli.filled import (
    draw_filled,
    filled_lines,
    free_path,
    print_option,
    print_or_keep,
    printed_lines,
)
from lidclock.cli.foods import cut_food_facts, food_options, food_or_name
from lidclock.cli.options import (
    MASS,
    anyway_option,
    echo_lines,
    lot_option,
    place_option,
)
from lidclock.cli.show import mass, plural, say_when

if TYPE_CHECKING:
    from lidclock.app.lids import Drawn
    from lidclock.app.prep import Filled, Input, Order
    from lidclock.app.printing import Printer
    from lidclock.app.session import Session, Unit
    from lidclock.domain.foods import Food


@click.command()
@click.argument("food")
@click.option(
    "--count", type=int, default=1, show_default=True, help="How many containers."
)
@click.option("--portion", type=MASS, metavar="MASS", help="What each one holds.")
@click.option("--total", type=MASS, metavar="MASS", help="All of it, split evenly.")
@click.option(
    "--made", metavar="TIME", help="When it was made, e.g. 'today 17:10'. [now]"
)
@place_option
@click.option("--placed", metavar="TIME", help="When it was put there. [now]")
@click.option(
    "--from",
    "inputs",
    multiple=True,
    metavar="CODE[=MASS]",
    help="A container that went into it, e.g. 4F7K2M0=120g; repeat it.",
)
@lot_option
@click.option(
    "--recipe", metavar="NAME", help="The kept recipe it was made by, as it is now."
)
@food_options
@click.option(
    "--labels",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE.pdf",
    help="Where to write the label sheet. [labels-batch-N.pdf, here]",
)
@click.option("--no-labels", is_flag=True, help="Write and print no labels.")
@print_option
@click.option("--no-verify", is_flag=True, help="Do not read the symbols back.")
@click.option("--plain", is_flag=True, help="Print labels as text to copy onto tape.")
@anyway_option
@pass_desk
def prep(desk: Desk, food: str, **options: Any) -> None:
    """Record a batch of FOOD and label its containers.

    A food that is not known yet is added by giving --category. Labels are printed if
    the kitchen's stock has a default printer; else they are written as PDF.

    \b
    Example:
      lidclock prep "bean stew" --category soup-stew --count 4 --portion 350g \\
        --made 'today 17:10' --place Fridge
    """
    from lidclock.app import prep as app

    facts = cut_food_facts(options)
    with desk.session() as session:
        order = _order(session, food_or_name(session, food, facts), options)
        printer = _printer(session, options)
        with session.write() as unit:
            filled = app.prep(unit, order)
            lines = [_head(filled, session), *filled_lines(filled)]
            if printer is None:
                lines += _labels(unit, filled, options)
            else:
                check = not options["no_verify"]
                drawn = draw_filled(unit, filled, printer, check=check)
                lines += _as_labelled(drawn, options)
        echo_lines(lines)
        if printer is not None:
            print_or_keep(
                session,
                drawn,
                printer,
                checked=check,
                copy=options["labels"],
                spare=_spare_path(filled),
            )


def _order(session: Session, food: Food | str, options: dict[str, Any]) -> Order:
    """What is to be recorded."""
    from lidclock.app.prep import Order

    recipe = ""
    if options["recipe"]:
        from lidclock.app.recipe_book import find_recipe

        kept = find_recipe(session, options["recipe"])
        recipe = f"{kept.name}, version {kept.version}"
    placed = time_of(session, options["placed"])
    if placed is not None and options["place"] is None:
        raise click.UsageError("--placed needs --place")
    return Order(
        food=food,
        count=options["count"],
        portion_g=options["portion"],
        total_g=options["total"],
        made_at=time_of(session, options["made"]),
        place=session.place(options["place"]) if options["place"] else None,
        placed_at=placed,
        inputs=tuple(read_input(text) for text in options["inputs"]),
        lot=options["lot"],
        anyway=options["anyway"],
        recipe=recipe,
    )


def read_input(text: str) -> Input:
    """`4F7K2M0=120g` or `4F7K2M0`."""
    from lidclock.app.prep import Input
    from lidclock.domain.masses import read_mass

    code, equals, amount = text.partition("=")
    return Input(code.strip(), read_mass(amount) if equals else None)


def _head(filled: Filled, session: Session) -> str:
    first = filled.views[0].container
    weights = [view.container.filled_g for view in filled.views]
    known = [weight for weight in weights if weight is not None]
    total = mass(round(sum(known), 1)) if known else "not weighed"
    made = say_when(first.made_at, session.kitchen.zone) if first.made_at else "?"
    name, count = filled.views[0].food.name, plural(len(filled.views), "container")
    return f"batch {filled.batch_number}: {name}, {count}, {total}, made {made}"


def _labels(unit: Unit, filled: Filled, options: dict[str, Any]) -> list[str]:
    """Write the sheet in the same unit of work, so that both happen or neither."""
    from lidclock.app import lids

    if options["no_labels"]:
        return []
    if options["plain"]:
        tape = lids.tape_list(unit, filled.views, act=filled.act)
        return ["", *tape.splitlines()]
    path = options["labels"] or _spare_path(filled)
    check = not options["no_verify"]
    printed = lids.print_labels(unit, filled.views, path, check=check, act=filled.act)
    lines = printed_lines(printed, checked=check)
    if options["place"] is None:
        from lidclock.app.label_pages import as_if_stored

        lines.insert(0, as_if_stored(printed.labels[0]))
    return lines


def _printer(session: Session, options: dict[str, Any]) -> Printer | None:
    """Where the labels are printed: where it says, or on the stock's default."""
    from lidclock.app import printing

    name, no_paper = options["printer"], options["no_labels"] or options["plain"]
    if name is not None and no_paper:
        raise click.UsageError("--print goes with neither --no-labels nor --plain")
    if name is not None:
        return printing.printer_for(session, name)
    return None if no_paper else printing.default_printer(session)


def _as_labelled(drawn: Drawn, options: dict[str, Any]) -> list[str]:
    from lidclock.app.label_pages import as_if_stored

    return [] if options["place"] else [as_if_stored(drawn.labels[0])]


def _spare_path(filled: Filled) -> Path:
    return free_path(f"labels-batch-{filled.batch_number}", Path())
