"""Repeated amounts: up to what is enough, less what is there and will not spoil."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from lidclock.plan.demand import SAME, Demand

# Chances that move no expected portion anybody could notice.
_NEGLIGIBLE = 1e-15


def to_make(
    demand: Demand, share: float, usable: int = 0, outdating: float = 0.0
) -> int:
    """How many to make so that they last the cover time with probability `share`.

    max(0, quantile(D) - (usable - outdating)), rounded up to whole portions: `demand`
    is that of the cover time, `usable` what there is and may still be eaten, and
    `outdating` how many of those are expected to pass their last moment first. That an
    order-up-to level is corrected for the expected waste is the idea of Pauls-Worm et
    al. (2013).
    """
    wanted = demand.quantile(share) - (usable - outdating)
    return max(0, math.ceil(wanted - SAME * max(1.0, abs(wanted))))


def to_order(
    use_per_day: Fraction,
    lead_days: Fraction,
    review_days: Fraction,
    on_hand: Fraction,
) -> Fraction:
    """The order form of the trade: (lead + review) x use - on hand, never below none.

    What is promised beside the use of each day is taken off what is on hand, which may
    then be below nothing. It orders up to the average: half the time that is too
    little. `to_make` does not.
    """
    return max(Fraction(0), (lead_days + review_days) * use_per_day - on_hand)


@dataclass(frozen=True, slots=True)
class Step:
    """`expiring` portions pass their last moment; `demand` came since the last step."""

    expiring: int
    demand: Demand


def expected_outdating(steps: Sequence[Step]) -> float:
    """How many of what there is pass their last moment unwanted, on average.

    The oldest goes first and what nobody can serve is lost. Let x be how many are gone,
    eaten or past, and N how many pass their last moment by a step: then x becomes
    max(x + D, N), and max(0, N - x - D) of them are wasted. The chances of each x are
    carried along, so the answer is exact for independent demands.
    """
    total = sum(step.expiring for step in steps)
    chances = {0: 1.0}
    past, wasted = 0, 0.0
    for step in steps:
        past += step.expiring
        for gone, chance in chances.items():
            wasted += chance * step.demand.expected_left(past - gone)
        chances = _after(chances, step.demand, past, total)
    return wasted


def _after(
    chances: dict[int, float], demand: Demand, past: int, total: int
) -> dict[int, float]:
    """The chances of how many are gone after a step: at least those that are past."""
    after = dict.fromkeys(range(past, total + 1), 0.0)
    for gone, chance in chances.items():
        if past == total:
            after[past] += chance
            continue
        after[past] += chance * demand.at_most(past - gone)
        after[total] += chance * demand.at_least(total - gone)
        first = max(past - gone + 1, demand.first)
        beyond = min(total - gone, demand.first + len(demand.odds))
        for number in range(first, beyond):
            after[gone + number] += chance * demand.odds[number - demand.first]
    return {gone: chance for gone, chance in after.items() if chance > _NEGLIGIBLE}


@dataclass(frozen=True, slots=True)
class Option:
    """What happens if so many are made: the odds of running short, and what is left."""

    make: int
    short_odds: float
    short: float
    left: float


def options(
    demand: Demand, make: int, usable: int = 0, outdating: float = 0.0
) -> tuple[Option, ...]:
    """One fewer, as many as that, and one more: what each trades against the others.

    What is expected to pass its last moment is taken off what there is, in whole
    portions, rounded up.
    """
    there = usable - math.ceil(outdating - SAME)
    return tuple(
        Option(
            make=number,
            short_odds=demand.at_least(there + number + 1),
            short=demand.expected_short(there + number),
            left=demand.expected_left(there + number),
        )
        for number in (make - 1, make, make + 1)
        if number >= 0
    )
