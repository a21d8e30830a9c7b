"""A food's heat from its composition: density, conductivity, ice, enthalpy."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from lidclock.heat.components import (
    COMPONENTS,
    ICE,
    PARTS,
    SOLIDS,
    WATER,
    specific_heat_kj_kgk,
)
from lidclock.heat.curves import Curve, Floats, curve_of

# Heat that a kilogram of water gives off as it freezes; project notes on heat, section
# 1.2 (handbook figure, from memory).
LATENT_KJ_KG = 333.6
# Water bound to protein does not freeze: 0.4 kg a kg (ASHRAE, from memory).
BOUND_WATER_PER_PROTEIN = 0.4
# Densities are taken here, so that a container keeps its mass as it freezes.
DENSITY_AT_C = 20.0
SUM_SLACK = 0.02

_COLDEST_C, _WARMEST_C = -45.0, 155.0
# From 0.0001 K below freezing down in equal ratios: ice forms fastest at first.
_FROZEN_POINTS, _FIRST_STEP_K = 240, 1e-4
_WARM_STEP_K = 5.0


@dataclass(frozen=True, slots=True)
class Composition:
    """Mass fractions of a food, and the temperature at which it begins to freeze.

    They are brought to a sum of one; ValueError if they miss it by more than 2 %.
    """

    water: float
    protein: float = 0.0
    fat: float = 0.0
    carbohydrate: float = 0.0
    fibre: float = 0.0
    ash: float = 0.0
    freezing_c: float = -1.0

    def __post_init__(self) -> None:
        for part in PARTS:
            if not 0 <= getattr(self, part) <= 1:
                raise ValueError(f"{part} must lie from 0 to 1")
        if not _COLDEST_C < self.freezing_c < 0:
            raise ValueError(f"freezing_c must lie below 0, got {self.freezing_c}")
        total = sum(getattr(self, part) for part in PARTS)
        if abs(total - 1) > SUM_SLACK:
            raise ValueError(f"the parts add up to {total:.3f}, not to 1")
        for part in PARTS:
            object.__setattr__(self, part, getattr(self, part) / total)

    def ice(self, temp_c: float) -> float:
        """Mass fraction of ice at a temperature.

        Notes
        -----
        Miles 1974 (from memory): ``(x_water - x_bound) (1 - Tf / T)``. For thin broth
        it gives up to 15 % more ice than Tchigeov's formula, for cheese less.
        """
        if temp_c >= self.freezing_c:
            return 0.0
        free = max(0.0, self.water - BOUND_WATER_PER_PROTEIN * self.protein)
        return free * (1 - self.freezing_c / temp_c)

    def parts(self, temp_c: float) -> dict[str, float]:
        """Mass fractions at a temperature, ice among them."""
        ice = self.ice(temp_c)
        solids = {part: getattr(self, part) for part in SOLIDS}
        return {WATER: self.water - ice, ICE: ice, **solids}

    def density_kg_m3(self) -> float:
        """Density of the food before it freezes  [kg/m³]."""
        return density(self.parts(DENSITY_AT_C), DENSITY_AT_C)

    def specific_heat_kj_kgk(self, temp_c: float) -> float:
        """Specific heat at a temperature, without the heat of freezing  [kJ/kgK]."""
        return specific_heat(self.parts(temp_c), temp_c)

    def conductivity_w_mk(self, temp_c: float) -> float:
        """Conductivity at a temperature, parts side by side  [W/mK]."""
        return conductivity_parallel(self.parts(temp_c), temp_c)

    def heat_kj_kg(self, from_c: float, to_c: float) -> float:
        """Heat taken up from one temperature to another; negative on cooling."""
        curve = curve_from(self)
        change = curve.heat_at(to_c) - curve.heat_at(from_c)
        return change / (self.density_kg_m3() * 1000)


def density(parts: Mapping[str, float], temp_c: float) -> float:
    """Density of a mixture without pores, from mass fractions  [kg/m³]."""
    return 1 / sum(_volumes(parts, temp_c).values())


def specific_heat(parts: Mapping[str, float], temp_c: float) -> float:
    """Specific heat of a mixture  [kJ/kgK]."""
    return sum(
        share * specific_heat_kj_kgk(part, temp_c) for part, share in parts.items()
    )


def conductivity_parallel(parts: Mapping[str, float], temp_c: float) -> float:
    """Conductivity of parts side by side: good for wet food  [W/mK]."""
    volumes = _volumes(parts, temp_c)
    total = sum(volumes.values())
    return sum(
        volume / total * COMPONENTS[part].conductivity_w_mk(temp_c)
        for part, volume in volumes.items()
    )


def conductivity_series(parts: Mapping[str, float], temp_c: float) -> float:
    """Conductivity of parts one behind another: the least it can be  [W/mK]."""
    volumes = _volumes(parts, temp_c)
    total = sum(volumes.values())
    return 1 / sum(
        volume / total / COMPONENTS[part].conductivity_w_mk(temp_c)
        for part, volume in volumes.items()
    )


@lru_cache(maxsize=64)
def curve_from(food: Composition) -> Curve:
    """The food's enthalpy and conductivity from -45 to 155 °C, datum -45 °C."""
    temps = _temperatures(food.freezing_c)
    heats = np.array([food.specific_heat_kj_kgk(temp) for temp in temps])
    ice = np.array([food.ice(temp) for temp in temps])
    sensible = np.diff(temps) * (heats[1:] + heats[:-1]) / 2
    per_kg = np.concatenate([[0.0], np.cumsum(sensible - LATENT_KJ_KG * np.diff(ice))])
    conductivities = np.array([food.conductivity_w_mk(temp) for temp in temps])
    return curve_of(temps, per_kg * 1000 * food.density_kg_m3(), conductivities)


def curve_of_constants(
    *,
    frozen_j_m3k: float,
    unfrozen_j_m3k: float,
    frozen_w_mk: float,
    unfrozen_w_mk: float,
    latent_j_m3: float,
    freezing_c: float,
) -> Curve:
    """The curve of a material given by constants, its ice as ``1 - Tf / T``."""
    temps = _temperatures(freezing_c)
    liquid = np.where(temps < freezing_c, freezing_c / np.minimum(temps, -1e-9), 1.0)
    heats = frozen_j_m3k + (unfrozen_j_m3k - frozen_j_m3k) * liquid
    rise = np.diff(temps) * (heats[1:] + heats[:-1]) / 2 + latent_j_m3 * np.diff(liquid)
    conductivities = frozen_w_mk + (unfrozen_w_mk - frozen_w_mk) * liquid
    return curve_of(temps, np.concatenate([[0.0], np.cumsum(rise)]), conductivities)


def _volumes(parts: Mapping[str, float], temp_c: float) -> dict[str, float]:
    return {
        part: share / COMPONENTS[part].density_kg_m3(temp_c)
        for part, share in parts.items()
    }


def _temperatures(freezing_c: float) -> Floats:
    """Points close together just below freezing, farther apart elsewhere."""
    deepest = freezing_c - _COLDEST_C
    steps = np.geomspace(_FIRST_STEP_K, deepest, _FROZEN_POINTS)
    count = math.ceil((_WARMEST_C - freezing_c) / _WARM_STEP_K)
    above = np.linspace(freezing_c, _WARMEST_C, count + 1)
    if freezing_c < 0:
        above = np.union1d(above, [0.0])
    return np.concatenate([freezing_c - steps[::-1], above])
