"""What may be corrected of a container on its page."""

from __future__ import annotations

from dataclasses import dataclass

from lidclock.app.session import View
from lidclock.clock.unknowns import NO_MAKING_TIME


@dataclass(frozen=True, slots=True)
class Amends:
    """Which facts are its own, to be corrected.

    `together` are the containers that a making time moves. `is_wanted` tells that its
    last day hangs on a time that nobody recorded.
    """

    made: bool
    placed: bool
    mass: bool
    together: int
    is_wanted: bool

    @property
    def is_any(self) -> bool:
        """Whether there is anything to offer."""
        return self.made or self.placed or self.mass


def amends_of(view: View, early: str) -> Amends:
    """What a page offers; what came from another container is corrected there.

    `early` is what `early_end_words` says of it.

    A pack that was opened counts from then and has no making time here.
    """
    container = view.container
    batch = view.inventory.batches.get(container.batch or "")
    is_own = not container.parent and container.mixed_at is None
    is_pack = view.food.made_by == "maker" and container.opened_at is not None
    lacks_made = NO_MAKING_TIME in view.verdict.blockers
    return Amends(
        made=is_own and not is_pack,
        placed=container.is_placed,
        mass=is_own,
        together=batch.count if batch is not None else 1,
        is_wanted=bool(lacks_made or early),
    )
