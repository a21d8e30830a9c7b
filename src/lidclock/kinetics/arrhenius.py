"""Exponential and Arrhenius laws: for the quality of food, poor for growth."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lidclock.kinetics.rates import Floats, floats, need_finite, need_positive

# CODATA 2018 (exact by the definition of the units)  [J/(mol K)].
GAS_CONSTANT = 8.314462618
ZERO_C_IN_K = 273.15


@dataclass(frozen=True, slots=True)
class Exponential:
    """``rate = at_zero exp(per_c T)``: a narrow range of temperature only.

    Parameters
    ----------
    at_zero : rate at 0 °C, > 0  [per hour]
    per_c : rise of its logarithm, > 0  [1/°C]
    """

    at_zero: float
    per_c: float

    def __post_init__(self) -> None:
        need_positive(at_zero=self.at_zero, per_c=self.per_c)

    @property
    def tmin_c(self) -> float:
        """Minus infinity: the law never stops."""
        return -math.inf

    @property
    def tmax_c(self) -> float:
        """Infinite: the law never stops."""
        return math.inf

    @property
    def optimum_c(self) -> float:
        """Infinite: the law always rises."""
        return math.inf

    def rate(self, temp_c: ArrayLike) -> Floats:
        """The rate at each temperature  [per hour]."""
        return self.at_zero * np.exp(self.per_c * floats(temp_c))

    def mean_rate(self, start_c: ArrayLike, end_c: ArrayLike) -> Floats:
        """The mean rate on straight runs of temperature, in closed form.

        ``(exp(r) - 1) / r`` times the rate at the start, r being the rise of the
        logarithm: a trapezoid on the rates would give too much.
        """
        start = floats(start_c)
        return self.rate(start) * relative_mean(self.per_c * (floats(end_c) - start))


def relative_mean(rise: Floats) -> Floats:
    """The mean of ``exp(rise x)`` for x from 0 to 1: ``(exp(rise) - 1) / rise``."""
    mean = np.ones_like(rise)
    np.divide(np.expm1(rise), rise, out=mean, where=rise != 0)
    return mean


def rate_ratio(energy_kj_mol: float, from_c: float, to_c: float) -> float:
    """How many times faster an Arrhenius process runs at `to_c` than at `from_c`.

    Parameters
    ----------
    energy_kj_mol : activation energy  [kJ/mol]
    from_c, to_c : above absolute zero  [°C]
    """
    need_finite(energy_kj_mol=energy_kj_mol)
    inverse = 1 / _kelvin(from_c) - 1 / _kelvin(to_c)
    return math.exp(energy_kj_mol * 1000 / GAS_CONSTANT * inverse)


def q10(ratio: float, from_c: float, to_c: float) -> float:
    """The factor for 10 °C, given how many times faster it runs at `to_c`."""
    need_positive(ratio=ratio)
    if from_c == to_c:
        raise ValueError("a ratio needs two different temperatures")
    return float(ratio ** (10 / (to_c - from_c)))


def energy_of_ratio(ratio: float, from_c: float, to_c: float) -> float:
    """The activation energy of a process `ratio` times faster at `to_c`  [kJ/mol]."""
    need_positive(ratio=ratio)
    inverse = 1 / _kelvin(from_c) - 1 / _kelvin(to_c)
    if inverse == 0:
        raise ValueError("a ratio needs two different temperatures")
    return GAS_CONSTANT * math.log(ratio) / inverse / 1000


def _kelvin(temp_c: float) -> float:
    kelvin = temp_c + ZERO_C_IN_K
    if not (math.isfinite(kelvin) and kelvin > 0):
        raise ValueError(f"{temp_c} °C is not above absolute zero")
    return kelvin
