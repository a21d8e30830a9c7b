"""A law that gives no credit for heat: above the optimum the rate stays at its best."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lidclock.kinetics.rates import Floats, RateLaw, floats, piece

# FDA Fish and Fishery Products Hazards and Controls Guidance, App. 4, Table A-2 summary
# (seen in a university's copy): times count between 50 and 135 °F.
HOLD_UNTIL_C = 57.2


@dataclass(frozen=True, slots=True)
class Held:
    """The law inside, its highest rate from the optimum up to `until_c`, then itself.

    More warmth then never means less growth, up to `until_c`. Used for the high edge of
    a band: that microbes die of heat is nothing to count on while food cools or warms.
    """

    law: RateLaw
    until_c: float = HOLD_UNTIL_C

    @property
    def tmin_c(self) -> float:
        """As the law inside."""
        return self.law.tmin_c

    @property
    def tmax_c(self) -> float:
        """Where the law inside ends, or where holding does."""
        return max(self.law.tmax_c, self.until_c)

    @property
    def optimum_c(self) -> float:
        """As the law inside."""
        return self.law.optimum_c

    def rate(self, temp_c: ArrayLike) -> Floats:
        """The rate at each temperature  [ln units per hour]."""
        temps = floats(temp_c)
        held = np.where(temps <= self.until_c, np.minimum(temps, self.optimum_c), temps)
        return self.law.rate(held)

    def mean_rate(self, start_c: ArrayLike, end_c: ArrayLike) -> Floats:
        """The mean rate on straight runs of temperature."""
        start, end = np.broadcast_arrays(floats(start_c), floats(end_c))
        is_never_hot = not (start > self.optimum_c).any() and not (
            (end > self.optimum_c).any()
        )
        if is_never_hot or self.optimum_c >= self.until_c:
            return self.law.mean_rate(start, end)
        below = piece(start, end, -math.inf, self.optimum_c)
        held = piece(start, end, self.optimum_c, self.until_c)
        above = piece(start, end, self.until_c, math.inf)
        # A run that stands still on a boundary belongs to one side only.
        stands = start == end
        held_share = np.where(stands & (start == self.optimum_c), 0.0, held.share)
        above_share = np.where(stands & (start == self.until_c), 0.0, above.share)
        mean: Floats = (
            self.law.mean_rate(below.start, below.end) * below.share
            + self.law.rate(self.optimum_c) * held_share
            + self.law.mean_rate(above.start, above.end) * above_share
        )
        return mean
