"""The cardinal temperature law: three temperatures that a biologist can measure."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lidclock.kinetics.gauss import gauss_mean
from lidclock.kinetics.rates import Floats, floats, need_finite, need_positive, piece

# A run this many times shorter than its distance to the pole needs no closed form.
_FAR = 6.0


@dataclass(frozen=True, slots=True)
class Cardinal:
    """The cardinal temperature model with inflection; 0 outside tmin and tmax.

    Parameters
    ----------
    mu_opt : rate at the optimum, > 0  [ln units per hour]
    tmin_c, topt_c, tmax_c : tmin < topt < tmax, and topt nearer to tmax  [°C]

    Notes
    -----
    With u degrees above tmin, w = tmax - tmin and p = topt - tmin the law of Rosso et
    al. [1]_ is ``mu_opt u² (w - u) / (p (beta - alpha u))``, where
    ``alpha = 3 p - 2 w`` and ``beta = p (2 p - w)``. It is mu_opt and level at the
    optimum. The pole lies outside the range as long as topt is above the middle of tmin
    and tmax; else the law means nothing and is refused.

    References
    ----------
    .. [1] Rosso, Lobry and Flandrois 1993, J. Theor. Biol. 162:447-463 (formula from
       memory, confirmed by deriving it: double zero at tmin, zero at tmax, value and
       slope at topt).
    """

    mu_opt: float
    tmin_c: float
    topt_c: float
    tmax_c: float

    def __post_init__(self) -> None:
        need_positive(mu_opt=self.mu_opt)
        need_finite(tmin_c=self.tmin_c, topt_c=self.topt_c, tmax_c=self.tmax_c)
        if not self.tmin_c < self.topt_c < self.tmax_c:
            raise ValueError("tmin_c, topt_c and tmax_c must rise in that order")
        if not 2 * self.topt_c > self.tmin_c + self.tmax_c:
            raise ValueError("topt_c must lie above the middle of tmin_c and tmax_c")

    @property
    def optimum_c(self) -> float:
        """The optimum as given."""
        return self.topt_c

    @property
    def _width(self) -> float:
        return self.tmax_c - self.tmin_c

    @property
    def _peak(self) -> float:
        return self.topt_c - self.tmin_c

    @property
    def _alpha(self) -> float:
        return 3 * self._peak - 2 * self._width

    @property
    def _beta(self) -> float:
        return self._peak * (2 * self._peak - self._width)

    def rate(self, temp_c: ArrayLike) -> Floats:
        """The rate at each temperature  [ln units per hour]."""
        inside = np.clip(floats(temp_c), self.tmin_c, self.tmax_c)
        return self._inside(inside - self.tmin_c)

    def mean_rate(self, start_c: ArrayLike, end_c: ArrayLike) -> Floats:
        """The mean rate on straight runs of temperature.

        The integral has a closed form (a cubic and a logarithm). It is used for runs
        longer than a sixth of their distance to the pole; on shorter ones five-point
        Gauss-Legendre errs by less than 1e-11 of the rate, while the closed form would
        subtract nearly equal terms.
        """
        start, end = np.broadcast_arrays(floats(start_c), floats(end_c))
        shape, start, end = start.shape, np.atleast_1d(start), np.atleast_1d(end)
        cut = piece(start, end, self.tmin_c, self.tmax_c)
        low, high = cut.start - self.tmin_c, cut.end - self.tmin_c
        mean = gauss_mean(self._inside, low, high)
        is_long = _FAR * np.abs(self._alpha * (high - low)) > np.minimum(
            np.abs(self._beta - self._alpha * low),
            np.abs(self._beta - self._alpha * high),
        )
        if is_long.any():
            mean[is_long] = self._closed(low[is_long], high[is_long])
        return (np.maximum(mean, 0.0) * cut.share).reshape(shape)

    def _inside(self, u: Floats) -> Floats:
        below = self._peak * (self._beta - self._alpha * u)
        result: Floats = self.mu_opt * u * u * (self._width - u) / below
        return result

    def _closed(self, a: Floats, b: Floats) -> Floats:
        """The mean from a to b, degrees above tmin, with the pole at r = beta / alpha.

        ``u² (u - w) / (u - r) = u² + (r - w) u + r (r - w) + r² (r - w) / (u - r)``,
        term by term.
        """
        r = self._beta / self._alpha
        rest = r - self._width
        pole = np.log1p((b - a) / (a - r)) / (b - a)
        mean = (a * a + a * b + b * b) / 3 + rest * ((a + b) / 2 + r + r * r * pole)
        result: Floats = self.mu_opt * mean / (self._peak * self._alpha)
        return result
