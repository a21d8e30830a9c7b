"""`list`: what is where."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

import click

from lidclock.app.instants import to_second
from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import echo_json, echo_lines, food_option, json_option
from lidclock.cli.show import (
    columns,
    listed_json,
    listed_row,
    mass,
    missing_lines,
    plural,
    unmarked_reason,
    unmarked_row,
)
from lidclock.domain.kitchens import STATES

if TYPE_CHECKING:
    from lidclock.app.lists import Listed, Stocked
    from lidclock.app.session import Session


@click.command("list")
@click.option("--place", metavar="NAME", help="Only this place.")
@food_option
@click.option("--state", type=click.Choice(STATES), help="Only places of this kind.")
@json_option
@pass_desk
def list_stock(
    desk: Desk, place: str | None, food: str | None, state: str | None, as_json: bool
) -> None:
    """List what is where, with counts and grams; then what is unmarked.

    \b
    Example:
      lidclock list --state freezer
    """
    from lidclock.app import lists

    with desk.session() as session:
        found = lists.stocked(session, place=place, food=food, state=state)
        if as_json:
            echo_json(_stock_json(found, session))
        else:
            echo_lines(stock_lines(found))


def stock_lines(found: Stocked) -> list[str]:
    """Places with their containers, then those without a place."""
    if not found.containers and not found.missing:
        return ["nothing here"]
    lines: list[str] = []
    for place in dict.fromkeys(one.container.place for one in found.containers):
        here = [one for one in found.containers if one.container.place == place]
        if place:
            lines += [place, *_totals(found, place)]
            lines += columns([listed_row(one) for one in here], indent=4)
    return lines + _unmarked(found.containers) + missing_lines(found.missing)


def _totals(found: Stocked, place: str) -> list[str]:
    return [
        f"  {total.food}: {plural(total.count, 'container')}"
        + (f", {mass(total.mass_g)}" if total.mass_g is not None else ", not weighed")
        for total in found.totals
        if total.place == place
    ]


def _unmarked(containers: tuple[Listed, ...]) -> list[str]:
    """`4 labelled, no place`, then each of them."""
    unmarked = [one for one in containers if one.container.is_unmarked]
    if not unmarked:
        return []
    counts = Counter(
        ("labelled" if one.container.is_labelled else "not labelled")
        + f", {unmarked_reason(one.container)}"
        for one in unmarked
    )
    rows = [unmarked_row(one) for one in unmarked]
    return [
        "unmarked",
        *(f"  {count} {what}" for what, count in counts.items()),
        *columns(rows, indent=4),
    ]


def _stock_json(found: Stocked, session: Session) -> dict[str, Any]:
    zone = session.kitchen.zone
    return {
        "now": to_second(session.now, zone),
        "containers": [listed_json(one, zone) for one in found.containers],
        "missing": [listed_json(one, zone) for one in found.missing],
        "totals": [
            {
                "place": total.place or None,
                "food": total.food,
                "count": total.count,
                "mass_g": total.mass_g,
            }
            for total in found.totals
        ],
    }
