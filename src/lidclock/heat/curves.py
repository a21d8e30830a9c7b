"""How much heat food holds at each temperature, and how readily it lets it through.

The curve is kept by enthalpy, since temperature hardly moves while water freezes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

Floats: TypeAlias = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Curve:
    """Enthalpy and Kirchhoff's potential against temperature, straight between points.

    Parameters
    ----------
    temp_c : (n,) array, strictly increasing  [°C]
    heat_j_m3 : (n,) array, strictly increasing, the enthalpy  [J/m³]
    potential_w_m : (n,) array, the integral of the conductivity over temperature  [W/m]

    Notes
    -----
    A flow of heat between two points is the difference of their potentials over their
    distance, exactly, however the conductivity changes between them. Beyond its ends
    the curve goes on straight.
    """

    temp_c: Floats
    heat_j_m3: Floats
    potential_w_m: Floats

    def __post_init__(self) -> None:
        for name, values in (("temp_c", self.temp_c), ("heat_j_m3", self.heat_j_m3)):
            if values.ndim != 1 or values.size < 2 or not np.all(np.diff(values) > 0):
                raise ValueError(f"{name} must rise strictly over two points or more")

    def heat_at(self, temp_c: float) -> float:
        """Enthalpy at a temperature  [J/m³]."""
        index = _segment(self.temp_c, np.asarray(temp_c, dtype=np.float64))
        return float(_line(self.temp_c, self.heat_j_m3, index, temp_c))

    def temp_at(self, heat_j_m3: Floats) -> Floats:
        """Temperature at each enthalpy  [°C]."""
        index = _segment(self.heat_j_m3, heat_j_m3)
        return _line(self.heat_j_m3, self.temp_c, index, heat_j_m3)

    def conductivity_at(self, temp_c: float) -> float:
        """Conductivity at a temperature  [W/mK]."""
        index = _segment(self.temp_c, np.asarray(temp_c, dtype=np.float64))
        rise = self.potential_w_m[index + 1] - self.potential_w_m[index]
        return float(rise / (self.temp_c[index + 1] - self.temp_c[index]))


class Tangents:
    """The straight pieces of a curve, by enthalpy: as quick to read as may be.

    Slopes are the steepest within `reach_j_m3`. A step that takes the slope at the very
    point runs past the bend at the freezing point and back again, ever shorter.
    """

    def __init__(self, curve: Curve, reach_j_m3: float) -> None:
        ends = curve.heat_j_m3
        rise = np.diff(ends)
        temp, potential = np.diff(curve.temp_c) / rise, np.diff(curve.potential_w_m)
        self._breaks = ends[1:-1]
        self._temp, self._potential = temp, potential / rise
        self._temp_0 = curve.temp_c[:-1] - temp * ends[:-1]
        self._potential_0 = curve.potential_w_m[:-1] - self._potential * ends[:-1]
        first = _segment(ends, ends[:-1] - reach_j_m3)
        last = _segment(ends, ends[1:] + reach_j_m3) + 1
        near = list(zip(first.tolist(), last.tolist(), strict=True))
        self._warming = np.array([temp[a:b].max() for a, b in near])
        self._conducting = np.array([self._potential[a:b].max() for a, b in near])

    def values(self, heat_j_m3: Floats) -> tuple[Floats, Floats]:
        """The potential at each enthalpy of (cases, nodes); the last's temperature."""
        index = self._breaks.searchsorted(heat_j_m3, side="right")
        return self._values(heat_j_m3, index)

    def values_and_slopes(
        self, heat_j_m3: Floats
    ) -> tuple[Floats, Floats, Floats, Floats]:
        """The same, then how both rise with the enthalpy."""
        index = self._breaks.searchsorted(heat_j_m3, side="right")
        potential, face_c = self._values(heat_j_m3, index)
        warming = self._warming.take(index[:, -1])
        return potential, face_c, self._conducting.take(index), warming

    def _values(
        self, heat: Floats, index: npt.NDArray[np.intp]
    ) -> tuple[Floats, Floats]:
        face = index[:, -1]
        potential = self._potential_0.take(index) + self._potential.take(index) * heat
        return potential, self._temp_0.take(face) + self._temp.take(face) * heat[:, -1]


def curve_of(temp_c: Floats, heat_j_m3: Floats, conductivity_w_mk: Floats) -> Curve:
    """The curve through these points, the conductivity given at each of them."""
    middle = (conductivity_w_mk[1:] + conductivity_w_mk[:-1]) / 2
    steps = np.concatenate([[0.0], np.cumsum(middle * np.diff(temp_c))])
    return Curve(temp_c, heat_j_m3, steps)


def _segment(grid: Floats, values: Floats) -> npt.NDArray[np.intp]:
    """Between which points of the grid each value lies; the outermost ones go on."""
    inner: npt.NDArray[np.intp] = np.searchsorted(grid[1:-1], values, side="right")
    return inner


def _line(
    grid: Floats, heights: Floats, index: npt.NDArray[np.intp], at: Floats | float
) -> Floats:
    slope = (heights[index + 1] - heights[index]) / (grid[index + 1] - grid[index])
    along: Floats = heights[index] + slope * (at - grid[index])
    return along
