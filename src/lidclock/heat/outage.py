"""How long a fridge or freezer without power takes to warm up: an advisory, no limit.

A cabinet and its contents are taken as one temperature. Nothing here lengthens what an
authority gives; whoever shows it shows it only where it comes to less.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

# Latent heat of water, and specific heats near 0 °C: handbook figures, project notes on
# heat, sections 1.1 and 1.2. Solids: between protein (2.0) and carbohydrate (1.55).
LATENT_KJ_KG = 333.6
WATER_KJ_KGK = 4.18
ICE_KJ_KGK = 2.06
SOLIDS_KJ_KGK = 1.6
# What the walls inside take up: project notes on heat, section 7, "20-25 kJ/K".
LINER_KJ_K = 22.0
# Heat that the insulation lets in, from 1.2 (new) to 2.0: an estimate of the project's
# notes on heat, section 7, from what such cabinets use in a year; no source.
UA_NEW_W_K, UA_OLD_W_K = 1.2, 2.0
# How they start where nobody measured: project notes on heat, section 7 (a freezer by
# the figure that every set gives for one).
FRIDGE_START_C, FREEZER_START_C = 3.0, -18.0
# A warm room, so that the estimate errs early. Our choice.
ROOM_C = 25.0

_STEPS = 400


@dataclass(frozen=True, slots=True)
class Contents:
    """What food is made of, by mass: water, the part of it that never freezes, solids.

    Raises ValueError unless these are shares, and ice begins at 0 °C or below.
    """

    water: float
    bound: float
    solids: float
    freezing_c: float

    def __post_init__(self) -> None:
        if not (0 <= self.bound <= self.water <= 1 and 0 <= self.solids <= 1):
            raise ValueError(f"shares lie within 0 and 1, not {self}")
        if self.freezing_c > 0:
            raise ValueError(f"food freezes at 0 °C or below, not {self.freezing_c}")

    def ice(self, temp_c: float) -> float:
        """The share of ice: Miles 1974 (from memory, unverified); 0 if unfrozen."""
        if temp_c >= self.freezing_c:
            return 0.0
        return (self.water - self.bound) * (1 - self.freezing_c / temp_c)

    def enthalpy(self, temp_c: float) -> float:
        """Heat content, partly frozen or not, from liquid water at 0 °C  [kJ/kg].

        Notes
        -----
        Water, ice and solids each with a constant specific heat, less the latent heat
        of the ice there is. Between -20 and -1.7 °C within 1 % of Chen 1985 (checked
        on beef, tests/external).
        """
        ice = self.ice(temp_c)
        heat = WATER_KJ_KGK * (self.water - ice) + ICE_KJ_KGK * ice
        heat += SOLIDS_KJ_KGK * self.solids
        return heat * temp_c - LATENT_KJ_KG * ice


# Beef stew, USDA SR28 no. 22905: water .808, protein .044 (0.4 of which binds water),
# freezing point estimated (project notes on heat, section 1.4). It stands for a mixed
# cabinet: of six foods tried only raw dough came to -2 °C sooner.
STEW = Contents(water=0.808, bound=0.4 * 0.044, solids=0.192, freezing_c=-1.0)
# Water alone, for ice packs and for measured freezers full of ice.
ICE = Contents(water=1.0, bound=0.0, solids=0.0, freezing_c=0.0)


@dataclass(frozen=True, slots=True)
class Cabinet:
    """A fridge or freezer with no power and its door shut.

    Parameters
    ----------
    mass_kg : food in it  [kg]
    ua_w_k : heat let in for each degree between room and cabinet  [W/K]
    room_c : temperature around it  [°C]
    liner_kj_k : heat capacity of its walls inside  [kJ/K]
    contents : what the food is made of

    Raises
    ------
    ValueError
        If a mass or heat capacity is negative, or `ua_w_k` is not positive.
    """

    mass_kg: float
    ua_w_k: float
    room_c: float = ROOM_C
    liner_kj_k: float = LINER_KJ_K
    contents: Contents = STEW

    def __post_init__(self) -> None:
        if not (self.mass_kg >= 0 and self.liner_kj_k >= 0):
            raise ValueError("a cabinet holds no less than nothing")
        if not self.ua_w_k > 0:
            raise ValueError(f"heat let in must be positive, not {self.ua_w_k}")
        if not math.isfinite(self.room_c):
            raise ValueError(f"a room has a temperature, not {self.room_c}")

    def heat(self, temp_c: float) -> float:
        """Heat content of food and walls  [kJ]."""
        return self.mass_kg * self.contents.enthalpy(temp_c) + self.liner_kj_k * temp_c

    def hours_to(self, to_c: float, from_c: float) -> float:
        """Hours from one temperature up to another; 0 if it is there, else maybe never.

        Notes
        -----
        ``M H'(T) dT/dt = UA (Troom - T)`` with the walls' heat capacity added, taken as
        ``dt = dQ / (UA (Troom - T))`` and summed over equal steps of T: the heat of
        each step is exact, so that no latent heat is missed. The cabinet is one
        temperature: real air runs ahead of the food, and food in the middle behind.
        """
        if to_c <= from_c:
            return 0.0
        if self.room_c <= to_c:
            return math.inf
        step = (to_c - from_c) / _STEPS
        edges = [from_c + step * n for n in range(_STEPS)] + [to_c]
        heats = [self.heat(temp_c) for temp_c in edges]
        seconds = 0.0
        for n in range(_STEPS):
            middle = (edges[n] + edges[n + 1]) / 2
            gain_w = self.ua_w_k * (self.room_c - middle)
            seconds += (heats[n + 1] - heats[n]) * 1000 / gain_w
        return seconds / 3600


def hours_band(
    to_c: float, from_c: float, mass_kg: float, room_c: float = ROOM_C
) -> tuple[float, float]:
    """The hours for a cabinet that lets in much heat, and for one that lets in little.

    The first is the earlier. Infinite where the room is no warmer than `to_c`.
    """
    old, new = (
        Cabinet(mass_kg, ua_w_k, room_c).hours_to(to_c, from_c)
        for ua_w_k in (UA_OLD_W_K, UA_NEW_W_K)
    )
    return old, new
