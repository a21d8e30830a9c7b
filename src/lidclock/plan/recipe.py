"""Recipes: inputs in proportion, what they are counted in percent of, what is made."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

HUNDRED = Fraction(100)


@dataclass(frozen=True, slots=True)
class Price:
    """What a purchased mass costs, as bought: before peel and bone are off."""

    money: Fraction
    grams: Fraction
    per: str


@dataclass(frozen=True, slots=True)
class Input:
    """One thing that goes in: so many parts, usable, beside the parts of the others.

    `usable` is the share of what was bought that remains after trimming (edible
    portion over as purchased). `allergens=None` means that nobody recorded them all;
    `traced` are those that are known to be in it even so.
    """

    name: str
    parts: Fraction
    usable: Fraction = Fraction(1)
    price: Price | None = None
    allergens: tuple[str, ...] | None = None
    traced: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.parts <= 0 or self.usable <= 0:
            raise ValueError(f"{self.name}: parts and usable share must be above zero")

    @property
    def known_allergens(self) -> tuple[str, ...]:
        """What is known to be in it, whether or not that is all."""
        return self.traced if self.allergens is None else self.allergens


@dataclass(frozen=True, slots=True)
class Makes:
    """What the recipe makes as it is written, whatever is lost on the way."""

    count: int
    portion_g: Fraction | None = None

    def __post_init__(self) -> None:
        if self.count < 1 or (self.portion_g is not None and self.portion_g <= 0):
            raise ValueError(f"a recipe cannot make {self.count} x {self.portion_g} g")


@dataclass(frozen=True, slots=True)
class Recipe:
    """Inputs, and the names of those that percentages are of; none means of the whole.

    With the flour as base the percentages are baker's percentages. Parts are grams
    where `is_weighed`, else anything in proportion. `loss` is the share of the mix that
    is lost between mixing and filling; where the recipe says what it `makes`, its
    losses are in that.
    """

    name: str
    inputs: tuple[Input, ...]
    base: tuple[str, ...] = ()
    is_weighed: bool = True
    loss: Fraction = Fraction(0)
    makes: Makes | None = None

    def __post_init__(self) -> None:
        names = {one.name for one in self.inputs}
        if not self.inputs or len(names) != len(self.inputs):
            raise ValueError(f"{self.name}: inputs must be there, each of its own name")
        if not set(self.base) <= names:
            raise ValueError(f"{self.name}: the base {self.base} is not among {names}")
        if not 0 <= self.loss < 1:
            raise ValueError(f"{self.name}: a loss of {self.loss} leaves nothing")
        if self.makes is not None and (self.loss or not self.is_weighed):
            raise ValueError(f"{self.name}: what it makes needs masses and no loss")

    @property
    def parts(self) -> Fraction:
        """The sum of all inputs."""
        return sum((one.parts for one in self.inputs), Fraction(0))

    @property
    def base_parts(self) -> Fraction:
        """The sum of the inputs that count as 100 %."""
        if not self.base:
            return self.parts
        return sum((x.parts for x in self.inputs if x.name in self.base), Fraction(0))

    def percent(self, one: Input) -> Fraction:
        """An input in percent of the base."""
        return one.parts / self.base_parts * HUNDRED

    @property
    def percent_total(self) -> Fraction:
        """All percentages added: 169.5 % for a dough on 100 % flour."""
        return self.parts / self.base_parts * HUNDRED


def heaviest_first(inputs: Iterable[Input]) -> tuple[Input, ...]:
    """In descending weight as they go in; equal ones keep their order."""
    return tuple(sorted(inputs, key=lambda one: one.parts, reverse=True))
