"""Which parts of a mixture pass their last day on to it."""

from __future__ import annotations

from lidclock.domain.history import Component, History
from lidclock.guidance.model import Plan
from lidclock.guidance.sets import GuidanceSet


def goes_on(
    part: Component, mixture: History, plan: Plan, guidance: GuidanceSet
) -> bool:
    """Whether the part's clock goes on in the mixture: unless it was raw and cooked.

    A raw part that was cooked into a cooked food has been through a kill step, and
    the authorities speak of ready-to-eat parts only (Food Code 3-501.17(C)). Parts
    that were only put together have not.
    """
    category = guidance.categories.get(part.food.category)
    is_raw = category is not None and category.nature == "raw"
    is_heated = plan.category is not None and plan.category.is_heated
    return not (is_raw and is_heated and mixture.mixed_at is None)
