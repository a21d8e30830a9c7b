"""Whose cooling log an entry is for: a batch's, or one container's."""

from __future__ import annotations

from dataclasses import dataclass

from lidclock.app.session import Unit
from lidclock.domain.codes import is_code, normalise, spaced
from lidclock.domain.phrases import boxed
from lidclock.domain.sentences import figure, sentence
from lidclock.domain.snapshots import Snapshot
from lidclock.errors import RefusedError, UnknownThingError

# Batch numbers are short; a code has seven symbols.
_LONGEST_NUMBER = 6


@dataclass(frozen=True, slots=True)
class Target:
    """A batch, or one container: whose log it is, and what is in it."""

    subject: str
    containers: tuple[Snapshot, ...]
    batch_number: int | None = None

    @property
    def name(self) -> str:
        """`batch 7 (bean stew)`, or the code and the food."""
        food = self.containers[0].food
        if self.batch_number is not None:
            batch = sentence("batch {number}", number=figure(self.batch_number))
            return boxed(batch, food)
        return f"{spaced(self.containers[0].code)} ({food})"


def target_of(unit: Unit, typed: str) -> Target:
    """The batch of that number, or the container of that code."""
    text = typed.strip().removeprefix("#")
    is_number = text.isdecimal() and len(text) <= _LONGEST_NUMBER
    if not is_number or is_code(normalise(text)):
        known = unit.find(typed)
        return Target(known.code, (known,))
    batch = unit.snapshots.batch(int(text))
    if batch is None:
        fact = sentence("no batch {number} in this kitchen", number=figure(int(text)))
        raise UnknownThingError(
            f"{fact}; `lidclock list --json` gives the batch of every container, and a "
            "code names one of them",
            fact,
        )
    members = unit.snapshots.find(batch=batch.number, live=False)
    ids = {one.batch_id for one in members}
    if len(ids) > 1:
        raise RefusedError(
            sentence(
                "two devices gave out the number {number}: name the containers by "
                "their codes",
                number=figure(batch.number),
            )
        )
    live = tuple(one for one in members if one.is_live)
    if not live:
        raise RefusedError(
            sentence(
                "nothing is left of batch {number} ({food}): there is nothing to cool",
                number=figure(batch.number),
                food=batch.food,
            )
        )
    return Target(batch.id, live, batch.number)
