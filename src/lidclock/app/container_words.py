"""What a container is, in the words of every screen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from lidclock.app.guidance_words import allergen_names
from lidclock.app.verdict_words import say_when
from lidclock.domain.masses import say_mass
from lidclock.domain.phrases import with_commas
from lidclock.domain.sentences import figure, sentence

if TYPE_CHECKING:
    from lidclock.app.session import Session, View
    from lidclock.domain.foods import Food


def fact_lines(view: View, session: Session) -> list[str]:
    """What it is: batch, mass and times, its category, its allergens, its label."""
    from lidclock.app.allergens import declared_words
    from lidclock.app.remarks import lid_remark

    declared = declared_words(session.guidance.allergens, view.known_allergens)
    category = sentence(
        "category: {category}, under {set}",
        category=view.food.category or sentence("not known"),
        set=session.guidance.id,
    )
    allergens = sentence("allergens: {allergens}", allergens=allergen_words(view))
    return [
        with_commas(_own_facts(view, session.kitchen.zone)),
        category,
        allergens,
        *([declared] if declared else []),
        *([lid_remark(view)] if view.container.is_live and lid_remark(view) else []),
    ]


def _own_facts(view: View, zone: ZoneInfo) -> Iterator[str]:
    """What was recorded of it, one fact after another; empty where nothing was."""
    container = view.container
    batch = view.inventory.batches.get(container.batch or "")
    made, opened = container.made_at, container.opened_at
    if batch:
        yield sentence("batch {number}", number=figure(batch.number))
    if container.mass_g is not None:
        yield say_mass(container.mass_g)
    if container.is_live:
        yield container.place
    if container.ready_at:
        yield sentence("ready {when}", when=say_when(container.ready_at, zone))
    if made:
        yield sentence("made {when}", when=say_when(made, zone))
    else:
        yield sentence("making time not recorded")
    if opened:
        yield sentence("opened {when}", when=say_when(opened, zone))
    if container.lot:
        yield sentence("lot {lot}", lot=container.lot)
    if batch and batch.recipe:
        yield sentence("by the recipe {recipe}", recipe=batch.recipe)


def allergen_words(view: View) -> str:
    """The list; `not recorded` is not the same as `none`."""
    if view.allergens is not None:
        return _listed(view.allergens)
    if not view.known_allergens:
        return sentence("not recorded: ask before handing it on")
    return sentence(
        "{allergens}; others not recorded: ask before handing it on",
        allergens=allergen_names(view.known_allergens),
    )


def allergens_of_food(food: Food) -> str:
    """The same of a food alone, as it was recorded."""
    if food.allergens is None:
        return sentence("not recorded")
    return _listed(food.allergens)


def _listed(allergens: Iterable[str]) -> str:
    return allergen_names(allergens) or sentence("none recorded as present")
