"""`open` and `adopt`: a bought pack once opened, and a container found."""

from __future__ import annotations

import sys
from datetime import date
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
)
from lidclock.cli.foods import cut_food_facts, food_options, food_or_name
from lidclock.cli.options import MASS, echo_lines, lot_option, place_option

if TYPE_CHECKING:
    from lidclock.app.finding import MakersFacts
    from lidclock.app.session import Session

mass_option = click.option("--mass", type=MASS, metavar="MASS", help="What it holds.")
use_by_option = click.option(
    "--use-by", metavar="DATE", help="The maker's date, e.g. '5 Nov 2026'."
)


@click.command("open")
@click.argument("food", required=False)
@click.option(
    "--symbol",
    metavar="TEXT",
    help="What the maker's GS1 symbol or EAN says; - reads one scan.",
)
@mass_option
@use_by_option
@click.option("--opened", metavar="TIME", help="When it was opened. [now]")
@place_option
@lot_option
@click.option("--maker", default="", metavar="NAME", help="Who made it, for a trace.")
@food_options
@print_option
@pass_desk
def open_pack(desk: Desk, food: str | None, **options: Any) -> None:
    """Record that a bought pack of FOOD was opened; it becomes a container.

    With --symbol the maker's use-by date and lot come from the pack, and FOOD may be
    left out once a pack with that number was opened. A best-before date is quality:
    it is shown, and never taken for a use-by date.

    \b
    Example:
      lidclock open "pickled radish" --category pickles-opened --place Fridge
      lidclock open tofu --category tofu --symbol '(01)09501101530003(17)261231'
    """
    from lidclock.app import prep as app
    from lidclock.app import printing

    facts = cut_food_facts(options)
    if "category" in facts:
        facts.setdefault("made_by", "maker")
    with desk.session() as session:
        use_by = day_of(session, options["use_by"])
        pack = _facts(session, options["symbol"], use_by, options["lot"])
        what = food_or_name(session, _name(session, food, pack), facts)
        opened_at = time_of(session, options["opened"])
        place = session.place(options["place"]) if options["place"] else None
        name = options["printer"]
        printer = None if name is None else printing.printer_for(session, name)
        with session.write() as unit:
            filled = app.open_pack(
                unit,
                what,
                mass_g=options["mass"],
                maker_use_by=pack.use_by if pack else use_by,
                opened_at=opened_at,
                place=place,
                lot=pack.lot if pack else options["lot"],
                gtin=pack.gtin if pack else "",
                maker=options["maker"],
            )
            drawn = draw_filled(unit, filled, printer) if printer else None
        said = [f"on the pack: {pack.words}"] if pack else []
        hint = [] if printer else [_label_hint(filled.codes[0])]
        echo_lines([*filled_lines(filled), *said, *hint])
        if printer is not None and drawn is not None:
            spare = free_path(f"label-{filled.codes[0]}", Path())
            print_or_keep(session, drawn, printer, checked=True, copy=None, spare=spare)


def _facts(
    session: Session, symbol: str | None, use_by: date | None, lot: str
) -> MakersFacts | None:
    """What the symbol says, with the date and lot that were typed beside it."""
    if symbol is None:
        return None
    from lidclock.app.finding import makers_facts

    text = sys.stdin.readline() if symbol == "-" else symbol
    return makers_facts(session, text, use_by=use_by, lot=lot)


def _name(session: Session, food: str | None, pack: MakersFacts | None) -> str:
    """The food that was named, or the one that this number was last opened as."""
    if food is not None:
        return food
    if pack is None:
        raise click.UsageError("name the FOOD, or give --symbol")
    from lidclock.app.finding import food_of_pack

    return food_of_pack(session, pack)


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
    from lidclock.app import prep as app
    from lidclock.app.remarks import lid_remark

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
        remark = lid_remark(filled.views[0])
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
