"""What a container is, in the words of every screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lidclock.app.verdict_words import say_when
from lidclock.domain.masses import say_mass

if TYPE_CHECKING:
    from lidclock.app.session import Session, View
    from lidclock.domain.foods import Food


def fact_lines(view: View, session: Session) -> list[str]:
    from lidclock.app.allergens import declared_words
    from lidclock.app.remarks import lid_remark

    container, zone = view.container, session.kitchen.zone
    batch = view.inventory.batches.get(container.batch or "")
    declared = declared_words(session.guidance.allergens, view.known_allergens)
    made = container.made_at
    facts = [
        f"batch {batch.number}" if batch else "",
        say_mass(container.mass_g) if container.mass_g is not None else "",
        container.place if container.is_live else "",
        f"made {say_when(made, zone)}" if made else "making time not recorded",
        f"opened {say_when(container.opened_at, zone)}" if container.opened_at else "",
        f"lot {container.lot}" if container.lot else "",
        f"by the recipe {batch.recipe}" if batch and batch.recipe else "",
    ]
    return [
        ", ".join(fact for fact in facts if fact),
        f"category: {view.food.category or 'not known'}, under {session.guidance.id}",
        f"allergens: {allergen_words(view)}",
        *([declared] if declared else []),
        *([lid_remark(view)] if container.is_live and lid_remark(view) else []),
    ]


def allergen_words(view: View) -> str:
    """The list; `not recorded` is not the same as `none`."""
    if view.allergens is None:
        known = ", ".join(view.known_allergens)
        rest = "not recorded: ask before handing it on"
        return f"{known}; others {rest}" if known else rest
    return ", ".join(view.allergens) or "none recorded as present"


def allergens_of_food(food: Food) -> str:
    """The same of a food alone, as it was recorded."""
    if food.allergens is None:
        return "not recorded"
    return ", ".join(food.allergens) or "none recorded as present"
