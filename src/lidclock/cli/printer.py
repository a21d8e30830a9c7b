"""`printer add`, `printer list`, `printer test`, `printer remove`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_json, echo_lines, json_option
from lidclock.cli.show import columns, offset_words
from lidclock.errors import PrinterError

if TYPE_CHECKING:
    from lidclock.app.printing import Printer, Standing


@click.group()
def printer() -> None:
    """Printers of this kitchen: what labels come out of."""


@printer.command("add")
@click.argument("name")
@click.argument("address")
@click.option("--stock", metavar="NAME", help="What lies in it. [the kitchen's stock]")
@click.option(
    "--default",
    "is_default",
    is_flag=True,
    help="Labels of this stock go there, at `prep` by themselves.",
)
@pass_desk
def add(
    desk: Desk, name: str, address: str, stock: str | None, is_default: bool
) -> None:
    """Add a printer by its ADDRESS: ipp://HOST/PATH, ipps://HOST/PATH or cups:QUEUE.

    \b
    Example:
      lidclock printer add Bench ipp://192.0.2.7/ipp/print --stock roll-50x25 --default
    """
    from lidclock.app import printing

    with desk.session() as session:
        made = printing.add_printer(
            session, name, address, stock=stock, is_default=is_default
        )
    default = ", the default for it" if made.is_default else ""
    click.echo(f"added: {made.name} ({made.address}), {made.stock}{default}")
    click.echo(_how_it_is(printing.look_at(made)))


@printer.command("list")
@json_option
@pass_desk
def list_(desk: Desk, as_json: bool) -> None:
    """List the printers, each asked how it is and what lies in it.

    \b
    Example:
      lidclock printer list
    """
    from lidclock.app import printing

    with desk.session() as session:
        found = printing.list_printers(session)
    if as_json:
        echo_json([_json(one) for one in found])
    elif found:
        echo_lines(columns([_row(one) for one in found]))
    else:
        click.echo("no printers yet: add one with `lidclock printer add NAME ADDRESS`")
        if queues := printing.list_queues():
            click.echo(f"queues on this computer: {', '.join(queues)}")


@printer.command()
@click.argument("name")
@pass_desk
def test(desk: Desk, name: str) -> None:
    """Print one label that says it is a test, and wait until it is out.

    \b
    Example:
      lidclock printer test Bench
    """
    from lidclock.app import printing

    with desk.session() as session:
        report = printing.test_printer(session, name, tell=click.echo)
        known = printing.find_printer(session, name)
    if not report.is_printed:
        raise PrinterError(report.message)
    click.echo(
        f"printed: a test label on {known.name} ({known.stock}), job {report.job_id}; "
        "scan it: it names no container"
    )


@printer.command()
@click.argument("name")
@pass_desk
def remove(desk: Desk, name: str) -> None:
    """Forget a printer.

    \b
    Example:
      lidclock printer remove Bench
    """
    from lidclock.app import printing

    with desk.session() as session:
        gone = printing.remove_printer(session, name)
    click.echo(f"removed: {gone.name} ({gone.address})")


def _row(one: Standing) -> list[str]:
    return [
        one.printer.name,
        one.printer.address,
        one.printer.stock,
        "default" if one.printer.is_default else "",
        _offset(one.printer),
        _how_it_is(one),
    ]


def _offset(known: Printer) -> str:
    """`prints 1.5 mm right, 0.5 mm up`, where it was told to."""
    words = offset_words(known.offset_mm)
    return f"prints {words}" if words else ""


def _how_it_is(one: Standing) -> str:
    """`idle, loaded 50.8 x 25.4 mm`, its reasons, or why it says nothing."""
    if one.facts is None:
        return f"no answer: {one.problem}"
    loaded = ", ".join(map(str, one.facts.loaded))
    return ", ".join(
        part
        for part in (
            one.facts.state,
            *_reasons(one),
            "" if one.facts.is_accepting else "takes no jobs",
            f"loaded {loaded}" if loaded else "",
        )
        if part
    )


def _reasons(one: Standing) -> list[str]:
    """The printer's own reason words, without the one for none."""
    reasons = one.facts.reasons if one.facts else ()
    return [reason for reason in reasons if reason != "none"]


def _json(one: Standing) -> dict[str, Any]:
    known, facts = one.printer, one.facts
    return {
        **_known_json(known),
        "state": facts.state if facts else None,
        "reasons": _reasons(one),
        "loaded": [str(offer) for offer in facts.loaded] if facts else [],
        "accepting": facts.is_accepting if facts else None,
        "problem": one.problem or None,
    }


def _known_json(known: Printer) -> dict[str, Any]:
    return {
        "name": known.name,
        "address": known.address,
        "stock": known.stock,
        "default": known.is_default,
        "offset_mm": list(known.offset_mm),
    }
