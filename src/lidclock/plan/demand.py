"""How many portions may be wanted: a distribution over whole numbers from 0 on."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, pairwise
from statistics import NormalDist

# Sums of 64-bit floats miss the last digits: odds this close to a bound meet it.
SAME = 1e-12
# Beyond this share of the likeliest number a tail is left out: 64 bits hold 1e-16.
_NEGLIGIBLE = 1e-30
# A kitchen that serves more has no use for whole portions one by one.
MOST = 100_000
# A variance so many times the mean says that the two are no count of portions.
MOST_VARIED = 1_000


@dataclass(frozen=True)
class Demand:
    """`odds[i]` is the probability that exactly `first + i` portions are wanted.

    Made by the functions below; the odds add up to one.
    """

    first: int
    odds: tuple[float, ...]

    def __post_init__(self) -> None:
        if self.first < 0 or not self.odds:
            raise ValueError(f"no demand: {len(self.odds)} odds from {self.first}")
        if any(not odds >= 0 for odds in self.odds):
            raise ValueError("a probability is negative or no number")
        if abs(math.fsum(self.odds) - 1) > 1e-9:
            raise ValueError(f"probabilities add up to {math.fsum(self.odds)}, not 1")

    @cached_property
    def _up_to(self) -> list[float]:
        return list(accumulate(self.odds))

    @cached_property
    def _from(self) -> list[float]:
        # Added up from the far end, where the small ones are: it keeps their digits.
        return list(accumulate(reversed(self.odds)))[::-1]

    @cached_property
    def _left(self) -> list[float]:
        """Expected leftovers where `first + i` are kept."""
        return [0.0, *accumulate(self._up_to)]

    @cached_property
    def mean(self) -> float:
        """How many are wanted on average."""
        return math.fsum(
            number * odds for number, odds in enumerate(self.odds, self.first)
        )

    @cached_property
    def variance(self) -> float:
        """The mean square of how far the number is from its mean."""
        return math.fsum(
            (number - self.mean) ** 2 * odds
            for number, odds in enumerate(self.odds, self.first)
        )

    def at_most(self, number: int) -> float:
        """The probability that `number` are enough, P(D <= number)."""
        if number < self.first:
            return 0.0
        if number >= self.first + len(self.odds) - 1:
            return 1.0
        return min(1.0, self._up_to[number - self.first])

    def at_least(self, number: int) -> float:
        """The probability that so many are wanted or more, P(D >= number)."""
        if number <= self.first:
            return 1.0
        if number >= self.first + len(self.odds):
            return 0.0
        return min(1.0, self._from[number - self.first])

    def quantile(self, share: float) -> int:
        """The smallest number that is enough with probability `share`.

        Raises ValueError unless `share` lies from 0 to 1. At 1 it is the largest
        number that is not negligible.
        """
        if not 0 <= share <= 1:
            raise ValueError(f"a share lies from 0 to 1, not {share}")
        reached = (
            number
            for number, odds in enumerate(self._up_to, self.first)
            if odds >= share - SAME
        )
        return next(reached, self.first + len(self.odds) - 1)

    def expected_left(self, kept: int) -> float:
        """How many of `kept` portions nobody wants, on average: E[(kept - D)+]."""
        beyond = kept - self.first
        if beyond <= 0:
            return 0.0
        if beyond >= len(self._left):
            return self._left[-1] + beyond - (len(self._left) - 1)
        return self._left[beyond]

    def expected_short(self, kept: int) -> float:
        """How many are wanted beyond `kept`, on average: E[(D - kept)+]."""
        return math.fsum(
            (number - kept) * odds
            for number, odds in enumerate(self.odds, self.first)
            if number > kept
        )

    def plus(self, certain: int) -> Demand:
        """This demand and `certain` portions that are wanted anyway."""
        return Demand(self.first + certain, self.odds)

    def and_also(self, other: Demand) -> Demand:
        """The sum of this demand and another that does not depend on it."""
        if len(other.odds) > len(self.odds):
            return other.and_also(self)
        if len(other.odds) == 1:
            return self.plus(other.first)
        total = [0.0] * (len(self.odds) + len(other.odds) - 1)
        for shift, weight in enumerate(other.odds):
            if weight:
                for place, odds in enumerate(self.odds, shift):
                    total[place] += weight * odds
        return _scaled(self.first + other.first, total)


def certain(number: int) -> Demand:
    """Exactly `number` portions."""
    return Demand(number, (1.0,))


def poisson(mean: float) -> Demand:
    """Portions that are wanted one by one, independently, `mean` of them on average."""
    return counted(mean, mean)


def counted(mean: float, variance: float) -> Demand:
    """A count of that mean: Poisson, or negative binomial where it varies more.

    Mean m and variance v > m are those of a negative binomial with r = m^2/(v - m) and
    p = m/v; v <= m is taken as m. Each probability follows from its neighbour,
    P(k + 1)/P(k) = (k q + m^2/v)/(k + 1) with q = 1 - m/v, which is Poisson's rule at
    v = m and loses no digits near it. Raises ValueError unless m lies from 0 to MOST
    and v is at most MOST_VARIED times m.
    """
    if not 0 <= mean <= MOST:
        raise ValueError(f"a mean lies from 0 to {MOST}, not {mean}")
    if not variance <= MOST_VARIED * mean:
        raise ValueError(f"a mean of {mean} does not go with a variance of {variance}")
    if mean == 0:
        return certain(0)
    spread = max(mean, variance)
    base, growth = mean * (mean / spread), 1 - mean / spread

    def ratio(number: int) -> float:
        return (number * growth + base) / (number + 1)

    likeliest = max(0, math.floor(mean - spread / mean) + 1)
    return _from_likeliest(likeliest, ratio)


def _from_likeliest(likeliest: int, ratio: Callable[[int], float]) -> Demand:
    """Odds from those of the likeliest number, both ways, until they are negligible."""
    down, odds, number = [], 1.0, likeliest
    while number > 0 and odds > _NEGLIGIBLE:
        number -= 1
        odds /= ratio(number)
        down.append(odds)
    up, odds, at = [1.0], 1.0, likeliest
    while odds > _NEGLIGIBLE:
        odds *= ratio(at)
        at += 1
        up.append(odds)
    return _scaled(number, [*reversed(down), *up])


def listed(chances: Mapping[int, float]) -> Demand:
    """Numbers of portions with the probability of each, out of a record or a guess.

    Raises ValueError where one is negative or they do not add up to one.
    """
    if not chances:
        raise ValueError("no numbers to expect")
    first, last = min(chances), max(chances)
    if last - first > 10 * MOST:
        raise ValueError(f"from {first} to {last} is too far")
    return Demand(
        first, tuple(chances.get(number, 0.0) for number in range(first, last + 1))
    )


def seen(numbers: Iterable[int]) -> Demand:
    """Each number that was seen, as often as it was seen."""
    whole = sorted(numbers)
    return listed({one: whole.count(one) / len(whole) for one in set(whole)})


def eaters(mean: float, spread: float) -> Demand:
    """Eaters who are `mean` on average and vary by `spread`, rounded to whole ones.

    The normal distribution's share from half an eater below to half an eater above
    each number; what lies below none counts as none. Raises ValueError where one is
    negative or too much.
    """
    if not (0 <= mean <= MOST and 0 <= spread <= MOST):
        raise ValueError(f"{mean} eaters, more or less {spread}: from 0 to {MOST}")
    if spread == 0:
        return certain(round_up_half(mean))
    curve, reach = NormalDist(mean, spread), math.ceil(9 * spread) + 1
    first = max(0, round_up_half(mean) - reach)
    numbers = range(first, round_up_half(mean) + reach + 1)
    edges = [0.0, *(curve.cdf(number + 0.5) for number in numbers)]
    odds = [above - below for below, above in pairwise(edges)]
    return _scaled(first, odds)


def round_up_half(number: float) -> int:
    """The nearest whole number; a half counts up, as a half-portion is a portion."""
    return math.floor(number + 0.5)


def _scaled(first: int, weights: list[float]) -> Demand:
    total = math.fsum(weights)
    return Demand(first, tuple(weight / total for weight in weights))
