"""What a day may want, out of a kitchen's own record, and whether that beats guessing.

A record is a row of days: portions wanted, or None where that day says nothing because
there was nothing to take. Days follow one another; the last one was yesterday.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from lidclock.plan.demand import MOST, MOST_VARIED, Demand, counted
from lidclock.plan.newsvendor import NormalDemand

Record = Sequence[int | None]

OURS, WEEK, MONTH = "ours", "last week", "four weeks"
NAIVE = (WEEK, MONTH)
DAYS_A_WEEK = 7
_MONTH_DAYS = 4 * DAYS_A_WEEK
# Under eight weeks of a record no skill is claimed (common practice, no source).
WEEKS_TO_CLAIM = 8
# Errors are taken over the last four weeks; what comes before is what they know.
_TRIED_DAYS = 4 * DAYS_A_WEEK
# From so many portions a day on, a whole table of odds for each day would take seconds.
_LARGE = 1_000
# Where half of those days say nothing, their errors compare nothing. Our choice.
_LEAST_TRIED_DAYS = 2 * DAYS_A_WEEK
# Weight of the newest size and gap. Croston, Oper. Res. Q. 23 (1972) 289-303, tried 0.1
# to 0.3; Hyndman & Athanasopoulos, Forecasting: Principles and Practice, 2nd ed., 12.2,
# use 0.1.
ALPHA = 0.1
# From this mean gap on demand is sparse: Syntetos, Boylan & Croston, J. Oper. Res. Soc.
# 56 (2005) 495-503 (paper seen, the figure is from memory).
SPARSE_GAP = 1.32


@dataclass(frozen=True, slots=True)
class Croston:
    """The smoothed size of a demand, the smoothed gap between demands, in days."""

    size: float
    gap: float
    alpha: float = ALPHA

    @property
    def rate(self) -> float:
        """Portions a day, as Croston has it: biased upwards."""
        return self.size / self.gap

    @property
    def corrected(self) -> float:
        """Portions a day without that bias: x (1 - alpha/2).

        Syntetos & Boylan, Int. J. Forecasting 21 (2005) 303-314. Where something is
        wanted on most days it would take off too much (Teunter & Sani, Eur. J. Oper.
        Res. 194 (2009) 177-183), so nothing is taken off there.
        """
        return self.rate * (1 - self.alpha / 2) if self.gap > SPARSE_GAP else self.rate


def croston(days: Sequence[int], alpha: float = ALPHA) -> Croston | None:
    """Croston's method; the first demand and its gap begin it. None without a demand.

    It gives a rate. It is no distribution of counts, and must not be used as one.
    """
    size = gap = 0.0
    since = 0
    for wanted in days:
        since += 1
        if not wanted:
            continue
        if gap:
            size += alpha * (wanted - size)
            gap += alpha * (since - gap)
        else:
            size, gap = float(wanted), float(since)
        since = 0
    return Croston(size, gap, alpha) if gap else None


def _ours(record: Record, ahead: int) -> float | None:  # noqa: ARG001 - alike
    days = [wanted for wanted in record if wanted is not None]
    if not days:
        return None
    known = croston(days)
    return known.corrected if known else 0.0


def _week(record: Record, ahead: int) -> float | None:
    """What the same weekday wanted last, looking back week by week."""
    place = len(record) + ahead % DAYS_A_WEEK - DAYS_A_WEEK
    while place >= 0:
        if (wanted := record[place]) is not None:
            return float(wanted)
        place -= DAYS_A_WEEK
    return None


def _month(record: Record, ahead: int) -> float | None:  # noqa: ARG001 - alike
    days = [wanted for wanted in record[-_MONTH_DAYS:] if wanted is not None]
    return math.fsum(days) / len(days) if days else None


_METHODS: Mapping[str, Callable[[Record, int], float | None]] = {
    OURS: _ours,
    WEEK: _week,
    MONTH: _month,
}


def expected(method: str, record: Record, ahead: int = 0) -> float | None:
    """Portions expected `ahead` days after the record's next day, where it tells."""
    return _METHODS[method](record, ahead)


def dispersion(record: Record) -> float:
    """How much more a day varies than a Poisson count: variance over mean, at least 1.

    The variance is that of a sample (n - 1). One day, or none wanted, tells nothing: 1.
    """
    days = [wanted for wanted in record if wanted is not None]
    mean = math.fsum(days) / len(days) if days else 0.0
    if len(days) < 2 or mean == 0:
        return 1.0
    variance = math.fsum((wanted - mean) ** 2 for wanted in days) / (len(days) - 1)
    return min(max(1.0, variance / mean), float(MOST_VARIED))


def count_of(mean: float, varied: float) -> Demand:
    """A count of that mean whose variance is `varied` times it: no rate, odds.

    Days add up: the sum of independent days varies as many times its mean as each.
    """
    mean = min(max(0.0, mean), float(MOST))
    return counted(mean, min(varied, float(MOST_VARIED)) * mean)


def _quantile_of(mean: float, varied: float, share: float) -> int:
    """That of `count_of`; of large ones the normal's, which is as good for a loss."""
    if mean <= _LARGE:
        return count_of(mean, varied).quantile(share)
    return NormalDemand(mean, math.sqrt(varied * mean)).portions(share)


@dataclass(frozen=True, slots=True)
class Errors:
    """What a method was off by, one day ahead, on average over `days` days.

    `absolute` is in portions. `pinball` is the loss of its quantile at the service
    level: each portion short weighs `share`, each one over 1 - `share`.
    """

    absolute: float
    pinball: float
    days: int


def pinball(wanted: int, quantile: int, share: float) -> float:
    """The loss of a quantile at `share` on the day that `wanted` came."""
    return max(share * (wanted - quantile), (1 - share) * (quantile - wanted))


def errors_of(record: Record, share: float) -> dict[str, Errors]:
    """Each method's errors over the last four weeks, told what came before each day.

    All methods are tried on the same days; a day that says nothing is left out, and so
    is one for which any of them has nothing to say. Empty where no day is left.
    """
    off: dict[str, list[tuple[float, float]]] = {method: [] for method in _METHODS}
    for place in range(max(1, len(record) - _TRIED_DAYS), len(record)):
        wanted, before = record[place], record[:place]
        means = {method: expected(method, before) for method in _METHODS}
        if wanted is None or None in means.values():
            continue
        varied = dispersion(before)
        for method, mean in means.items():
            quantile = _quantile_of(mean or 0.0, varied, share)
            loss = pinball(wanted, quantile, share)
            off[method].append((abs(wanted - (mean or 0.0)), loss))
    return {method: _mean_of(pairs) for method, pairs in off.items() if pairs}


def _mean_of(pairs: Sequence[tuple[float, float]]) -> Errors:
    absolute, loss = zip(*pairs, strict=True)
    days = len(pairs)
    return Errors(math.fsum(absolute) / days, math.fsum(loss) / days, days)


@dataclass(frozen=True, slots=True)
class Chosen:
    """The method to go by, and why.

    `errors` are empty where the record is too short to try them. `weeks` are the whole
    weeks that say something; under WEEKS_TO_CLAIM `claims` is False, and the mean of
    the last four weeks is all there is. Ours is never the method where it loses.
    """

    method: str
    errors: Mapping[str, Errors]
    weeks: int

    @property
    def claims(self) -> bool:
        """Whether there is enough to say that one method is better than another."""
        return self.weeks >= WEEKS_TO_CLAIM and bool(self.errors)

    @property
    def shows_ours(self) -> bool:
        """Whether our own forecast may be shown: it lost to neither naive one."""
        return self.claims and not _loses(self.errors)


def choose(record: Record, share: float) -> Chosen:
    """The method that did best on this record, ours only where it loses to none."""
    weeks = len(record) // DAYS_A_WEEK
    if weeks < WEEKS_TO_CLAIM:
        return Chosen(MONTH, {}, weeks)
    errors = errors_of(record, share)
    if not errors or errors[OURS].days < _LEAST_TRIED_DAYS:
        return Chosen(MONTH, {}, weeks)
    if not _loses(errors):
        return Chosen(OURS, errors, weeks)
    best = min((MONTH, WEEK), key=lambda one: errors[one].pinball)
    return Chosen(best, errors, weeks)


def _loses(errors: Mapping[str, Errors]) -> bool:
    """Whether a naive forecast was nearer, in portions or at the service level."""
    return any(
        errors[OURS].absolute > errors[naive].absolute
        or errors[OURS].pinball > errors[naive].pinball
        for naive in NAIVE
    )
