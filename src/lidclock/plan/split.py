"""Whole grams over containers: shares in proportion whose sum is the total."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction


def split_whole(total_g: int, weights: Sequence[Fraction]) -> tuple[int, ...]:
    """Shares of `total_g` whole grams, in proportion to `weights`, that add up to it.

    Largest remainder: each gets the whole grams of its exact share; what is left goes
    gram by gram to the largest fractions, the earlier of equal ones first. So each
    share is less than a gram from the exact one. ValueError for no weights, a weight
    that is not above zero, or a negative total.
    """
    if total_g < 0 or not weights or min(weights) <= 0:
        raise ValueError(f"cannot split {total_g} g in proportion to {weights}")
    whole = sum(weights, Fraction(0))
    exact = [total_g * weight / whole for weight in weights]
    shares = [int(one) for one in exact]
    left = total_g - sum(shares)
    order = sorted(
        range(len(shares)), key=lambda at: shares[at] - exact[at]
    )  # stable: equal fractions keep their order
    for at in order[:left]:
        shares[at] += 1
    return tuple(shares)
