"""What people do with the same stock: nothing, a list, proposals that they accept.

Written down before any policy was run.
"""

from __future__ import annotations

from dataclasses import dataclass

from simulation.kitchen import USE_UP_DAYS


@dataclass(frozen=True, slots=True)
class Policy:
    """How a kitchen decides; `obeys` is the chance of doing what one is told.

    `has_order` tells which container to take, `has_freezing` what to freeze today,
    `use_up_days` on which weekdays a planned dinner is proposed. `has_foresight` knows
    who will eat what: it freezes what would be thrown away and nothing else.
    """

    name: str
    obeys: float = 1.0
    has_order: bool = False
    has_freezing: bool = False
    use_up_days: tuple[int, ...] = ()
    has_foresight: bool = False


NOTHING = Policy("nothing")
LIST = Policy("a list only, obeyed 8 times of 10", 0.8, has_order=True)


def proposals(obeys: float, name: str = "") -> Policy:
    """Proposals of which the share `obeys` is accepted."""
    said = name or f"proposals, {round(obeys * 10)} of 10 accepted"
    return Policy(
        said, obeys, has_order=True, has_freezing=True, use_up_days=USE_UP_DAYS
    )


HALF, MOST, ALL = (
    proposals(0.5),
    proposals(0.8),
    proposals(1.0, "proposals, all accepted"),
)
FORESIGHT = Policy(
    "foresight: freezes what would be wasted", has_order=True, has_foresight=True
)
POLICIES = (NOTHING, LIST, HALF, MOST, ALL, FORESIGHT)

# How many meals at which a food was there the kitchen must have on record before
# anything is said of its demand.
KNOWN_MEALS = 6
SEEDS = 200
