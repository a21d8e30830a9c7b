"""Food lags behind the air around it: the first-order answer to a recorded air."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from lidclock.kinetics.rates import Floats, floats, need_finite, need_positive

# Time constants in one go: exp of more would overflow.
_SPAN = 600.0


def lagged(
    times_h: ArrayLike, air_c: ArrayLike, tau_h: float, start_c: float | None = None
) -> Floats:
    """The temperature of something that follows the air with one time constant.

    Parameters
    ----------
    times_h : (n,) strictly rising, n >= 1  [h]
    air_c : (n,) air temperature, linear between readings  [°C]
    tau_h : time constant, > 0: after a step 63 % of the way is done in it  [h]
    start_c : temperature at the first reading; None takes that of the air  [°C]

    Returns
    -------
    (n,) array  [°C]
        At the readings; between them it is not linear, but nearly so where readings
        come much faster than tau.

    Raises
    ------
    ValueError
        If the arrays do not match, times do not rise, or a value is no number.

    Notes
    -----
    ``tau dT/dt = A - T`` with A linear on a run of slope s has the exact answer
    ``T1 = A1 - s tau + (T0 - A0 + s tau) exp(-dt / tau)``. One time constant fits a
    small or well-stirred body; the middle of a deep pan lags more.
    """
    times, air = floats(times_h), floats(air_c)
    if times.ndim != 1 or times.shape != air.shape or times.size < 1:
        raise ValueError(
            f"need equal 1-d arrays, n >= 1; got {times.shape}, {air.shape}"
        )
    need_positive(tau_h=tau_h)
    if not (np.isfinite(times).all() and np.isfinite(air).all()):
        raise ValueError("times and temperatures must be numbers: split at gaps")
    hours = np.diff(times)
    if not (hours > 0).all():
        raise ValueError("times_h must rise strictly")
    start = float(air[0]) if start_c is None else start_c
    need_finite(start_c=start)
    # The distance d from the air: d1 = d0 fade - s tau (1 - fade).
    fade = np.exp(-hours / tau_h)
    falls_behind = np.diff(air) / hours * tau_h * -np.expm1(-hours / tau_h)
    return air + _distances(times / tau_h, fade, falls_behind, start - float(air[0]))


def _distances(elapsed: Floats, fade: Floats, falls: Floats, first: float) -> Floats:
    """``d[i + 1] = d[i] fade[i] - falls[i]`` from d[0] = first, without a loop over i.

    Within a stretch of few time constants every term is written relative to the start
    of the stretch, where ``exp(elapsed)`` cannot overflow: a running sum does the rest.
    """
    n = elapsed.size
    result = np.empty(n)
    result[0] = first
    here = 0
    while here < n - 1:
        reach = int(np.searchsorted(elapsed, elapsed[here] + _SPAN, side="right")) - 1
        if reach <= here:
            result[here + 1] = result[here] * fade[here] - falls[here]
            here += 1
            continue
        since = elapsed[here + 1 : reach + 1] - elapsed[here]
        grown = np.cumsum(falls[here:reach] * np.exp(since))
        result[here + 1 : reach + 1] = (result[here] - grown) * np.exp(-since)
        here = reach
    return result


def time_constant_h(half_way_h: float) -> float:
    """The time constant of something that does half the way to the air in so long."""
    need_positive(half_way_h=half_way_h)
    return half_way_h / math.log(2.0)
