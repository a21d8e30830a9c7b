"""What the scale says after filling: of the whole batch, and of single boxes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lidclock.app.filling import filled_in
from lidclock.app.session import Fact, Session, Unit, View
from lidclock.domain.events import Event, in_order
from lidclock.domain.fold import corrected
from lidclock.domain.masses import HEAVIEST_CONTAINER_G, checked_mass, split_mass
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError, RefusedError, UnknownThingError


@dataclass(frozen=True, slots=True)
class Weighed:
    """The containers as they stand, and the act; no act where nothing was new."""

    views: tuple[View, ...]
    act: str = ""


def left_over(views: Sequence[View]) -> float | None:
    """Grams of the batch that are in no container; below zero: more than was made.

    None where the batch or one of its containers was not weighed.
    """
    first = views[0]
    batch = first.inventory.batches.get(first.container.batch or "")
    masses = [view.container.filled_g for view in views]
    if batch is None or batch.total_g is None or None in masses:
        return None
    return round(batch.total_g - sum(mass or 0.0 for mass in masses), 1)


def weigh(
    session: Session,
    act: str,
    *,
    total_g: float | None = None,
    each_g: Mapping[str, float] | None = None,
) -> Weighed:
    """Correct what the containers that `act` filled hold, by what a scale says.

    A total is divided over all of them in whole grams; what was typed of a single one
    then counts for that one. UnknownThingError where `act` filled nothing.
    """
    each_g = each_g or {}
    if total_g is None and not each_g:
        raise InputError(sentence("say what the scale shows, in all or of a box"))
    with session.write() as unit:
        # Read while nobody else can correct it, so that nothing is said twice.
        views = filled_in(session, act)
        if each_g.keys() - {view.code for view in views}:
            raise UnknownThingError(sentence("that container is not of this batch"))
        facts = [
            *_total(unit, views[0], total_g),
            *_masses(views, _wanted(views, total_g, each_g)),
        ]
        done = unit.record(facts)[0].act if facts else ""
        return Weighed(tuple(unit.view(view.code) for view in views), done)


def _wanted(
    views: Sequence[View], total_g: float | None, each_g: Mapping[str, float]
) -> dict[str, float]:
    wanted: dict[str, float] = {}
    if total_g is not None:
        shares = split_mass(checked_mass(total_g), len(views))
        wanted = {view.code: mass for view, mass in zip(views, shares, strict=True)}
    wanted.update(each_g)
    return {
        code: checked_mass(mass, HEAVIEST_CONTAINER_G) for code, mass in wanted.items()
    }


def _total(unit: Unit, first: View, total_g: float | None) -> list[Fact]:
    batch = first.inventory.batches.get(first.container.batch or "")
    if total_g is None or (batch is not None and batch.total_g == total_g):
        return []
    made = unit.ledger.get(batch.id) if batch is not None else None
    if made is None:
        raise RefusedError(sentence("this was no batch: weigh the container alone"))
    return [_set(made, {"total_g": checked_mass(total_g)})]


def _masses(views: Sequence[View], wanted: Mapping[str, float]) -> list[Fact]:
    return [
        _set(_filled(view), {"mass_g": wanted[view.code]})
        for view in views
        if view.code in wanted and view.container.filled_g != wanted[view.code]
    ]


def _filled(view: View) -> Event:
    found = [
        event
        for event in in_order(corrected(view.events))
        if event.kind == "filled" and event.subject == view.code
    ]
    return found[-1]


def _set(event: Event, change: Mapping[str, float]) -> Fact:
    return Fact("corrected", event.subject, {"event": event.id, "set": dict(change)})
