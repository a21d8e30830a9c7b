"""What a food is: the facts that guidance, labels and allergens hang on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from lidclock.domain.ingredients import Ingredient, ingredient_from

MADE_BY = ("kitchen", "maker")
PACKS = ("air", "vacuum", "vacuum-plan", "cook-chill")
LONGEST_HOUSE_DAYS = 366
TIME_ONLY_HOURS = (6,)


@dataclass(frozen=True, slots=True)
class Food:
    """One food of a kitchen; `allergens=None` means nobody recorded them.

    `house_days` is the kitchen's own day count: it shortens what an authority allows,
    and stands alone, worded as a house rule, where no authority gives a figure.
    `pack` is `vacuum` without air and without a hazard plan, `vacuum-plan` under a plan
    that an authority accepted, `cook-chill` a sous vide or cook-chill bag under one.
    `time_only_hours` puts it under a longer time as the only control, where a set has
    one. `ingredients` in the order recorded; empty where nobody recorded any.
    """

    name: str
    category: str
    allergens: tuple[str, ...] | None = None
    made_by: str = "kitchen"
    pack: str = "air"
    ph: float | None = None
    aw: float | None = None
    portion_g: float | None = None
    handling: str = ""
    house_days: int | None = None
    time_only_hours: int | None = None
    ingredients: tuple[Ingredient, ...] = ()

    def __post_init__(self) -> None:
        if self.made_by not in MADE_BY:
            raise ValueError(f"made_by must be one of {MADE_BY}, not {self.made_by!r}")
        if self.pack not in PACKS:
            raise ValueError(f"pack must be one of {PACKS}, not {self.pack!r}")
        if self.ph is not None and not 0 <= self.ph <= 14:
            raise ValueError(f"pH must lie within 0 and 14, not {self.ph}")
        if self.aw is not None and not 0 <= self.aw <= 1:
            raise ValueError(f"water activity must lie within 0 and 1, not {self.aw}")
        if self.house_days is not None and not (
            1 <= self.house_days <= LONGEST_HOUSE_DAYS
        ):
            raise ValueError(
                f"house days must lie within 1 and {LONGEST_HOUSE_DAYS}, "
                f"not {self.house_days}"
            )

        if self.time_only_hours not in (None, *TIME_ONLY_HOURS):
            raise ValueError(
                f"time-only hours must be one of {TIME_ONLY_HOURS}, "
                f"not {self.time_only_hours}"
            )

    def as_dict(self) -> dict[str, Any]:
        """The food as JSON-ready data; what is not known is left out."""
        facts = {key: value for key, value in asdict(self).items() if value is not None}
        if self.allergens is not None:
            facts["allergens"] = list(self.allergens)
        del facts["ingredients"]
        if self.ingredients:
            facts["ingredients"] = [one.as_dict() for one in self.ingredients]
        return facts


def food_from(facts: Mapping[str, Any]) -> Food:
    """The food that `as_dict` described."""
    known = dict(facts)
    if known.get("allergens") is not None:
        known["allergens"] = tuple(known["allergens"])
    known["ingredients"] = tuple(map(ingredient_from, known.get("ingredients", ())))
    return Food(**known)


def merged_allergens(
    groups: Iterable[tuple[str, ...] | None],
) -> tuple[str, ...] | None:
    """The union of several allergen lists; None as soon as one was not recorded."""
    union: dict[str, None] = {}
    for group in groups:
        if group is None:
            return None
        union.update(dict.fromkeys(group))
    return tuple(union)
