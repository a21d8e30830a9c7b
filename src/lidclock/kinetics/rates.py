"""Rate laws: how fast something grows at a temperature, and on the way to another."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Protocol, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats: TypeAlias = NDArray[np.float64]


class RateLaw(Protocol):
    """A rate that depends on nothing but the temperature."""

    @property
    def tmin_c(self) -> float:
        """Below this the law itself says that nothing grows  [°C]."""
        ...

    @property
    def tmax_c(self) -> float:
        """Above this the law itself says that nothing grows; may be infinite  [°C]."""
        ...

    @property
    def optimum_c(self) -> float:
        """Where the rate is highest; infinite if the law always rises  [°C]."""
        ...

    def rate(self, temp_c: ArrayLike) -> Floats:
        """The rate at each temperature  [ln units per hour]."""
        ...

    def mean_rate(self, start_c: ArrayLike, end_c: ArrayLike) -> Floats:
        """The mean rate while the temperature goes straight from start to end."""
        ...


def floats(values: ArrayLike) -> Floats:
    """The values as float64, without a copy where they are that already."""
    return np.asarray(values, dtype=np.float64)


def need_positive(**values: float) -> None:
    """Refuse parameters that are not numbers above 0."""
    for name, value in values.items():
        if not (math.isfinite(value) and value > 0):
            raise ValueError(f"{name} must be a number above 0, not {value}")


def need_finite(**values: float) -> None:
    """Refuse parameters that are no numbers."""
    for name, value in values.items():
        if not math.isfinite(value):
            raise ValueError(f"{name} must be a number, not {value}")


@dataclass(frozen=True, slots=True)
class Piece:
    """The part of straight runs of temperature that lies between two temperatures."""

    start: Floats
    end: Floats
    share: Floats


def piece(start_c: Floats, end_c: Floats, low_c: float, high_c: float) -> Piece:
    """Cut runs of temperature to what lies within [low_c, high_c].

    Parameters
    ----------
    start_c, end_c : arrays of one shape, temperature linear between them  [°C]
    low_c, high_c : the bounds, which may be infinite  [°C]

    Returns
    -------
    Piece
        Where each run enters and leaves the bounds, and which share of its time it
        spends within them: 1 or 0 for a run that stands still.
    """
    start, end = np.clip(start_c, low_c, high_c), np.clip(end_c, low_c, high_c)
    run = end_c - start_c
    is_inside = (start_c >= low_c) & (start_c <= high_c)
    share = np.where(is_inside, 1.0, 0.0)
    np.divide(end - start, run, out=share, where=run != 0)
    return Piece(start, end, share)


@dataclass(frozen=True, slots=True)
class SquareRoot:
    """The square-root law: ``sqrt(rate) = b (T - tmin)`` above tmin, else 0.

    Parameters
    ----------
    b : slope, > 0  [(ln units per hour) ** 0.5 per °C]
    tmin_c : notional temperature at which growth stops  [°C]

    Notes
    -----
    Holds below the optimum only: it knows none and keeps rising. tmin is an intercept,
    usually some degrees below the coldest growth seen [1]_.

    References
    ----------
    .. [1] Ratkowsky et al. 1982, J. Bacteriol. 149:1-5 (abstract seen).
    """

    b: float
    tmin_c: float

    def __post_init__(self) -> None:
        # The square is what counts, and it must not vanish.
        need_positive(b=self.b, b_squared=self.b * self.b)
        need_finite(tmin_c=self.tmin_c)

    @property
    def tmax_c(self) -> float:
        """Infinite: the law never stops."""
        return math.inf

    @property
    def optimum_c(self) -> float:
        """Infinite: the law always rises."""
        return math.inf

    def rate(self, temp_c: ArrayLike) -> Floats:
        """The rate at each temperature  [ln units per hour]."""
        above = np.maximum(floats(temp_c) - self.tmin_c, 0.0)
        return np.square(self.b * above)

    def mean_rate(self, start_c: ArrayLike, end_c: ArrayLike) -> Floats:
        """The mean rate on straight runs of temperature, in closed form.

        With x and y the degrees above tmin at either end, the mean of ``b² u²`` is
        ``b² (x² + x y + y²) / 3``: no difference of cubes, so nothing cancels on short
        runs. A run that crosses tmin is cut there.
        """
        start, end = floats(start_c), floats(end_c)
        cut = piece(start, end, self.tmin_c, math.inf)
        x, y = cut.start - self.tmin_c, cut.end - self.tmin_c
        mean: Floats = (self.b * self.b / 3) * (x * x + x * y + y * y) * cut.share
        return mean


def square_root_fit(temp_c: ArrayLike, rate_per_h: ArrayLike) -> SquareRoot:
    """The square-root law nearest to measured rates, by least squares on the roots.

    Parameters
    ----------
    temp_c : (n,) array, at least two different temperatures  [°C]
    rate_per_h : (n,) array, rates >= 0  [ln units per hour]

    Returns
    -------
    SquareRoot
        Through both points where there are two.

    Raises
    ------
    ValueError
        If the arrays do not match, or the rates do not rise with temperature.
    """
    temps, rates = floats(temp_c), floats(rate_per_h)
    if temps.ndim != 1 or temps.shape != rates.shape or temps.size < 2:
        raise ValueError("need two equal one-dimensional arrays, n >= 2")
    if not (np.isfinite(temps).all() and np.isfinite(rates).all() and rates.min() >= 0):
        raise ValueError("temperatures and rates must be numbers, rates not below 0")
    off = temps - temps.mean()
    spread = float(off @ off)
    if spread == 0:
        raise ValueError("need at least two different temperatures")
    roots = np.sqrt(rates)
    b = float(off @ roots) / spread
    if not b > 0:
        raise ValueError("the rates do not rise with temperature")
    return SquareRoot(b, float(temps.mean() - roots.mean() / b))
