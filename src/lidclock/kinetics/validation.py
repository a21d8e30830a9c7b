"""How good predictions were: bias, accuracy, and plain counts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lidclock.kinetics.rates import floats


@dataclass(frozen=True, slots=True)
class Fit:
    """How predictions compare with observations, all of one kind.

    `bias` is the mean factor by which they are off, `accuracy` the same regardless of
    direction. Of generation times, a bias above 1 errs dangerously: growth was quicker
    than predicted. Of rates it is the other way round.
    """

    count: int
    bias: float
    accuracy: float


def fit_of(observed: ArrayLike, predicted: ArrayLike) -> Fit:
    """Bias and accuracy factors of predictions.

    Parameters
    ----------
    observed, predicted : (n,) above 0, n >= 1, in one unit

    Raises
    ------
    ValueError
        If the arrays do not match, or hold what has no logarithm.

    References
    ----------
    .. [1] Ross 1996, J. Appl. Bacteriol. 81:501-508 (from memory, unverified).
    """
    seen, told = floats(observed), floats(predicted)
    if seen.ndim != 1 or seen.shape != told.shape or seen.size < 1:
        raise ValueError(f"need equal 1-d arrays; got {seen.shape}, {told.shape}")
    if not (seen.min() > 0 and told.min() > 0):
        raise ValueError("observed and predicted values must be above 0")
    logs = np.log10(told / seen)
    return Fit(seen.size, float(10 ** logs.mean()), float(10 ** np.abs(logs).mean()))
