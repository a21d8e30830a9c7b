"""Cooling: when will a pan that has been read a few times reach a temperature."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike

from lidclock.kinetics.rates import Floats, floats, need_finite, need_positive

# Chili: 0.555 W/(m K) over 3.784 MJ/(m³ K), from the component polynomials of Choi and
# Okos 1986  [m²/s].
_DIFFUSIVITY = 1.47e-7
# Fewer readings, or closer together, tell nothing of a slope. Our choice.
FEWEST_READINGS = 4
SHORTEST_SPAN_H = 0.25
# A probe and its place in the pan are no better than this. Our choice.
LEAST_NOISE_C = 0.5
USUAL_MEDIUM_SPREAD_C = 0.7
HORIZON_H = 240.0
_LOW, _MID, _HIGH = 0.05, 0.5, 0.95
_MEDIA = [NormalDist().inv_cdf((i + 0.5) / 41) for i in range(41)]
CAUTIONS = (
    "A forecast warns early; it never passes a pan early. The stages of the guidance "
    "set in force are met when a probe has shown the temperature in time.",
    "It takes stirring, depth and the place's temperature to stay as they are.",
)


@dataclass(frozen=True, slots=True)
class CoolingBand:
    """When the temperature is reached, on the clock of the readings  [h].

    In 5, 50 and 95 of 100 cases it is reached before `low_h`, `mid_h`, `high_h`;
    infinite where it may never be.
    """

    low_h: float
    mid_h: float
    high_h: float
    rate_per_h: float
    used: int
    dropped: int


@dataclass(frozen=True, slots=True)
class NoForecast:
    """Why nothing can be said: a word for programs, and a sentence for people."""

    code: str
    says: str


def settling_h(depth_m: float) -> float:
    """How long the first readings of a pan mislead, because its middle lags.

    Parameters
    ----------
    depth_m : depth of the food in the pan  [m]

    Returns
    -------
    float  [h]
        ``0.2 R² / diffusivity`` with R half the depth: from then on the middle falls
        along one exponential (one term of the exact series holds for a Fourier number
        above 0.2).
    """
    need_positive(depth_m=depth_m)
    return 0.2 * (depth_m / 2) ** 2 / _DIFFUSIVITY / 3600


def needed_rate_per_h(
    start_c: float, target_c: float, hours: float, medium_c: float
) -> float:
    """The rate k of ``exp(-k t)`` that just cools from start to target in time  [1/h].

    Raises
    ------
    ValueError
        If the target does not lie between the medium and the start: no rate would do.
    """
    need_positive(hours=hours)
    if not medium_c < target_c < start_c:
        raise ValueError(
            f"{target_c} °C is never reached from {start_c} °C in {medium_c} °C"
        )
    return math.log((start_c - medium_c) / (target_c - medium_c)) / hours


def two_point_rate(
    start_c: float, end_c: float, hours: float, medium_c: float
) -> float:
    """The cooling rate that two readings give, in decades per hour of any one unit.

    ``(log10(T1 - Tm) - log10(T2 - Tm)) / dt``, as in Hedeen, Schaffner and Brown 2022,
    J. Environ. Health (formula seen). A screen, not a verdict: in its validation 2 of
    the 12 foods that it called acceptable had failed (Igo, Hedeen and Schaffner 2021,
    J. Food Prot.; abstract seen).
    """
    return needed_rate_per_h(start_c, end_c, hours, medium_c) / math.log(10)


def forecast(
    times_h: ArrayLike,
    temps_c: ArrayLike,
    *,
    target_c: float,
    medium_c: float,
    settle_h: float,
    noise_c: float = LEAST_NOISE_C,
    medium_spread_c: float = USUAL_MEDIUM_SPREAD_C,
) -> CoolingBand | NoForecast:
    """When food that cools along an exponential will have reached a temperature.

    Parameters
    ----------
    times_h : (n,) strictly rising, the first when cooling began  [h]
    temps_c : (n,) middle of the food  [°C]
    target_c : the temperature to reach  [°C]
    medium_c : measured temperature of the air or bath, never the set point  [°C]
    settle_h : readings before the first one plus this are dropped; see `settling_h`
    noise_c : standard deviation of a reading, at least 0.5  [°C]
    medium_spread_c : standard deviation of the medium, >= 0  [°C]

    Returns
    -------
    CoolingBand, or NoForecast where the medium is at the target or above, where too few
    readings are left, where the food is not cooling, or where it is there already.

    Raises
    ------
    ValueError
        If the arrays do not match, times do not rise, or a value is no number.

    Notes
    -----
    ``ln(T - Tm)`` is a straight line in time; it is fitted by least squares, each
    reading weighing what its noise leaves of it. The chance that the target is reached
    by a moment follows from the line's uncertainty there, averaged over 41 equally
    likely temperatures of the medium: no random numbers, so the same readings always
    say the same. An error of the medium matters most near the end.
    """
    times, temps = _checked(times_h, temps_c)
    need_finite(target_c=target_c, medium_c=medium_c)
    if not (settle_h >= 0 and noise_c >= 0 and medium_spread_c >= 0):
        raise ValueError("settle_h, noise_c and medium_spread_c must not be below 0")
    noise = max(noise_c, LEAST_NOISE_C)
    # Near the medium noise decides the logarithm: such readings tell nothing.
    is_used = (times >= times[0] + settle_h) & (temps > medium_c + 2 * noise)
    used, used_temps = times[is_used], temps[is_used]
    refusal = _refusal(used, float(temps[-1]), target_c, medium_c)
    if refusal is not None:
        return refusal
    lines = [
        line
        for spread in _MEDIA
        if (line := _line(used, used_temps, medium_c + spread * medium_spread_c, noise))
    ]
    middle = _line(used, used_temps, medium_c, noise)
    if middle is None or middle.rate <= 0:
        return NoForecast("not-cooling", "the food is not cooling: check the probe")
    low, mid, high = (
        _moment(lines, target_c, share, float(times[-1]))
        for share in (_LOW, _MID, _HIGH)
    )
    dropped = times.size - used.size
    return CoolingBand(low, mid, high, middle.rate, int(used.size), int(dropped))


def _checked(times_h: ArrayLike, temps_c: ArrayLike) -> tuple[Floats, Floats]:
    times, temps = floats(times_h), floats(temps_c)
    if times.ndim != 1 or times.shape != temps.shape or times.size < 1:
        raise ValueError(f"need equal 1-d arrays; got {times.shape}, {temps.shape}")
    if not (np.isfinite(times).all() and np.isfinite(temps).all()):
        raise ValueError("times and temperatures must be numbers")
    if not (np.diff(times) > 0).all():
        raise ValueError("times_h must rise strictly")
    return times, temps


def _refusal(
    used: Floats, latest_c: float, target_c: float, medium_c: float
) -> NoForecast | None:
    """Why there can be no forecast; None if there can."""
    if medium_c >= target_c:
        return NoForecast(
            "medium-at-limit",
            f"a place at {medium_c:g} °C cannot cool food to {target_c:g} °C: "
            "move the food to a colder place",
        )
    if latest_c <= target_c:
        return NoForecast("reached", f"the last reading is at {target_c:g} °C or below")
    if used.size < FEWEST_READINGS or used[-1] - used[0] < SHORTEST_SPAN_H:
        return NoForecast(
            "too-few-readings",
            f"only {used.size} readings are left without those of the first minutes; "
            f"{FEWEST_READINGS} over a quarter of an hour are needed: read again",
        )
    return None


@dataclass(frozen=True, slots=True)
class _Line:
    """A fitted ``ln(T - medium) = level - rate (t - centre)`` and its uncertainty."""

    medium_c: float
    centre: float
    level: float
    rate: float
    level_variance: float
    rate_variance: float

    def chance(self, target_c: float, moment: float) -> float:
        """The chance that the target is reached by a moment."""
        if self.medium_c >= target_c:
            return 0.0
        since = moment - self.centre
        above = self.level - self.rate * since - math.log(target_c - self.medium_c)
        spread = math.sqrt(self.level_variance + self.rate_variance * since * since)
        return NormalDist().cdf(-above / spread)


def _line(times: Floats, temps: Floats, medium_c: float, noise: float) -> _Line | None:
    """The line for one temperature of the medium; None if a reading is not above it."""
    above = temps - medium_c
    if not above.min() > 0:
        return None
    weights = np.square(above / noise)
    total = float(weights.sum())
    logs = np.log(above)
    centre, level = float(weights @ times) / total, float(weights @ logs) / total
    off = times - centre
    spread = float(weights @ (off * off))
    rate = -float(weights @ (off * (logs - level))) / spread
    misfit = float(weights @ np.square(logs - level + rate * off))
    # Readings that scatter more than the noise widen the band; fewer never narrow it.
    excess = max(1.0, misfit / max(times.size - 2, 1))
    return _Line(medium_c, centre, level, rate, excess / total, excess / spread)


def _moment(lines: list[_Line], target_c: float, share: float, last_h: float) -> float:
    """The first moment, not before the last reading, by which the chance is `share`."""

    def chance(moment: float) -> float:
        return sum(line.chance(target_c, moment) for line in lines) / len(_MEDIA)

    low, high = last_h, last_h + HORIZON_H
    if chance(low) >= share:
        return low
    if chance(high) < share:
        return math.inf
    while high - low > 1e-6:
        middle = (low + high) / 2
        if chance(middle) < share:
            low = middle
        else:
            high = middle
    return (low + high) / 2
