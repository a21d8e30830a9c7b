"""The shelf: what is where, drawn as lids; what lacks a mark stands first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from lidclock.app.lid import Lid, lids_of
from lidclock.app.lists import Listed, stocked
from lidclock.app.session import Session
from lidclock.domain.codes import normalise

UNMARKED, MISSING = "unmarked", "missing"


@dataclass(frozen=True, slots=True)
class Shelf:
    """A group of lids: a place with its state, or what is `unmarked` or `missing`."""

    name: str
    state: str
    lids: tuple[tuple[Listed, Lid], ...]


def shelves(session: Session, wanted: str = "") -> list[Shelf]:
    """Groups that have something in them: unmarked, then places in the kitchen's order.

    Missing ones come last. `wanted` is a part of a food's name or the beginning of a
    code; empty is everything.
    """
    found = stocked(session)
    fitting = [one for one in found.containers if _fits(one, wanted)]
    missing = [one for one in found.missing if _fits(one, wanted)]
    groups: dict[str, list[Listed]] = {place.name: [] for place in session.places}
    unmarked: list[Listed] = []
    for one in fitting:
        known = one.container
        group = groups.setdefault(known.place, []) if known.place else unmarked
        (unmarked if known.is_unmarked else group).append(one)
    states = {place.name: place.state for place in session.places}
    drawn = _drawn(session, [*fitting, *missing])

    def shelf(name: str, state: str, group: Iterable[Listed]) -> Shelf:
        return Shelf(name, state, tuple((x, drawn[x.container.code]) for x in group))

    every = [
        shelf("", UNMARKED, unmarked),
        *(shelf(name, states.get(name, ""), group) for name, group in groups.items()),
        shelf("", MISSING, missing),
    ]
    return [one for one in every if one.lids]


def _drawn(session: Session, listed: list[Listed]) -> dict[str, Lid]:
    with session.read() as unit:
        lids = lids_of(unit, listed)
    return {one.container.code: lid for one, lid in zip(listed, lids, strict=True)}


def _fits(one: Listed, wanted: str) -> bool:
    text = " ".join(wanted.split())
    is_food = text.casefold() in one.container.food.casefold()
    return is_food or one.container.code.startswith(normalise(text) or "-")
