"""`find`: a container whose lid cannot be read."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from lidclock.app.instants import to_second
from lidclock.cli.desk import Desk, pass_desk
from lidclock.cli.options import MASS, echo_json, echo_lines, food_option, json_option
from lidclock.cli.show import (
    box,
    columns,
    listed_json,
    listed_words,
    mass,
    say_when,
)
from lidclock.domain.codes import spaced
from lidclock.errors import RefusedError, UnknownThingError

if TYPE_CHECKING:
    from lidclock.app.finding import Found
    from lidclock.app.lists import Listed
    from lidclock.app.session import Session

_TOLD = ("code", "food", "batch", "box", "mass", "place", "making time", "date")


@click.command()
@click.argument("words", metavar="[WORDS]...", nargs=-1)
@food_option
@click.option("--batch", type=int, metavar="N", help="It is of batch N.")
@click.option("--mass", type=MASS, metavar="MASS", help="What it holds, within 10 g.")
@click.option("--place", metavar="NAME", help="Where it is.")
@json_option
@pass_desk
def find(desk: Desk, words: tuple[str, ...], as_json: bool, **known: Any) -> None:
    """Find a container whose lid cannot be read; of two that fit, none is guessed.

    WORDS are words of the food's name, or the code with ? for each symbol that cannot
    be read. What nobody recorded (a mass, a place) rules no container out.

    \b
    Example:
      lidclock find '4F7 ?2M0'
      lidclock find stew --mass 240g --place Freezer
    """
    from lidclock.app import finding

    known["mass_g"] = known.pop("mass")
    with desk.session() as session:
        found = finding.find(session, finding.wanted(session, words, **known))
        if as_json:
            echo_json(_found_json(found, session))
        elif len(found.fitting) == 1:
            _show(found.fitting[0], session)
        else:
            rows = [_cells(one) for one in found.fitting or found.nearest]
            echo_lines(columns(rows))
    _refuse_all_but_one(found)


def _show(one: Listed, session: Session) -> None:
    from lidclock.app import lists
    from lidclock.cli.detail import view_lines

    echo_lines(view_lines(lists.show(session, one.container.code), session))


def _refuse_all_but_one(found: Found) -> None:
    """Exit 13 where several fit, 11 where none does; the list is on the screen."""
    if len(found.fitting) > 1:
        raise RefusedError(
            f"{len(found.fitting)} containers fit{_apart(found.fitting)}: look which "
            f"it is, or say more{_until_known(found.fitting)}"
        )
    if not found.fitting:
        near = "; the nearest are listed" if found.nearest else ""
        codes = " or ".join(map(spaced, found.possible))
        only = f"; the code can only be {codes}" if codes else ""
        raise UnknownThingError(f"no container fits{only}{near or '; say less of it'}")


def _apart(fitting: tuple[Listed, ...]) -> str:
    """In what they differ, their codes left aside."""
    cells = list(zip(*map(_cells, fitting), strict=True))[1:]
    parts = [
        name
        for name, values in zip(_TOLD[1:], cells, strict=True)
        if len(set(values)) > 1
    ]
    return (
        f" and differ in {', '.join(parts)}" if parts else " and are alike but for code"
    )


def _until_known(fitting: tuple[Listed, ...]) -> str:
    """The earliest of their dates, which holds whichever of them it is."""
    ends = [one.container.last_moment for one in fitting]
    known = [end for end in ends if end is not None]
    if len(known) < len(ends):
        return ""
    first = fitting[ends.index(min(known))]
    return f"; until then take the earliest, {listed_words(first)}"


def _cells(listed: Listed) -> list[str]:
    """Everything by which people tell containers apart."""
    one = listed.container
    since = one.made_at or one.opened_at
    made = "made" if one.made_at else "opened"
    return [
        spaced(one.code),
        one.food,
        f"batch {one.batch_number}" if one.batch_number else "no batch",
        box(one.index, one.of),
        mass(one.mass_g) or "not weighed",
        one.place or ("no place" if one.is_live else one.end_kind),
        f"{made} {say_when(since, listed.zone)}" if since else "making time unknown",
        listed_words(listed),
    ]


def _found_json(found: Found, session: Session) -> dict[str, Any]:
    zone = session.kitchen.zone
    only = found.fitting[0].container.code if len(found.fitting) == 1 else None
    return {
        "now": to_second(session.now, zone),
        "code": only,
        "fitting": [listed_json(one, zone) for one in found.fitting],
        "nearest": [listed_json(one, zone) for one in found.nearest],
        "possible_codes": list(found.possible),
    }
