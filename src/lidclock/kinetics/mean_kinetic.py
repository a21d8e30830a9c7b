"""Mean kinetic temperature: a figure to display, not a safety criterion."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from lidclock.kinetics.arrhenius import ZERO_C_IN_K
from lidclock.kinetics.rates import floats, need_positive

# USP 29, general chapter 1160: 83.144 kJ/mol over 8.3144e-3 kJ/(mol K)  [K].
USP_RATIO_K = 83.144 / 8.3144e-3
LABEL = (
    "Mean kinetic temperature: how stores of drugs are averaged. Not a safety "
    "criterion for food: long cold hides one bad hour."
)


def mean_kinetic_temperature(
    temp_c: ArrayLike, weights: ArrayLike | None = None, *, ratio_k: float = USP_RATIO_K
) -> float:
    """The one temperature that would have done as much in the same time.

    Parameters
    ----------
    temp_c : (n,) mean temperature of each period, n >= 1  [°C]
    weights : (n,) length of each period, >= 0, not all 0; None if they are equal
    ratio_k : activation energy over gas constant  [K]

    Returns
    -------
    float  [°C]

    Raises
    ------
    ValueError
        If a value is no number or below absolute zero, or the weights do not fit.

    Notes
    -----
    ``T = ratio / -ln(sum(w exp(-ratio / T)) / sum(w))`` in kelvin [1]_. The default
    energy is a convention for drugs; for growth at the cold end it is too low, and for
    frozen food it means nothing. Show LABEL wherever it is shown.

    References
    ----------
    .. [1] USP 29-NF 24, general chapter 1160, Pharmaceutical calculations.
    """
    temps = floats(temp_c) + ZERO_C_IN_K
    if temps.ndim != 1 or temps.size < 1:
        raise ValueError(f"need a one-dimensional array, n >= 1; got {temps.shape}")
    if not (np.isfinite(temps).all() and temps.min() > 0):
        raise ValueError("temperatures must be numbers above absolute zero")
    need_positive(ratio_k=ratio_k)
    shares = np.ones_like(temps) if weights is None else floats(weights)
    if shares.shape != temps.shape:
        raise ValueError(f"need {temps.size} weights; got shape {shares.shape}")
    total = float(shares.sum())
    if not (np.isfinite(shares).all() and shares.min() >= 0 and total > 0):
        raise ValueError("weights must be numbers not below 0, and not all 0")
    # Relative to the warmest, so that no term underflows however small ratio_k is.
    warmest = float(temps.max())
    relative = np.exp(-ratio_k * (1 / temps - 1 / warmest))
    mean = float((shares * relative).sum()) / total
    return float(1 / (1 / warmest - np.log(mean) / ratio_k) - ZERO_C_IN_K)
