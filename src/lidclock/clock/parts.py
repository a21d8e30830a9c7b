"""Which parts of a mixture pass their last day on to it."""

from __future__ import annotations

from collections.abc import Iterator

from lidclock.domain.history import Component, History
from lidclock.guidance.model import GuidanceSet, Plan


def binding_parts(
    history: History, mixture: Plan, guidance: GuidanceSet
) -> Iterator[Component]:
    """The components whose clock goes on in the mixture: all but cooked raw ones.

    A raw part that was cooked into a cooked food has been through a kill step, and
    the authorities speak of ready-to-eat parts only (Food Code 3-501.17(C)).
    """
    if mixture.inherit is None:
        return
    is_heated = mixture.category is not None and mixture.category.is_heated
    for component in history.components:
        category = guidance.categories.get(component.food.category)
        is_raw = category is not None and category.nature == "raw"
        if not (is_raw and is_heated):
            yield component
