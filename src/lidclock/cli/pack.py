"""`open` and `adopt`: a bought pack once opened, and a container found."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk, time_of
from lidclock.cli.filled import filled_lines
from lidclock.cli.foods import cut_food_facts, food_options, food_or_name
from lidclock.cli.options import MASS, echo_lines, lot_option, place_option

if TYPE_CHECKING:
    from lidclock.app.session import Session

mass_option = click.option("--mass", type=MASS, metavar="MASS", help="What it holds.")
use_by_option = click.option(
    "--use-by", metavar="DATE", help="The maker's date, e.g. '5 Nov 2026'."
)


@click.command("open")
@click.argument("food")
@mass_option
@use_by_option
@click.option("--opened", metavar="TIME", help="When it was opened. [now]")
@place_option
@lot_option
@food_options
@pass_desk
def open_pack(desk: Desk, food: str, **options: Any) -> None:
    """Record that a bought pack of FOOD was opened; it becomes a container.

    \b
    Example:
      lidclock open "pickled radish" --category pickles-opened --place Fridge
    """
    from lidclock.app import prep as app

    facts = cut_food_facts(options)
    if "category" in facts:
        facts.setdefault("made_by", "maker")
    with desk.session() as session:
        what = food_or_name(session, food, facts)
        opened_at = time_of(session, options["opened"])
        use_by = day_of(session, options["use_by"])
        place = session.place(options["place"]) if options["place"] else None
        with session.write() as unit:
            filled = app.open_pack(
                unit,
                what,
                mass_g=options["mass"],
                maker_use_by=use_by,
                opened_at=opened_at,
                place=place,
                lot=options["lot"],
            )
        echo_lines([*filled_lines(filled), _label_hint(filled.codes[0])])


@click.command()
@click.argument("food")
@click.option("--code", metavar="CODE", help="A code that is on the lid already.")
@click.option("--made", metavar="TIME", help="When it was made; unknown if left out.")
@mass_option
@place_option
@click.option("--placed", metavar="TIME", help="When it was put there. [now]")
@use_by_option
@click.option(
    "--marked", metavar="DATE", help="The last day that is written on the lid."
)
@food_options
@pass_desk
def adopt(desk: Desk, food: str, **options: Any) -> None:
    """Take in a container that was there before; what is not known stays unknown.

    \b
    Example:
      lidclock adopt "bean stew" --category soup-stew --place Freezer \\
        --made 'yesterday 18:00' --placed 'yesterday 19:00'
    """
    from lidclock.app import lids
    from lidclock.app import prep as app

    facts = cut_food_facts(options)
    with desk.session() as session:
        what = food_or_name(session, food, facts)
        made_at = time_of(session, options["made"])
        placed_at = time_of(session, options["placed"])
        if placed_at is not None and options["place"] is None:
            raise click.UsageError("--placed needs --place")
        use_by = day_of(session, options["use_by"])
        marked_on = day_of(session, options["marked"])
        place = session.place(options["place"]) if options["place"] else None
        with session.write() as unit:
            filled = app.adopt(
                unit,
                what,
                code=options["code"],
                mass_g=options["mass"],
                made_at=made_at,
                maker_use_by=use_by,
                place=place,
                placed_at=placed_at,
                marked_on=marked_on,
            )
        remark = lids.lid_remark(filled.views[0])
        lines = [*filled_lines(filled), *([remark] if remark else [])]
        echo_lines([*lines, _label_hint(filled.codes[0])])


def day_of(session: Session, text: str | None) -> date | None:
    """A day that a person wrote, or None."""
    if text is None:
        return None
    from lidclock.cli.when import read_day

    return read_day(text, session.kitchen.zone, session.now)


def _label_hint(code: str) -> str:
    return f"label it: `lidclock label {code} --out FILE.pdf`, or write the code on it"
