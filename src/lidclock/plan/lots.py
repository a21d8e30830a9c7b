"""What there is to allot: containers as so many portions, each with its last moment."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

# A container weighed a little short of its portions still holds them; our choice.
_SHORT_OF_A_PORTION = 0.1


@dataclass(frozen=True, slots=True)
class Lot:
    """One container: `portions` of `food` (casefolded), usable before `last_moment`.

    `ready_at` is from when it can be eaten, None for now. `last_moment=None` is one
    that is frozen: it waits. `mass_g` is None where nobody weighed it. `box` is its
    number in its batch.
    """

    code: str
    food: str
    portions: int
    last_moment: datetime | None
    ready_at: datetime | None = None
    opened_at: datetime | None = None
    made_at: datetime | None = None
    mass_g: float | None = None
    box: int = 0


def portions_in(mass_g: float | None, portion_g: float | None) -> int:
    """How many whole portions a container holds; one where that cannot be told.

    One that is weighed up to a tenth of a portion short counts as full.
    """
    if mass_g is None or portion_g is None or portion_g <= 0:
        return 1
    return max(1, int(mass_g / portion_g + _SHORT_OF_A_PORTION))
