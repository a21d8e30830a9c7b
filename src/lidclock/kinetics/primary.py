"""From exposure to growth: the lag before it and the ceiling above it."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from lidclock.kinetics.rates import Floats, floats

# Beyond this exp(M) is near the largest float64; the sum is written otherwise there.
_LARGE = 500.0


def growth_ln(
    exposure: ArrayLike, h0: float = 0.0, room_ln: float = math.inf
) -> Floats:
    """How much a population has grown after an exposure, by Baranyi and Roberts.

    Parameters
    ----------
    exposure : integral M of the rate over the history, >= 0  [ln units]
    h0 : work to be done before growth, lag times rate, >= 0; 0 is no lag  [ln units]
    room_ln : ln of the largest over the first number, > 0; infinite is no ceiling

    Returns
    -------
    array
        The rise of the natural logarithm of the number, >= 0 and <= room_ln.

    Notes
    -----
    While h0 and the ceiling do not depend on temperature, the equations of Baranyi and
    Roberts [1]_ depend on the history only through M: with ``q0 = 1 / (exp(h0) - 1)``

    ``A = M + ln((exp(-M) + q0) / (1 + q0)) = ln(1 + exp(-h0) (exp(M) - 1))``

    ``F = A - ln(1 + (exp(A) - 1) exp(-room))``.

    Not exact when a shift of temperature starts a new lag. Leaving lag and ceiling out
    errs towards more growth, by at most h0.

    References
    ----------
    .. [1] Baranyi and Roberts 1994, Int. J. Food Microbiol. 23:277-294.
    """
    m = floats(exposure)
    if not (h0 >= 0 and math.isfinite(h0)):
        raise ValueError(f"h0 must be a number, not below 0, not {h0}")
    if not room_ln >= 0:
        raise ValueError(f"room_ln must not lie below 0, not {room_ln}")
    if not (m >= 0).all():
        raise ValueError("an exposure must be a number, not below 0")
    after_lag = _after_lag(m, h0)
    if math.isinf(room_ln):
        return after_lag
    small = np.minimum(after_lag, _LARGE)
    slowed = after_lag - np.log1p(np.expm1(small) * math.exp(-room_ln))
    # exp(A) so large that the 1 beside it is lost: F = -ln(exp(-A) + exp(-room)).
    full = -np.logaddexp(-after_lag, -room_ln)
    return np.clip(np.where(after_lag < _LARGE, slowed, full), 0.0, room_ln)


def _after_lag(m: Floats, h0: float) -> Floats:
    if h0 == 0:
        return m.copy()
    small = np.log1p(np.expm1(np.minimum(m, _LARGE)) * math.exp(-h0))
    large = np.logaddexp(math.log(-math.expm1(-h0)), m - h0)
    return np.maximum(np.where(m < _LARGE, small, large), 0.0)


def three_phase_ln(
    exposure: ArrayLike, h0: float = 0.0, room_ln: float = math.inf
) -> Floats:
    """The same with sharp corners: nothing during the lag, then full rate, then none.

    References
    ----------
    .. [1] Buchanan, Whiting and Damert 1997, Food Microbiol. 14:313-326, counted in
       exposure instead of time (from memory, unverified).
    """
    return np.clip(floats(exposure) - h0, 0.0, room_ln)
