"""Checking a thermometer: at what temperature ice melts and water boils."""

from __future__ import annotations

import math
from dataclasses import dataclass

LOWEST_M, HIGHEST_M = -450.0, 9000.0

# ISO 2533:1975, Standard Atmosphere: values at sea level, and the lapse below 11 km.
_SEA_LEVEL_PA = 101_325.0
_SEA_LEVEL_K = 288.15
_LAPSE_K_PER_M = 0.0065
# Gravity and molar mass of air over gas constant and lapse rate, same standard.
_EXPONENT = 9.80665 * 0.0289644 / (8.31432 * _LAPSE_K_PER_M)

# Constants of water, 1 to 100 °C, for mmHg and °C, as handbooks commonly tabulate them.
_A, _B, _C = 8.07131, 1730.63, 233.426
_PA_PER_MMHG = 133.322


@dataclass(frozen=True, slots=True)
class ProbeVerdict:
    """How far a probe is off, and whether that is within its tolerance."""

    off_c: float
    is_within: bool


def ice_point_c() -> float:
    """Where a slush of crushed ice and water stands; altitude does not matter."""
    return 0.0


def pressure_pa(altitude_m: float) -> float:
    """The air pressure at an altitude in the standard atmosphere.

    Parameters
    ----------
    altitude_m : above sea level, from -450 to 9000  [m]

    Returns
    -------
    float  [Pa]

    Raises
    ------
    ValueError
        If the altitude lies outside that range, or is no number.

    Notes
    -----
    ``p = p0 * (1 - L h / T0) ** (g M / (R L))`` [1]_. The day's weather moves the real
    pressure; this is its long-run mean in middle latitudes.

    References
    ----------
    .. [1] ISO 2533:1975, Standard Atmosphere; U.S. Standard Atmosphere, 1976.
    """
    if not LOWEST_M <= altitude_m <= HIGHEST_M:
        raise ValueError(f"altitude must lie within -450 and 9000 m, not {altitude_m}")
    warmth = 1 - _LAPSE_K_PER_M * altitude_m / _SEA_LEVEL_K
    return float(_SEA_LEVEL_PA * warmth**_EXPONENT)


def boiling_point_c(altitude_m: float) -> float:
    """The temperature at which pure water boils at an altitude.

    Parameters
    ----------
    altitude_m : above sea level, from -450 to 9000  [m]

    Returns
    -------
    float  [°C]

    Raises
    ------
    ValueError
        If the altitude lies outside that range, or is no number.

    Notes
    -----
    Pressure of the standard atmosphere, put into the Antoine equation
    ``log10(p) = A - B / (t + C)`` [1]_ solved for t. With these constants it stays
    within 0.1 °C of the saturation line of IAPWS-IF97 [2]_ up to 9000 m. For checking
    a probe, not for setting a cooking time.

    References
    ----------
    .. [1] G. W. Thomson, The Antoine equation for vapor-pressure data, Chemical
       Reviews 38 (1946) 1-39.
    .. [2] IAPWS R7-97(2012), Industrial Formulation 1997, equation 31.
    """
    mmhg = pressure_pa(altitude_m) / _PA_PER_MMHG
    return _B / (_A - math.log10(mmhg)) - _C


def probe_verdict(
    reading_c: float, expected_c: float, tolerance_c: float
) -> ProbeVerdict:
    """Whether a reading lies within the tolerance of what it should be.

    Exactly at the tolerance is within. A reading that is no number is not within.
    """
    if not tolerance_c >= 0:
        raise ValueError(f"a tolerance must not lie below 0, as {tolerance_c} does")
    off_c = reading_c - expected_c
    # Thermometers show 0.1 degree at best: what the last digits of a sum say is noise.
    return ProbeVerdict(off_c, abs(off_c) <= tolerance_c + 1e-9)
