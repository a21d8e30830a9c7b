"""The extended square-root law: from the coldest growth to the hottest."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lidclock.kinetics.gauss import gauss_mean
from lidclock.kinetics.rates import Floats, floats, need_finite, need_positive, piece

_HALVINGS = 100  # of a range of temperatures: more than a float64 can tell apart


@dataclass(frozen=True, slots=True)
class ExtendedSquareRoot:
    """``sqrt(rate) = b (T - tmin) (1 - exp(c (T - tmax)))`` between tmin and tmax.

    Parameters
    ----------
    b : slope far below the optimum, > 0  [(ln units per hour) ** 0.5 per °C]
    tmin_c, tmax_c : where growth begins and ends, tmin < tmax  [°C]
    c : how steeply the rate falls towards tmax, > 0  [1/°C]

    Notes
    -----
    Ratkowsky et al. 1983 [1]_. Outside the two temperatures the raw formula is not 0;
    here it is.

    References
    ----------
    .. [1] Ratkowsky et al. 1983, J. Bacteriol. 154:1222-1226, as given in the manual of
       the R package rTPC, ``ratkowsky_1983``.
    """

    b: float
    tmin_c: float
    c: float
    tmax_c: float

    def __post_init__(self) -> None:
        need_positive(b=self.b, c=self.c)
        need_finite(tmin_c=self.tmin_c, tmax_c=self.tmax_c)
        if not self.tmin_c < self.tmax_c:
            raise ValueError(f"tmax_c {self.tmax_c} must lie above {self.tmin_c}")

    @property
    def optimum_c(self) -> float:
        """Where the rate is highest: ``exp(c (T - tmax)) (1 + c (T - tmin)) = 1``."""
        low, high = self.tmin_c, self.tmax_c
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            fall = math.exp(self.c * (middle - self.tmax_c))
            if fall * (1 + self.c * (middle - self.tmin_c)) < 1:
                low = middle
            else:
                high = middle
        return (low + high) / 2

    def rate(self, temp_c: ArrayLike) -> Floats:
        """The rate at each temperature  [ln units per hour]."""
        inside = np.clip(floats(temp_c), self.tmin_c, self.tmax_c)
        return self._inside(inside)

    def mean_rate(self, start_c: ArrayLike, end_c: ArrayLike) -> Floats:
        """The mean rate on straight runs of temperature.

        Runs wider than ``1 / (8 c)`` use the closed form of the integral; narrower ones
        five-point Gauss-Legendre. There the tenth derivative is at most
        ``(2 c)**10 b² (u² + 20 u / (2 c) + 90 / (2 c)²)`` with u degrees above tmin, so
        the error stays below 4e-19 of that bracket times b², while the closed form
        would lose digits by subtracting two nearly equal values.
        """
        start, end = np.broadcast_arrays(floats(start_c), floats(end_c))
        shape, start, end = start.shape, np.atleast_1d(start), np.atleast_1d(end)
        cut = piece(start, end, self.tmin_c, self.tmax_c)
        is_wide = np.abs(cut.end - cut.start) * (8 * self.c) > 1
        mean = gauss_mean(self._inside, cut.start, cut.end)
        if is_wide.any():
            low, high = cut.start[is_wide], cut.end[is_wide]
            mean[is_wide] = (self._integral(high) - self._integral(low)) / (high - low)
        return (np.maximum(mean, 0.0) * cut.share).reshape(shape)

    def _inside(self, temp_c: Floats) -> Floats:
        fall = np.expm1(self.c * (temp_c - self.tmax_c))
        return np.square(self.b * (temp_c - self.tmin_c) * fall)

    def _integral(self, temp_c: Floats) -> Floats:
        """The integral of the rate over temperature, from some fixed one.

        ``b² ∫ u² (1 - 2 e + e²) du`` with ``e = exp(c (T - tmax))``; the integral of
        ``u² exp(a u)`` is ``exp(a u) (u²/a - 2 u/a² + 2/a³)``.
        """
        u = temp_c - self.tmin_c
        total = u**3 / 3
        for factor, a in ((-2.0, self.c), (1.0, 2 * self.c)):
            part = np.exp(a * (temp_c - self.tmax_c)) * (
                u * u / a - 2 * u / a**2 + 2 / a**3
            )
            total += factor * part
        result: Floats = self.b * self.b * total
        return result
