"""What people do with the same stock: nothing, a list, proposals that they accept.

Written down before any policy was run.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from simulation.kitchen import USE_UP_DAYS


@dataclass(frozen=True, slots=True)
class Policy:
    """How a kitchen decides; `obeys` is the chance of doing what one is told.

    `has_order` tells which container to take, `has_freezing` what to freeze today,
    `use_up_days` on which weekdays a planned dinner is proposed.
    `has_making` proposes how many portions to make. `has_steering` has those who obey
    take, of the foods they like, the one that ends first.
    """

    name: str
    obeys: float = 1.0
    has_order: bool = False
    has_freezing: bool = False
    use_up_days: tuple[int, ...] = ()
    has_making: bool = False
    has_steering: bool = False


NOTHING = Policy("nothing")
LIST = Policy("a list only, 8 of 10 followed", 0.8, has_order=True)


def proposals(obeys: float) -> Policy:
    """Proposals of which the share `obeys` is accepted."""
    return Policy(
        f"proposals, {round(obeys * 10)} of 10 accepted",
        obeys,
        has_order=True,
        has_freezing=True,
        use_up_days=USE_UP_DAYS,
    )


HALF, MOST, ALL = proposals(0.5), proposals(0.8), proposals(1.0)
MAKING = replace(MOST, name="proposals and amounts, 8 of 10", has_making=True)
POLICIES = (NOTHING, LIST, HALF, MOST, ALL, MAKING)

# On how many days a food must have been there before anything is said of its demand.
KNOWN_DAYS = 3
SEEDS = 200
# For kitchens that are a little other, to be done sooner.
FEWER_SEEDS = 100
