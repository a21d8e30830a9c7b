"""What a life came to, and what many of them say with which certainty."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.stats import t as student

from simulation.card import CHOICES
from simulation.live import Life

_SURE = 0.975
_RESAMPLES = 4_000


@dataclass(frozen=True, slots=True)
class Outcome:
    """One kitchen under one policy; counts are portions unless they say otherwise.

    `no_slot` were wasted after a morning when the freezer had no room for them.
    """

    seed: int
    policy: str
    made: int
    eaten: int
    wasted: int
    in_freezer: int
    in_fridge: int
    frozen: int
    planned: int
    thawed: int
    late_saves: int
    unmet: int
    wants: int
    picks: int
    out_of_order: int
    occupied: float
    made_g: int
    wasted_g: int
    no_slot: int

    @property
    def lost(self) -> int:
        """Wasted, or never eaten out of the freezer in the eight weeks."""
        return self.wasted + self.in_freezer

    @property
    def cost(self) -> float:
        """Waste and the trouble of freezing, in the kitchen's money."""
        return CHOICES.worth * self.wasted + CHOICES.freezing * self.frozen

    @property
    def full_cost(self) -> float:
        """The same, with what is still frozen at the end taken as wasted."""
        return self.cost + CHOICES.worth * self.in_freezer


def outcome(life: Life) -> Outcome:
    """Count a life."""
    tables = [x for day in life.script.days for x in (day.lunch, day.dinner)]
    return Outcome(
        seed=life.script.seed,
        policy=life.policy.name,
        made=life.made.total(),
        eaten=len(life.eaten),
        wasted=life.wasted.total(),
        in_freezer=life.in_freezer.total(),
        in_fridge=life.in_fridge.total(),
        frozen=life.frozen.total(),
        planned=sum(one.is_planned for one in life.eaten),
        thawed=sum(one.is_thawed for one in life.eaten),
        late_saves=life.late_saves,
        unmet=life.unmet,
        wants=sum(not want.is_else for x in tables for want in x.wants),
        picks=life.picks,
        out_of_order=life.out_of_order,
        occupied=sum(life.occupied) / len(life.occupied),
        made_g=_grams(life, life.made),
        wasted_g=_grams(life, life.wasted),
        no_slot=sum(life.wasted[code] for code in life.no_slot),
    )


def _grams(life: Life, portions: Counter[str]) -> int:
    return sum(life.lids[x].stock.portion_g * n for x, n in portions.items())


Measure = Callable[[Outcome], float]
WASTED: Measure = lambda x: 100 * x.wasted / x.made  # noqa: E731 - a table of measures
WASTED_G: Measure = lambda x: 100 * x.wasted_g / x.made_g  # noqa: E731
LOST: Measure = lambda x: 100 * x.lost / x.made  # noqa: E731
UNMET: Measure = lambda x: 100 * x.unmet / x.wants  # noqa: E731


@dataclass(frozen=True, slots=True)
class Estimate:
    """A mean over seeds with its 95 % interval, `half` to either side."""

    mean: float
    half: float

    @property
    def low(self) -> float:
        """The lower end."""
        return self.mean - self.half

    @property
    def high(self) -> float:
        """The upper end."""
        return self.mean + self.half


def estimate(values: Sequence[float]) -> Estimate:
    """Student's t on independent seeds; two are needed."""
    found = np.asarray(values, float)
    half = student.ppf(_SURE, len(found) - 1) * found.std(ddof=1)
    return Estimate(float(found.mean()), float(half / math.sqrt(len(found))))


def paired(
    ours: Sequence[Outcome], theirs: Sequence[Outcome], measure: Measure
) -> Estimate:
    """How much more ours has, seed by seed: chance that both meet falls out."""
    pairs = zip(ours, theirs, strict=True)
    return estimate([measure(a) - measure(b) for a, b in pairs])


def change(
    ours: Sequence[Outcome], theirs: Sequence[Outcome], measure: Measure
) -> tuple[float, float, float]:
    """How many per cent more ours has on average, and the ends of its 95 % interval.

    A ratio of means: the interval is that of seeds drawn again, with replacement.
    """
    a, b = (np.array([measure(x) for x in some]) for some in (ours, theirs))
    again = np.random.default_rng(1).integers(0, len(a), (_RESAMPLES, len(a)))
    ratios = 100 * (a[again].sum(1) / b[again].sum(1) - 1)
    low, high = np.quantile(ratios, (1 - _SURE, _SURE))
    return 100 * (a.sum() / b.sum() - 1), float(low), float(high)


def more_often(
    ours: Sequence[Outcome], theirs: Sequence[Outcome], measure: Measure
) -> tuple[int, int]:
    """Seeds in which ours has more, and those in which both have the same."""
    pairs = [(measure(a), measure(b)) for a, b in zip(ours, theirs, strict=True)]
    return sum(a > b for a, b in pairs), sum(a == b for a, b in pairs)


def by_policy(rows: Sequence[Mapping[str, Outcome]]) -> dict[str, list[Outcome]]:
    """Columns of outcomes out of one row for each seed."""
    return {name: [row[name] for row in rows] for name in rows[0]}
