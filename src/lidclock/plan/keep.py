"""Freeze now: how many of the portions at hand to keep for those who may want them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from lidclock.plan.demand import SAME, Demand


@dataclass(frozen=True, slots=True)
class Kept:
    """How many stay and how many are frozen, with the odds behind it.

    `odds[s - 1]` is the probability that the s-th portion is wanted before the last
    moment, `left[s - 1]` how many nobody wants on average if s stay. `wanted` is the
    least probability at which one stays; `expected_left` is that of those that stay.
    """

    keep: int
    freeze: int
    odds: tuple[float, ...]
    left: tuple[float, ...]
    wanted: float
    expected_left: float


def keep(portions: int, demand: Demand, worth: float, freezing: float) -> Kept:
    """Keep the s-th of `portions` while P(D >= s) >= 1 - freezing/worth.

    `worth` is what a wasted portion costs and `freezing` what freezing and thawing one
    costs, in the same money: keeping one risks worth x (1 - P), freezing it costs
    `freezing` for certain. It is the newsvendor's rule on what is already made.
    Where freezing costs as much as waste, or waste costs nothing, all stay. Raises
    ValueError where a number is negative or none.
    """
    if portions < 0:
        raise ValueError(f"portions cannot be {portions}")
    for cost in (worth, freezing):
        if not (math.isfinite(cost) and cost >= 0):
            raise ValueError(f"a cost is a number from 0 on, not {cost}")
    wanted = 0.0 if freezing >= worth else 1 - freezing / worth
    odds = tuple(demand.at_least(number) for number in range(1, portions + 1))
    left = tuple(demand.expected_left(number) for number in range(1, portions + 1))
    # The odds only fall, so the first portion below the line ends it.
    stay = sum(1 for one in odds if one >= wanted - SAME)
    return Kept(
        keep=stay,
        freeze=portions - stay,
        odds=odds,
        left=left,
        wanted=wanted,
        expected_left=demand.expected_left(stay),
    )
