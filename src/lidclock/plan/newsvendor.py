"""One-off amounts: as many as balance one too few against one too many."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

from lidclock.plan.demand import SAME, Demand

_STANDARD = NormalDist()


def critical_ratio(short: float, over: float) -> float:
    """Cu/(Cu + Co): how likely what is made should be enough.

    `short` is what one too few costs, `over` one too many, in the same money. Raises
    ValueError where one is negative or no number, or where both are nothing.
    """
    for cost in (short, over):
        if not (math.isfinite(cost) and cost >= 0):
            raise ValueError(f"a cost is a number from 0 on, not {cost}")
    if short == over == 0:
        raise ValueError("neither too few nor too many costs anything")
    # Halved first, so that the sum of two huge costs is still a number.
    return (short / 2) / (short / 2 + over / 2)


def amount(demand: Demand, short: float, over: float) -> int:
    """The smallest Q with P(D <= Q) >= Cu/(Cu + Co)."""
    return demand.quantile(critical_ratio(short, over))


def to_add(wanted: int, on_hand: int) -> int:
    """What is missing to `wanted`; nothing where there is more already."""
    return max(0, wanted - on_hand)


@dataclass(frozen=True, slots=True)
class Money:
    """What one portion costs to make, brings when sold, and brings when left over."""

    cost: float
    price: float
    salvage: float = 0.0

    @property
    def short(self) -> float:
        """What one too few costs: the profit on it."""
        return self.price - self.cost

    @property
    def over(self) -> float:
        """What one too many costs: what it cost less what it still brings."""
        return self.cost - self.salvage


@dataclass(frozen=True, slots=True)
class NormalDemand:
    """Demand as a normal distribution: a mean and a standard deviation, not rounded.

    Expected lost demand at Q is sd x L(z), with z = (Q - mean)/sd and the standard
    loss L(z) = pdf(z) - z (1 - cdf(z)); the rest follows from it by counting.
    """

    mean: float
    spread: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.mean) and 0 <= self.spread < math.inf):
            raise ValueError(f"no normal demand: {self.mean}, spread {self.spread}")

    def amount(self, ratio: float) -> float:
        """The Q with P(D <= Q) = `ratio`; ValueError unless 0 < ratio < 1."""
        if not 0 < ratio < 1:
            raise ValueError(f"no amount is enough with probability {ratio}")
        return self.mean + self.spread * _STANDARD.inv_cdf(ratio)

    def portions(self, ratio: float) -> int:
        """The smallest whole Q with P(D <= Q) >= `ratio`, from 0 on."""
        wanted = self.amount(ratio)
        return max(0, math.ceil(wanted - SAME * max(1.0, abs(wanted))))

    def enough(self, made: float) -> float:
        """The probability that `made` are enough."""
        if self.spread == 0:
            return float(made >= self.mean)
        return _STANDARD.cdf((made - self.mean) / self.spread)

    def lost(self, made: float) -> float:
        """How many are wanted beyond `made`, on average."""
        if self.spread == 0:
            return max(0.0, self.mean - made)
        z = (made - self.mean) / self.spread
        # cdf(-z), not 1 - cdf(z): the difference would lose its digits far out.
        return self.spread * max(0.0, _STANDARD.pdf(z) - z * _STANDARD.cdf(-z))

    def sold(self, made: float) -> float:
        """How many of `made` are wanted, on average."""
        return self.mean - self.lost(made)

    def left(self, made: float) -> float:
        """How many of `made` nobody wants, on average."""
        return made - self.sold(made)

    def profit(self, made: float, money: Money) -> float:
        """What `made` bring on average, in the money of `money`."""
        earned = money.price * self.sold(made) + money.salvage * self.left(made)
        return earned - money.cost * made
