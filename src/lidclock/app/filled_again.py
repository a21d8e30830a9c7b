"""The same filled once more within minutes: most likely one form that came twice."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from lidclock.app.session import Unit
from lidclock.app.verdict_words import say_when
from lidclock.domain.events import Event
from lidclock.domain.sentences import sentences
from lidclock.errors import FilledAgainError

# Our choice: longer than going back and tapping takes, shorter than the next batch.
SHORTLY = timedelta(minutes=10)


def refuse_again(unit: Unit, food: str, masses: Sequence[float | None]) -> None:
    """FilledAgainError where as many containers of as much were filled just now.

    Those that were taken back do not count, nor those that were there before: of them
    several alike are taken in one after another.
    """
    recorded = unit.ledger.recorded_since(unit.session.now - SHORTLY, "filled")
    acts: dict[str, list[Event]] = {}
    for event in unit.ledger.standing(recorded):
        if not event.body.get("adopted"):
            acts.setdefault(event.act, []).append(event)
    for act, filled in acts.items():
        known = unit.snapshots.get(filled[0].subject)
        if known is None or known.food.casefold() != food.casefold():
            continue
        if sorted(_mass(x.body.get("mass_g")) for x in filled) == sorted(
            map(_mass, masses)
        ):
            raise FilledAgainError(_words(unit, food, filled), act)


def _mass(mass_g: float | None) -> float:
    """A mass to compare by; none is alike."""
    return -1.0 if mass_g is None else mass_g


def _words(unit: Unit, food: str, filled: Sequence[Event]) -> str:
    return sentences(
        "{food}: {count} container with the same in it was filled on {when} already",
        "{food}: {count} containers with the same in them were filled on {when} "
        "already",
        len(filled),
        food=food,
        when=say_when(filled[0].recorded_at, unit.session.kitchen.zone),
    )
