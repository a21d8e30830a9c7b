"""Ingredients: a name and the mass put in, as a cook wrote both down."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from lidclock.domain.masses import exact_grams
from lidclock.errors import InputError

NONE = "none"
_BRACKETS = {")": "(", "]": "["}
_EXAMPLE = 'write it like "wheat flour=500g" or "stock (celery, salt)=1.5 oz"'


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One ingredient; its own parts may follow its name in brackets.

    `mass` is kept as written, so that nothing is lost by rounding it to grams.
    """

    name: str
    mass: str

    def __post_init__(self) -> None:
        if not self.name or not self.name.isprintable():
            raise ValueError(f"an ingredient needs a name that prints: {self.name!r}")
        if exact_grams(self.mass) is None:
            raise ValueError(f"{self.mass!r} is not the mass of an ingredient")

    @property
    def grams(self) -> Decimal:
        """The mass in grams, exact."""
        grams = exact_grams(self.mass)
        assert grams is not None  # checked when it was made
        return grams

    def as_dict(self) -> dict[str, str]:
        """The ingredient as JSON-ready data."""
        return {"name": self.name, "mass": self.mass}


def ingredient_from(facts: Mapping[str, Any]) -> Ingredient:
    """The ingredient that `as_dict` described."""
    return Ingredient(facts["name"], facts["mass"])


def read_ingredient(text: str) -> Ingredient:
    """`wheat flour=500g`: what stands before the last `=` is the name.

    Raises InputError for a missing name or mass, and for brackets that do not match.
    """
    name, equals, mass = (" ".join(x.split()) for x in text.rpartition("="))
    if not equals or not name:
        raise InputError(f"{text!r} is no ingredient with its mass; {_EXAMPLE}")
    if not name.isprintable():
        raise InputError(f"{name!r} holds a character that cannot be printed")
    if exact_grams(mass) is None:
        raise InputError(f"{mass!r} in {text!r} is not a mass above 0 g; {_EXAMPLE}")
    if not _is_balanced(name):
        raise InputError(f"the brackets in {name!r} do not match; {_EXAMPLE}")
    return Ingredient(name, mass)


def read_ingredients(texts: Iterable[str]) -> tuple[Ingredient, ...]:
    """Several, in the order given; `none` alone is an empty list.

    The same name twice is refused: a list that names butter twice misleads.
    """
    given = [text.strip() for text in texts]
    if [one.casefold() for one in given] == [NONE]:
        return ()
    found: dict[str, Ingredient] = {}
    for text in given:
        one = read_ingredient(text)
        known = found.setdefault(one.name.casefold(), one)
        if known is not one:
            raise InputError(
                f"{one.name!r} stands there twice; give it once, with both masses added"
            )
    return tuple(found.values())


def by_weight(ingredients: Iterable[Ingredient]) -> tuple[Ingredient, ...]:
    """The heaviest first; those that weigh the same keep their order."""
    return tuple(sorted(ingredients, key=lambda one: one.grams, reverse=True))


def _is_balanced(name: str) -> bool:
    open_ones: list[str] = []
    for letter in name:
        if letter in _BRACKETS.values():
            open_ones.append(letter)
        elif letter in _BRACKETS and (
            not open_ones or open_ones.pop() != _BRACKETS[letter]
        ):
            return False
    return not open_ones
