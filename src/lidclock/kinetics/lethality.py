"""Lethality: what a recorded heating is worth at a reference temperature."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from lidclock.kinetics.arrhenius import relative_mean
from lidclock.kinetics.rates import floats, need_finite, need_positive


def equivalent_minutes(
    time_min: ArrayLike,
    temp_c: ArrayLike,
    *,
    ref_c: float,
    z_c: float,
    longest_gap_min: float = math.inf,
) -> float:
    """Minutes at `ref_c` that inactivate as much as a recorded temperature history.

    Parameters
    ----------
    time_min : (n,) strictly rising, n >= 2  [min]
    temp_c : (n,) slowest-heating point of the food, linear between readings  [°C]
    ref_c : reference temperature  [°C]
    z_c : rise of temperature that cuts the time needed to a tenth, > 0  [°C]
    longest_gap_min : runs longer than this count nothing  [min]

    Returns
    -------
    float  [min]
        NaN if any reading is NaN: a gap is not evidence of heating.

    Raises
    ------
    ValueError
        If shapes differ, n < 2, times do not rise, or a parameter is out of its range.

    Notes
    -----
    The integral of ``10 ** ((T - ref_c) / z_c)`` over time, in closed form for each
    straight run. First-order inactivation with a constant z, hence only over the
    temperatures that z was fitted on [1]_. Whether a food was cooked or reheated is
    judged by the temperature and time of the guidance set in force, never by this.

    References
    ----------
    .. [1] Breidt et al. 2014, Food Protection Trends 34(3):132-138, Table 4, p. 137.
    """
    time, temp = floats(time_min), floats(temp_c)
    need_positive(z_c=z_c)
    need_finite(ref_c=ref_c)
    if not longest_gap_min > 0:
        raise ValueError(f"longest_gap_min must be above 0, not {longest_gap_min}")
    if time.ndim != 1 or time.shape != temp.shape or time.size < 2:
        raise ValueError(f"need equal arrays, n >= 2; got {time.shape}, {temp.shape}")
    minutes = np.diff(time)
    if not (np.isfinite(time).all() and (minutes > 0).all()):
        raise ValueError("time_min must rise strictly, and be numbers")
    if np.isnan(temp).any():
        return math.nan
    exponent = (temp - ref_c) * (math.log(10.0) / z_c)
    worth = minutes * np.exp(exponent[:-1]) * relative_mean(np.diff(exponent))
    return float(np.sum(worth, where=minutes <= longest_gap_min))
