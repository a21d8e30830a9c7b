"""How a prediction unfolds along a history in legs: a band over time, and crossings."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from lidclock.kinetics.exposure import Exposure
from lidclock.kinetics.held import Held
from lidclock.kinetics.organisms import Organism
from lidclock.kinetics.predict import (
    LN10,
    QUICK,
    SLOW,
    Band,
    Conditions,
    factor_of,
    said_of_range,
)
from lidclock.kinetics.rates import Floats, RateLaw, floats, piece

LN2 = math.log(2.0)
# An increase of which no more was counted beyond a law's figures shows none of it in
# its printed digits. Our choice.
_LEAST_SHARE = 0.01
# A run is cut ten times into this many parts, as fine as 60 halvings: nothing of it is
# left in float64. Each cut is one question for many moments, which costs little more
# than one for a single moment.
_PARTS, _CUTS = 64, 10


@dataclass(frozen=True, slots=True, eq=False)
class Leg:
    """A stretch of a history, straight between its points; legs touch in time.

    Parameters
    ----------
    times_h : (n,) strictly rising, n >= 2  [h]
    temps_c : (n,)  [°C]
    is_cool : food that cools from the heat: judged by the stages of a guidance set,
        never by a model without a lag, so it counts nothing here
    """

    times_h: Floats
    temps_c: Floats
    is_cool: bool = False


@dataclass(frozen=True, slots=True)
class Ranged:
    """The law inside, within `low_c` to `high_c`; nothing beyond."""

    law: RateLaw
    low_c: float
    high_c: float

    @property
    def tmin_c(self) -> float:
        """Where the range begins, or the law does."""
        return max(self.low_c, self.law.tmin_c)

    @property
    def tmax_c(self) -> float:
        """Where the range ends, or the law does."""
        return min(self.high_c, self.law.tmax_c)

    @property
    def optimum_c(self) -> float:
        """As the law inside, kept to the range."""
        return min(max(self.law.optimum_c, self.low_c), self.high_c)

    def rate(self, temp_c: ArrayLike) -> Floats:
        """The rate at each temperature  [ln units per hour]."""
        temps = floats(temp_c)
        inside = (temps >= self.low_c) & (temps <= self.high_c)
        return np.where(inside, self.law.rate(temps), 0.0)

    def mean_rate(self, start_c: ArrayLike, end_c: ArrayLike) -> Floats:
        """The mean rate on straight runs of temperature."""
        start, end = np.broadcast_arrays(floats(start_c), floats(end_c))
        inside = piece(start, end, self.low_c, self.high_c)
        mean: Floats = self.law.mean_rate(inside.start, inside.end) * inside.share
        return mean


@dataclass(frozen=True, slots=True)
class Nothing:
    """No law: what is not for a model to judge counts nothing."""

    tmin_c: float = math.inf
    tmax_c: float = math.inf
    optimum_c: float = math.inf

    def rate(self, temp_c: ArrayLike) -> Floats:
        """Nothing at each temperature."""
        return np.zeros_like(floats(temp_c))

    def mean_rate(self, start_c: ArrayLike, end_c: ArrayLike) -> Floats:
        """Nothing on straight runs of temperature."""
        start, _ = np.broadcast_arrays(floats(start_c), floats(end_c))
        return np.zeros_like(start)


class _Running:
    """The exposure along all legs under one law, from the first instant on."""

    def __init__(self, legs: Sequence[Leg], law: RateLaw) -> None:
        self._parts = [
            Exposure(leg.times_h, leg.temps_c, Nothing() if leg.is_cool else law)
            for leg in legs
        ]
        self._before = np.cumsum([0.0, *(part.total for part in self._parts)])

    @property
    def total(self) -> float:
        """The exposure over all legs  [ln units]."""
        return float(self._before[-1])

    def at(self, moments_h: Floats) -> Floats:
        """The exposure up to each moment within the legs  [ln units]."""
        found = np.zeros(moments_h.shape)
        for part, before in zip(self._parts, self._before, strict=False):
            first, last = part.times_h[0], part.times_h[-1]
            here = np.clip(moments_h, first, last)
            reached = moments_h >= first
            so_far = part.between(np.full(here.shape, first), here)
            found[reached] = before + so_far[reached]
        return found

    def when(self, wanted: float) -> float | None:
        """The first moment at which the exposure comes to `wanted`; None if never."""
        if not 0 < wanted <= self.total:
            return None
        leg = int(np.searchsorted(self._before, wanted, side="left")) - 1
        part, left = self._parts[leg], wanted - float(self._before[leg])
        times = part.times_h
        at_points = part.between(np.full(times.shape, times[0]), times)
        run = min(int(np.searchsorted(at_points, left, side="left")), times.size - 1)
        low, high = float(times[max(run - 1, 0)]), float(times[run])
        for _ in range(_CUTS):
            # The ends are known: the exposure comes to it after `low`, and by `high`.
            inner = np.linspace(low, high, _PARTS + 1)[1:-1]
            found = part.between(np.full(inner.shape, times[0]), inner)
            at = int(np.searchsorted(np.maximum.accumulate(found), left, side="left"))
            ends = low, *map(float, inner), high
            if (ends[at], ends[at + 1]) == (low, high):
                break
            low, high = ends[at], ends[at + 1]
        return high


class Unfolding:
    """What one organism's law makes of a history, moment after moment.

    Parameters
    ----------
    legs : at least one; each begins where the one before ends
    organism : the law, its range and its source
    under : pH and water activity; lag and ceiling are not credited here

    Raises
    ------
    ValueError
        If there are no legs, they do not touch, or as `Exposure` does.

    Notes
    -----
    Every leg is integrated as `Exposure` does it: in closed form for the square-root
    law. The edges of the band are those of `predict`: half the rate; and twice the
    rate, without credit for heat above the optimum.
    """

    def __init__(
        self, legs: Sequence[Leg], organism: Organism, under: Conditions
    ) -> None:
        if not legs:
            raise ValueError("a history needs at least one leg")
        for one, other in pairwise(legs):
            if one.times_h[-1] != other.times_h[0]:
                raise ValueError(
                    f"legs must touch: {one.times_h[-1]} h, then {other.times_h[0]} h"
                )
        self.legs = tuple(legs)
        self.organism = organism
        self.under = under
        self._factor, self._notes = factor_of(organism, under)
        self._law = _Running(legs, organism.law)
        self._held = _Running(legs, Held(organism.law))

    @property
    def total(self) -> Band:
        """The increase over the whole history  [log10]."""
        low, mid, high = self.band(floats([self.legs[-1].times_h[-1]]))
        return Band(float(low[0]), float(mid[0]), float(high[0]))

    def band(self, moments_h: Floats) -> tuple[Floats, Floats, Floats]:
        """The low, middle and high increase up to each moment  [log10]."""
        mid = self._law.at(moments_h) * self._factor / LN10
        held = self._held.at(moments_h) * self._factor / LN10
        return mid * SLOW, mid, np.maximum(held, mid) * QUICK

    def passes(self, doublings: float) -> tuple[float | None, float | None]:
        """When the high and the middle figure pass so many doublings  [h]."""
        if self._factor == 0:
            return None, None
        wanted = doublings * LN2 / self._factor
        return self.passes_at_most(doublings), self._law.when(wanted)

    def passes_at_most(self, doublings: float) -> float | None:
        """When the high figure passes so many doublings  [h]."""
        if self._factor == 0:
            return None
        return self._held.when(doublings * LN2 / self._factor / QUICK)

    def range(self) -> tuple[bool | None, str]:
        """Whether the law's figures cover what was counted, and in words.

        Time in which the law itself has no growth, as in a freezer, is no matter.
        """
        low, high = self.organism.valid_c
        inside = _Running(self.legs, Ranged(self.organism.law, low, high))
        total = self._law.total
        share = 1 - inside.total / total if total > 0 else 0.0
        beyond = []
        if share > _LEAST_SHARE:
            beyond.append(
                f"{share:.0%} of the increase was counted below {low:g} or above "
                f"{high:g} °C, beyond the figures"
            )
        return said_of_range(self.organism, self.under, beyond, self._notes)


def worst_unfolding(
    legs: Sequence[Leg],
    organisms: Iterable[Organism],
    under: Conditions,
    doublings: float,
) -> Unfolding | None:
    """The first whose high figure passes the doublings, else the highest at the end.

    None of no organisms.
    """
    found = [Unfolding(legs, one, under) for one in organisms]
    return max(found, key=lambda one: severity(one, doublings), default=None)


def severity(one: Unfolding, doublings: float) -> tuple[float, float, float]:
    """Sorts what warns earlier, then what shows more, to the end."""
    passed = one.passes_at_most(doublings)
    total = one.total
    return -math.inf if passed is None else -passed, total.high, total.mid
