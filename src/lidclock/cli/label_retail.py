"""`label retail`: labels for food that is sold or handed on."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_lines, gathered
from lidclock.cli.pack import day_of
from lidclock.cli.show import plural, prefixed

if TYPE_CHECKING:
    from lidclock.app.retail import RetailSheet


@click.command()
@click.argument("words", metavar="[CODE]...", nargs=-1)
@click.option("--batch", type=int, metavar="N", help="All containers of batch N.")
@click.option(
    "--under",
    required=True,
    metavar="RULES",
    help="Whose rules: eu, gb, us, ca, au, nz.",
)
@click.option("--net", default="", metavar="MASS", help="Net quantity. [as recorded]")
@click.option(
    "--maker",
    default="",
    envvar="LIDCLOCK_MAKER",
    metavar="NAME",
    help="Who made it. [env: LIDCLOCK_MAKER, else the kitchen's name]",
)
@click.option(
    "--maker-address",
    "address",
    default="",
    envvar="LIDCLOCK_MAKER_ADDRESS",
    metavar="ADDRESS",
    help="And where. [env: LIDCLOCK_MAKER_ADDRESS]",
)
@click.option("--lot", default="", help="The lot. [as recorded]")
@click.option(
    "--best-before",
    metavar="DATE",
    help="The kitchen's own date for frozen food, e.g. '31 Jan 2027'.",
)
@click.option(
    "--statement",
    "statements",
    multiple=True,
    metavar="NAME",
    help="A fixed statement, e.g. california-cottage; repeat it.",
)
@click.option(
    "--largest-face",
    type=float,
    metavar="CM2",
    help="Area of the pack's largest face, for the least size of type.",
)
@click.option("--stock", metavar="NAME", help="Label stock. [the kitchen's]")
@click.option(
    "--start",
    type=click.IntRange(1),
    default=1,
    show_default=True,
    metavar="N",
    help="The first free label on the sheet.",
)
@click.option("--no-verify", is_flag=True, help="Do not read the symbols back.")
@click.option(
    "--out",
    required=True,
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE.pdf",
    help="Where to write the sheet.",
)
@pass_desk
def retail(desk: Desk, words: tuple[str, ...], **options: Any) -> None:
    """Write labels for sale: ingredients by weight, allergens emphasised.

    Help with labels, not legal advice: your authority decides. What is printed, how
    small it may get and where that comes from stands in docs/retail-labels.md.

    \b
    Example:
      lidclock label retail 4F7 K2M0 --under eu --stock a4-2x4 --out tart.pdf \\
        --maker "The Example Kitchen" --maker-address "1 Example Street, Anytown"
    """
    from lidclock.app import lids
    from lidclock.app import retail as app

    with desk.session() as session, session.write() as unit:
        order = app.Order(
            under=options["under"],
            net=options["net"],
            maker=options["maker"],
            address=options["address"],
            lot=options["lot"],
            statements=options["statements"],
            face_cm2=options["largest_face"],
            best_before=day_of(session, options["best_before"]),
        )
        sheet = app.print_retail(
            unit,
            lids.views_to_label(unit, gathered(words), batch=options["batch"]),
            options["out"],
            order,
            stock=options["stock"],
            start=options["start"],
            check=not options["no_verify"],
        )
    echo_lines(_lines(sheet, checked=not options["no_verify"]))
    click.echo(app.ADVICE)


def _lines(sheet: RetailSheet, *, checked: bool) -> list[str]:
    """Where the labels are, what did not read back, what was left out, what to know."""
    what = f"{plural(sheet.count, 'label')}, {plural(sheet.pages, 'page')}"
    verdict = "symbols not read back (--no-verify)"
    if checked:
        verdict = "every symbol read back"
        if sheet.findings:
            verdict = f"{plural(len(sheet.findings), 'symbol')} did not read back:"
    return [
        f"labels: {sheet.path} ({what}); {verdict}",
        *(f"  {finding}" for finding in sheet.findings),
        *(
            f"no room for the {part} on {plural(count, 'label')}"
            for part, count in Counter(sheet.dropped).items()
        ),
        *prefixed("warning", sheet.warnings),
        *prefixed("note", sheet.notes),
    ]
