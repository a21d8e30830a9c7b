"""How much of something: grams, containers nobody weighed, portions and money.

All four are whole numbers of a small unit, so that whatever is divided adds up again to
the tenth of a gram and to the cent.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from lidclock.domain.masses import HEAVIEST_G

MASS_STEPS, PORTION_STEPS, MONEY_STEPS = 10, 10, 100


@dataclass(frozen=True, slots=True)
class Amount:
    """Tenths of a gram, unweighed containers, tenths of portions, cents.

    `unpriced` are the tenths of portions that nobody priced: `money` leaves them out.
    """

    mass: int = 0
    unweighed: int = 0
    portions: int = 0
    money: int = 0
    unpriced: int = 0

    def __add__(self, other: Amount) -> Amount:
        return Amount(
            self.mass + other.mass,
            self.unweighed + other.unweighed,
            self.portions + other.portions,
            self.money + other.money,
            self.unpriced + other.unpriced,
        )

    def __neg__(self) -> Amount:
        return Amount(
            *(-self.mass, -self.unweighed, -self.portions),
            *(-self.money, -self.unpriced),
        )

    def __sub__(self, other: Amount) -> Amount:
        return self + -other

    def share(self, part: int, whole: int) -> Amount:
        """`part` of `whole` of it, each figure to the nearest step.

        All of it where the part is the whole. The rest is what is left of the amount,
        so the two always add up.
        """
        if part >= whole:
            return self
        return Amount(
            _part(self.mass, part, whole),
            0,
            _part(self.portions, part, whole),
            _part(self.money, part, whole),
            _part(self.unpriced, part, whole),
        )

    @property
    def mass_g(self) -> float:
        """Grams of what was weighed."""
        return self.mass / MASS_STEPS

    @property
    def portion_count(self) -> float:
        """Portions, priced or not."""
        return self.portions / PORTION_STEPS

    @property
    def is_nothing(self) -> bool:
        """Whether there is none of it in any figure."""
        return self == NOTHING


NOTHING = Amount()


def total(amounts: Iterable[Amount]) -> Amount:
    """All of them together."""
    whole = NOTHING
    for one in amounts:
        whole += one
    return whole


def tenths(mass_g: float | None) -> int | None:
    """Tenths of a gram; None where nobody weighed it or the figure can be no mass."""
    if mass_g is None or not 0 <= mass_g <= HEAVIEST_G:
        return None
    return round(mass_g * MASS_STEPS)


def weighed(mass_g: float | None) -> Amount:
    """What one container holds: so many grams, or one that nobody weighed."""
    mass = tenths(mass_g)
    return Amount(unweighed=1) if mass is None else Amount(mass)


def _part(value: int, part: int, whole: int) -> int:
    """The nearest whole step of a share, halves up."""
    return (2 * value * part + whole) // (2 * whole)
