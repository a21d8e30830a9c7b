"""How many will come, by how many came: mean and spread, and how that did before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, stdev


@dataclass(frozen=True, slots=True)
class HeadCount:
    """The mean of `number` earlier ones, and their standard deviation.

    The spread is None where fewer than two are known: one number does not vary.
    """

    mean: float
    spread: float | None
    number: int


def head_count(came: Sequence[float]) -> HeadCount | None:
    """What to expect after `came`; None where nothing came before.

    The spread is that of a sample (n - 1 in the divisor).
    """
    if not came:
        return None
    spread = stdev(came) if len(came) > 1 else None
    return HeadCount(fmean(came), spread, len(came))


@dataclass(frozen=True, slots=True)
class Errors:
    """By how many the forecasts were off on average, beside taking the same as last
    time; over the `number` occasions of which both are known.
    """

    forecast: float
    last_time: float
    number: int


def errors(came: Sequence[int], expected: Sequence[float | None]) -> Errors | None:
    """Both errors over occasions in the order of their days; None where none has both.

    The first has no last time, so it counts for neither.
    """
    pairs = [
        (abs(now - forecast), abs(now - before))
        for before, now, forecast in zip(came, came[1:], expected[1:], strict=False)
        if forecast is not None
    ]
    if not pairs:
        return None
    ours, naive = zip(*pairs, strict=True)
    return Errors(fmean(ours), fmean(naive), len(pairs))
