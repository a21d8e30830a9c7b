"""How readily heat passes between a container and what is around it.

Still air, from correlations of natural convection with radiation (emissivity 0.9);
project notes on heat, section 5. Nobody measured them: hence low, middle and high.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Film:
    """Film coefficients in W/m²K, and what they hold for."""

    name: str
    low: float
    mid: float
    high: float

    @property
    def all(self) -> tuple[float, float, float]:
        """From the highest to the lowest, as the times rise."""
        return self.high, self.mid, self.low


FREEZER = Film("still air of a freezer", 5, 7, 10)
FRIDGE = Film("still air of a fridge", 6, 8, 10)
COUNTER = Film("still air of a room", 7, 9, 12)
# Round a pack that lies in it; the same notes, from natural convection.
WATER = Film("still cold water", 100, 200, 400)
# Beyond these a medium is taken for a freezer, or for a room: between what freezers and
# fridges, and fridges and rooms, are set to. Our choice.
_FREEZER_BELOW_C, _ROOM_FROM_C = -5.0, 10.0


def film_in_air(medium_c: float) -> Film:
    """The film of still air as cold as this."""
    if medium_c < _FREEZER_BELOW_C:
        return FREEZER
    return FRIDGE if medium_c < _ROOM_FROM_C else COUNTER
