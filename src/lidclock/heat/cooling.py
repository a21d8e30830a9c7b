"""When cooling food will have reached a temperature, from the readings so far.

An estimate that warns and never passes: only a reading can show that a stage was met.
Nothing here is drawn at random, so the same readings always give the same answer.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from statistics import NormalDist

# Thermal diffusivity of cooked food with much water, and the Fourier number from which
# on the middle cools exponentially (first term of the series): project notes on heat,
# sections 2 and 8; Fo > 0.2 is the usual bound in texts on transient conduction.
DIFFUSIVITY_M2_S = 1.47e-7
FOURIER_LAG = 0.2
# Project notes on heat, section 8: what a kitchen probe repeats to, at best, and how
# well the temperature around the food is known while it cools.
NOISE_C = 0.5
MEDIUM_SD_C = 0.7
# Where nobody gave a depth, the lag is that of a pan this deep: a longer lag only
# leaves out more readings, and readings taken too early make cooling look slower.
DEEPEST_TAKEN_MM = 100.0
CHANCES = (0.05, 0.5, 0.95)
ON_COURSE, TOO_SLOW, UNCERTAIN = "on-course", "too-slow", "uncertain"

_NORMAL = NormalDist()
# Equally likely temperatures of the medium stand for its normal distribution; more of
# them move no crossing time by as much as a minute.
_MEDIUMS = 41
_LONGEST_H = 96.0
_STEP_H = 0.25
_TIGHT_H = 1 / 3600
_HOTTEST_C = 200.0


@dataclass(frozen=True, slots=True)
class Line:
    """``ln(T - Tm) = start - rate * t``, with the covariance of the two."""

    start: float
    rate: float
    start_var: float
    rate_var: float
    covariance: float

    def chance_below(self, excess_c: float, time_h: float) -> float:
        """How likely the fitted curve lies below `excess_c` over the medium then."""
        if excess_c <= 0:
            return 0.0
        variance = (
            self.start_var
            - 2 * time_h * self.covariance
            + time_h * time_h * self.rate_var
        )
        gap = math.log(excess_c) - self.start + self.rate * time_h
        return _NORMAL.cdf(gap / math.sqrt(variance))


@dataclass(frozen=True, slots=True)
class Crossing:
    """When a temperature will be reached: 5 %, 50 % and 95 % times in hours.

    Infinite where it may never be.
    """

    early_h: float
    middle_h: float
    late_h: float


@dataclass(frozen=True, slots=True)
class Fit:
    """The readings as cooling towards a medium whose temperature is not quite known.

    `lines` are equally likely, each with its medium. `is_rough` tells that readings
    from before the lag had to serve, so that cooling looks slower than it is.
    """

    medium_c: float
    lines: tuple[tuple[float, Line | None], ...]
    used: int
    is_rough: bool = False

    def chance_below(self, temp_c: float, time_h: float) -> float:
        """How likely the food is below `temp_c` at `time_h`."""
        found = (
            line.chance_below(temp_c - medium_c, time_h)
            for medium_c, line in self.lines
            if line is not None
        )
        return sum(found) / len(self.lines)


def lag_h(depth_mm: float | None) -> float:
    """How long the middle of a pan lags before it cools exponentially.

    Parameters
    ----------
    depth_mm : depth of the food, cooled from above and below; None if not known  [mm]

    Returns
    -------
    float  [h]

    Raises
    ------
    ValueError
        If the depth is not positive.

    Notes
    -----
    ``0.2 R**2 / a`` with R half the depth. A pan on a bench loses little heat through
    its bottom and lags longer. Liquids that circulate lag less.
    """
    depth = DEEPEST_TAKEN_MM if depth_mm is None else depth_mm
    if not depth > 0:
        raise ValueError(f"a depth must be positive, not {depth}")
    half_m = depth / 2000
    return FOURIER_LAG * half_m * half_m / DIFFUSIVITY_M2_S / 3600


def required_rate(from_c: float, to_c: float, hours: float, medium_c: float) -> float:
    """The rate k per hour that just brings food from `from_c` to `to_c` in `hours`.

    Infinite where the medium is not colder than `to_c`: it can never be reached.
    """
    if not hours > 0:
        raise ValueError(f"hours must be positive, not {hours}")
    if not from_c > to_c:
        return 0.0
    if medium_c >= to_c:
        return math.inf
    return math.log((from_c - medium_c) / (to_c - medium_c)) / hours


def two_point_rate(
    first_c: float, second_c: float, hours: float, medium_c: float
) -> float:
    """The two-point cooling rate in log10 of °C (or °F, all three alike) per hour.

    Raises ValueError where a temperature does not lie above the medium's.

    References
    ----------
    .. [1] Hedeen, Schaffner & Brown, Tools and techniques to promote proper food
       cooling in restaurants, J. Environ. Health, March 2022 (CDC stacks 120434).
    """
    if min(first_c, second_c) <= medium_c or not hours > 0:
        raise ValueError("two readings above the medium, some time apart, are needed")
    return math.log10((first_c - medium_c) / (second_c - medium_c)) / hours


def fit(
    times_h: Sequence[float],
    temps_c: Sequence[float],
    medium_c: float,
    *,
    after_h: float = 0.0,
) -> Fit | None:
    """Fit Newton cooling to readings; None while there are too few.

    Parameters
    ----------
    times_h : since cooling began, increasing  [h]
    temps_c : of the middle of the food, as many  [°C]
    medium_c : of the air or water around it  [°C]
    after_h : readings before this are left out  [h]

    Returns
    -------
    Fit or None
        None with fewer than two readings, or none after `after_h`. With exactly one
        after it the last earlier one serves as well, and the fit is rough.

    Raises
    ------
    ValueError
        If the sequences differ in length, or times do not increase.

    Notes
    -----
    Weighted regression of ln(T - Tm) on t, repeated for equally likely temperatures of
    the medium, Tm with a standard deviation of 0.7 °C. A reading's weight is (T - Tm)
    squared, as its noise is the same in °C at any temperature: at least 0.5 °C, or
    what scatters about the line. Readings within that noise of the medium say nothing.
    """
    if len(times_h) != len(temps_c):
        raise ValueError(f"{len(times_h)} times for {len(temps_c)} temperatures")
    if any(later <= one for one, later in pairwise(times_h)):
        raise ValueError("times must increase")
    pairs = list(zip(times_h, temps_c, strict=True))
    kept = [pair for pair in pairs if pair[0] >= after_h]
    is_rough = len(kept) == 1 and len(pairs) > 1
    if is_rough:
        kept = pairs[-2:]
    if len(kept) < 2:
        return None
    lines = tuple(
        (medium, _line(kept, medium))
        for medium in (medium_c + MEDIUM_SD_C * z for z in _likely())
    )
    return Fit(medium_c, lines, len(kept), is_rough)


@lru_cache(maxsize=1)
def _likely() -> tuple[float, ...]:
    """Equally likely values of a standard normal variable, lowest first."""
    return tuple(_NORMAL.inv_cdf((n + 0.5) / _MEDIUMS) for n in range(_MEDIUMS))


def _line(pairs: Sequence[tuple[float, float]], medium_c: float) -> Line | None:
    """The weighted line for one temperature of the medium; None with too few left."""
    known = [(t, temp - medium_c) for t, temp in pairs if temp - medium_c > NOISE_C]
    if len(known) < 2:
        return None
    weights = [excess * excess for _, excess in known]
    logs = [math.log(excess) for _, excess in known]
    total = sum(weights)
    mean_t = sum(w * t for w, (t, _) in zip(weights, known, strict=True)) / total
    mean_y = sum(w * y for w, y in zip(weights, logs, strict=True)) / total
    spread = sum(
        w * (t - mean_t) ** 2 for w, (t, _) in zip(weights, known, strict=True)
    )
    slope = (
        sum(
            w * (t - mean_t) * (y - mean_y)
            for w, (t, _), y in zip(weights, known, logs, strict=True)
        )
        / spread
    )
    start = mean_y - slope * mean_t
    left = sum(
        w * (y - start - slope * t) ** 2
        for w, (t, _), y in zip(weights, known, logs, strict=True)
    )
    freedom = len(known) - 2
    noise = max(NOISE_C, math.sqrt(left / freedom) if freedom else 0.0)
    rate_var = noise * noise / spread
    start_var = noise * noise / total + mean_t * mean_t * rate_var
    # Of start and rate, the rate being minus the slope.
    return Line(start, -slope, start_var, rate_var, mean_t * rate_var)


def crossing(found: Fit, temp_c: float) -> Crossing:
    """When the food will have cooled to `temp_c`, after the last reading or before it.

    A medium at `temp_c` or warmer never brings it there, however uncertain its
    temperature is: no success is predicted on the strength of a doubt.
    """
    if found.medium_c >= temp_c:
        return Crossing(math.inf, math.inf, math.inf)
    return Crossing(*(_first_time(found, temp_c, chance) for chance in CHANCES))


def _first_time(found: Fit, temp_c: float, chance: float) -> float:
    """The first time at which being below `temp_c` is as likely as `chance`."""
    low, high = 0.0, 0.0
    while found.chance_below(temp_c, high) < chance:
        low, high = high, high + _STEP_H * max(1.0, high / 6)
        if high > _LONGEST_H:
            return math.inf
    while high - low > _TIGHT_H:
        middle = (low + high) / 2
        if found.chance_below(temp_c, middle) < chance:
            low = middle
        else:
            high = middle
    return high


def foresee(one: Crossing, sure_h: float, due_h: float) -> str:
    """Whether a stage that is due at `due_h` is on course, too slow, or uncertain.

    `sure_h` is the earliest that it may turn out to be due. On course only if the late
    time is inside; too slow only if the early time is outside. Never "met".
    """
    if one.late_h <= sure_h:
        return ON_COURSE
    return TOO_SLOW if one.early_h > due_h else UNCERTAIN


@dataclass(frozen=True, slots=True)
class Curve:
    """A cooling as a figure needs it: readings, stages, and the band of the estimate.

    All times in hours since cooling began. `is_used` goes with the readings. `stages`
    are the temperatures to reach and when they are due. The band is empty where there
    are too few readings for an estimate.
    """

    times_h: tuple[float, ...]
    temps_c: tuple[float, ...]
    is_used: tuple[bool, ...]
    stages: tuple[tuple[float, float], ...]
    medium_c: float
    grid_h: tuple[float, ...] = ()
    low_c: tuple[float, ...] = ()
    middle_c: tuple[float, ...] = ()
    high_c: tuple[float, ...] = ()


def curve(
    times_h: Sequence[float],
    temps_c: Sequence[float],
    medium_c: float,
    stages: Sequence[tuple[float, float]] = (),
    *,
    after_h: float = 0.0,
    points: int = 61,
) -> Curve:
    """The data of a cooling figure, from the first reading used to the last stage due.

    `stages` are pairs of hours and °C. The band lies between the 5 % and 95 %
    temperatures of the estimate at each of `points` times.
    """
    found = fit(times_h, temps_c, medium_c, after_h=after_h)
    used = found.used if found else 0
    is_used = tuple(n >= len(times_h) - used for n in range(len(times_h)))
    plain = Curve(tuple(times_h), tuple(temps_c), is_used, tuple(stages), medium_c)
    if found is None or points < 2:
        return plain
    first = times_h[len(times_h) - used]
    last = max([times_h[-1], *(due_h for due_h, _ in stages)])
    grid = tuple(first + (last - first) * n / (points - 1) for n in range(points))
    low, middle, high = (
        tuple(_temp_at(found, time_h, chance) for time_h in grid) for chance in CHANCES
    )
    return Curve(
        plain.times_h,
        plain.temps_c,
        is_used,
        plain.stages,
        medium_c,
        grid,
        low,
        middle,
        high,
    )


def _temp_at(found: Fit, time_h: float, chance: float) -> float:
    """The temperature that the food is below with that chance at `time_h`."""
    low, high = found.lines[0][0], _HOTTEST_C
    while high - low > 0.01:
        middle = (low + high) / 2
        if found.chance_below(middle, time_h) < chance:
            low = middle
        else:
            high = middle
    return high
