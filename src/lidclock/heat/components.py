"""What food is made of, and how each part conducts, weighs and holds heat.

Choi and Okos 1986, polynomials in the temperature in °C, fitted from -40 to 150 °C.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

WATER, ICE = "water", "ice"
SOLIDS = ("protein", "fat", "carbohydrate", "fibre", "ash")
PARTS = (WATER, *SOLIDS)
FITTED_C = (-40.0, 150.0)

# Choi and Okos's polynomial of liquid water turns up below 0 °C, to 5.9 kJ/kgK at -40;
# water that stays liquid in frozen food is held at this instead. Project notes on heat,
# section 1.1: our choice.
COLD_WATER_CP = 4.18


@dataclass(frozen=True, slots=True)
class Component:
    """Coefficients of a + b t + c t²: W/mK, kg/m³ and kJ/kgK, t in °C."""

    conductivity: tuple[float, ...]
    density: tuple[float, ...]
    specific_heat: tuple[float, ...]

    def conductivity_w_mk(self, temp_c: float) -> float:
        """Thermal conductivity [W/mK]."""
        return _polynomial(self.conductivity, temp_c)

    def density_kg_m3(self, temp_c: float) -> float:
        """Density [kg/m³]."""
        return _polynomial(self.density, temp_c)

    def specific_heat_kj_kgk(self, temp_c: float) -> float:
        """Specific heat [kJ/kgK]."""
        return _polynomial(self.specific_heat, temp_c)


# Choi and Okos 1986, as printed in Ibarz's table of properties (seen as a scan) and as
# fluids INCOMP::Food* of CoolProp 8.0.0 (the same digit for digit, but for the heat of
# water). The slope of fat's conductivity prints + in the scan; CoolProp has -.
COMPONENTS: Mapping[str, Component] = {
    "protein": Component(
        (1.7881e-1, 1.1958e-3, -2.7178e-6),
        (1329.9, -0.51840),
        (2.0082, 1.2089e-3, -1.3129e-6),
    ),
    "fat": Component(
        (1.8071e-1, -2.7604e-4, -1.7749e-7),
        (925.59, -0.41757),
        (1.9842, 1.4733e-3, -4.8008e-6),
    ),
    "carbohydrate": Component(
        (2.0141e-1, 1.3874e-3, -4.3312e-6),
        (1599.1, -0.31046),
        (1.5488, 1.9625e-3, -5.9399e-6),
    ),
    "fibre": Component(
        (1.8331e-1, 1.2497e-3, -3.1683e-6),
        (1311.5, -0.36589),
        (1.8459, 1.8306e-3, -4.6509e-6),
    ),
    "ash": Component(
        (3.2962e-1, 1.4011e-3, -2.9069e-6),
        (2423.8, -0.28063),
        (1.0926, 1.8896e-3, -3.6817e-6),
    ),
    # The heat of water begins at 4.1762 in the table of 1986; CoolProp, which credits
    # a handbook of 2010, has 4.1289, one hundredth less than water is.
    WATER: Component(
        (5.7109e-1, 1.7625e-3, -6.7036e-6),
        (997.18, 3.1439e-3, -3.7574e-3),
        (4.1762, -9.0864e-5, 5.4731e-6),
    ),
    ICE: Component(
        (2.2196, -6.2489e-3, 1.0154e-4),
        (916.89, -0.13071),
        (2.0623, 6.0769e-3),
    ),
}


def specific_heat_kj_kgk(part: str, temp_c: float) -> float:
    """Specific heat of a part of food, water held at 4.18 below 0 °C  [kJ/kgK]."""
    if part == WATER and temp_c < 0:
        return COLD_WATER_CP
    return COMPONENTS[part].specific_heat_kj_kgk(temp_c)


def _polynomial(coefficients: tuple[float, ...], temp_c: float) -> float:
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * temp_c + coefficient
    return total
