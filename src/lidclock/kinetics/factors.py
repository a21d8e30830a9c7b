"""What acidity and dryness leave of a growth rate: factors between 0 and 1.

They are multiplied. A term for their interaction near the limit of growth would lower
the product further; none was seen in a source, and without one more growth is told.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

NEUTRAL = 1.0


def gamma_temperature(temp_c: float, tmin_c: float, topt_c: float) -> float:
    """The gamma factor of a temperature at or below the optimum.

    Parameters
    ----------
    temp_c : the temperature  [°C]
    tmin_c, topt_c : where the factor is 0 and 1, tmin < topt  [°C]

    Returns
    -------
    float
        ``((T - tmin) / (topt - tmin))²``, within 0 and 1: 1 above the optimum, where
        the formula does not hold and no credit is given.

    References
    ----------
    .. [1] Zwietering et al. 1992, J. Food Prot. 55:973-978 (from memory, unverified).
    """
    if not tmin_c < topt_c:
        raise ValueError(f"tmin_c {tmin_c} must lie below topt_c {topt_c}")
    return _within_one(max(temp_c - tmin_c, 0.0) / (topt_c - tmin_c)) ** 2


def gamma_ph(ph: float, ph_min: float, ph_opt: float, ph_max: float) -> float:
    """The gamma factor of pH, as in the gamma concept.

    Returns
    -------
    float
        ``(pH - min)(max - pH) / ((opt - min)(max - opt))``, within 0 and 1.

    References
    ----------
    .. [1] Zwietering et al. 1992, J. Food Prot. 55:973-978 (from memory, unverified).
    """
    _need_rising(ph_min, ph_opt, ph_max)
    if not ph_min < ph < ph_max:
        return 0.0
    best = (ph_opt - ph_min) * (ph_max - ph_opt)
    return _within_one((ph - ph_min) * (ph_max - ph) / best)


def cardinal_ph(ph: float, ph_min: float, ph_opt: float, ph_max: float) -> float:
    """The cardinal pH model, to be multiplied with the cardinal temperature law.

    Returns
    -------
    float
        ``a / (a - (pH - opt)²)`` with ``a = (pH - min)(pH - max)``; 0 outside.

    Notes
    -----
    Temperature and pH are taken as independent [1]_; near the limit of growth the truth
    is less growth than this.

    References
    ----------
    .. [1] Rosso et al. 1995, Appl. Environ. Microbiol. 61:610-616 (abstract seen;
       formula from memory, confirmed by its value and slope at the optimum).
    """
    _need_rising(ph_min, ph_opt, ph_max)
    if not ph_min < ph < ph_max:
        return 0.0
    a = (ph - ph_min) * (ph - ph_max)
    return a / (a - (ph - ph_opt) ** 2)


def gamma_aw(aw: float, aw_min: float, aw_opt: float = 1.0) -> float:
    """The gamma factor of water activity.

    Returns
    -------
    float
        ``(aw - min) / (opt - min)``, within 0 and 1: no credit for more water than the
        optimum.

    References
    ----------
    .. [1] Zwietering et al. 1992, J. Food Prot. 55:973-978 (from memory, unverified).
    """
    if not aw_min < aw_opt <= 1:
        raise ValueError(
            f"aw_min {aw_min} must lie below aw_opt {aw_opt}, which is <= 1"
        )
    return _within_one((aw - aw_min) / (aw_opt - aw_min))


@dataclass(frozen=True, slots=True)
class Factors:
    """The cardinal values of one organism; None where they are unknown.

    `ph` is lowest, best and highest pH; `aw` is lowest and best water activity.
    """

    ph: tuple[float, float, float] | None = None
    aw: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        self.of_ph(7.0)
        self.of_aw(1.0)

    def of_ph(self, ph: float | None) -> float:
        """The factor of a measured pH; 1 where something is unknown."""
        return NEUTRAL if ph is None or self.ph is None else cardinal_ph(ph, *self.ph)

    def of_aw(self, aw: float | None) -> float:
        """The factor of a measured water activity; 1 where something is unknown."""
        return NEUTRAL if aw is None or self.aw is None else gamma_aw(aw, *self.aw)


def _need_rising(low: float, middle: float, high: float) -> None:
    if not (math.isfinite(low) and math.isfinite(high) and low < middle < high):
        raise ValueError(f"need low < optimum < high, not {low}, {middle}, {high}")


def _within_one(value: float) -> float:
    return min(max(value, 0.0), 1.0)
