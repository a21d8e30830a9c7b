"""Lines of the lists that hang in a kitchen: what to take out, what to make."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class PullLine:
    """Something to take out at an hour, from where to where, and what it is for.

    `says` is what it is, such as `bun dough, box 2 of 6`; `codes` are the containers in
    the order in which to take them. Where `at` is past it is out already.
    """

    at: datetime
    says: str
    codes: tuple[str, ...] = ()
    from_place: str = ""
    to_place: str = ""
    ready_at: datetime | None = None
    for_meal: str = ""


@dataclass(frozen=True, slots=True)
class Weighing:
    """A recipe at a size: pairs of an input and what to weigh of it."""

    name: str
    inputs: tuple[tuple[str, str], ...]
    total: str = ""
    allergens: str = ""


@dataclass(frozen=True, slots=True)
class PrepLine:
    """A food to make: so many portions, their mass in words, and for which meals.

    `recipe` is None where the kitchen keeps none of that name. `notes` are what its
    cook should know besides, one fact each.
    """

    food: str
    portions: int
    mass: str = ""
    recipe: Weighing | None = None
    for_meals: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
