"""A rate read from a printed table: one value for each band of temperature."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lidclock.kinetics.rates import Floats, floats


@dataclass(frozen=True, slots=True)
class Steps:
    """A rate that is level within each band of temperature and 0 outside them all.

    Parameters
    ----------
    edges_c : (n + 1,) rising, the last may be infinite; band i lies above edge i and up
        to edge i + 1, and the first has its lower edge too  [°C]
    rates : (n,) rate in each band, >= 0  [per hour, in the unit of the table]

    Notes
    -----
    No interpolation: of its own table of times the FDA says that linear interpolation
    may not be appropriate (Fish and Fishery Products Hazards and Controls, App. 4).
    """

    edges_c: tuple[float, ...]
    rates: tuple[float, ...]

    def __post_init__(self) -> None:
        edges, rates = floats(self.edges_c), floats(self.rates)
        if rates.size < 1 or edges.size != rates.size + 1:
            raise ValueError("need one edge more than rates")
        if not (np.diff(edges) > 0).all() or not np.isfinite(edges[:-1]).all():
            raise ValueError("edges must rise, and only the last may be infinite")
        if not (np.isfinite(rates).all() and (rates >= 0).all()):
            raise ValueError("rates must be numbers, not below 0")

    @property
    def tmin_c(self) -> float:
        """The first edge of a band where anything grows."""
        return next(
            edge
            for edge, rate in zip(self.edges_c, (*self.rates, 1.0), strict=True)
            if rate > 0
        )

    @property
    def tmax_c(self) -> float:
        """The last edge."""
        return self.edges_c[-1]

    @property
    def optimum_c(self) -> float:
        """The first edge of the fastest band."""
        return self.edges_c[self.rates.index(max(self.rates))]

    def rate(self, temp_c: ArrayLike) -> Floats:
        """The rate at each temperature."""
        temps, edges = floats(temp_c), floats(self.edges_c)
        band = np.searchsorted(edges, temps, side="left")
        band = np.where(temps == edges[0], 1, band)
        found: Floats = np.array([0.0, *self.rates, 0.0])[band]
        return found

    def mean_rate(self, start_c: ArrayLike, end_c: ArrayLike) -> Floats:
        """The mean rate on straight runs of temperature: time in each band, exactly."""
        start, end = np.broadcast_arrays(floats(start_c), floats(end_c))
        low, high = np.minimum(start, end), np.maximum(start, end)
        run = high - low
        total = np.zeros_like(run)
        bands = zip(self.edges_c[:-1], self.edges_c[1:], self.rates, strict=True)
        for left, right, rate in bands:
            within = np.minimum(high, right) - np.maximum(low, left)
            total += rate * np.maximum(within, 0.0)
        mean = np.asarray(self.rate(start), dtype=np.float64).copy()
        np.divide(total, run, out=mean, where=run > 0)
        return mean


def from_generation_times(
    temps_c: Sequence[float], hours: Sequence[float], end_c: float
) -> Steps:
    """Generation times printed at single temperatures, read between them as the faster.

    Parameters
    ----------
    temps_c : (n,) rising, where a time is printed  [°C]
    hours : (n,) time for one doubling, > 0  [h]
    end_c : where growth ends, at or above the last temperature  [°C]

    Returns
    -------
    Steps
        In ln units per hour; nothing grows below the first temperature.
    """
    if len(temps_c) != len(hours) or len(temps_c) < 1:
        raise ValueError("need as many generation times as temperatures")
    if not min(hours) > 0:
        raise ValueError("a generation time must be above 0")
    rates = np.log(2.0) / floats(hours)
    faster = np.maximum(rates, np.append(rates[1:], 0.0))
    edges = [*temps_c, end_c]
    if end_c == temps_c[-1]:
        edges, faster = edges[:-1], faster[:-1]
    return Steps(tuple(map(float, edges)), tuple(map(float, faster)))
