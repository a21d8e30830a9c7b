"""How a container stood at a moment long past, by what was recorded until then."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace
from datetime import datetime

from lidclock.app.session import Unit
from lidclock.clock import judge
from lidclock.clock.verdict import Verdict
from lidclock.domain.containers import Container, Inventory
from lidclock.domain.history import History
from lidclock.plan.causes import Stood

# Limits that food reaches because it was not kept cold, or not made cold in time.
_WARM_KINDS = ("exposure", "chill", "process")


class Stands:
    """Verdicts of moments in the past, each worked out once.

    Between two events of a container its limit moves only where its place was read to
    go warm, so a verdict serves until the next of either.
    """

    def __init__(self, unit: Unit) -> None:
        self._unit = unit
        self._histories: dict[Hashable, History] = {}
        self._stood: dict[Hashable, Stood] = {}

    def stand(self, inventory: Inventory, container: Container, at: datetime) -> Stood:
        """How `container`, as it now is in the fold, stood at `at`."""
        key = _version(container)
        history = self._histories.get(key)
        if history is None:
            own = inventory.history_of(container)
            history = self._histories[key] = self._unit.charging.measured(own)
        begun = sum(1 for stay in history.stays if stay.began <= at)
        whole = (key, begun)
        known = self._stood.get(whole)
        if known is None:
            known = self._judged(inventory, container, _until(history, begun), at)
            self._stood[whole] = known
        return known

    def _judged(
        self, inventory: Inventory, container: Container, history: History, at: datetime
    ) -> Stood:
        session = self._unit.session
        verdict = judge(
            inventory.food_of(container),
            history,
            session.guidance,
            zone=session.kitchen.zone,
            now=at,
            accepts_unmeasured=session.kitchen.accepts_unmeasured,
        )
        binding = verdict.binding
        return Stood(
            verdict.standing,
            binding.over_at if binding is not None else None,
            verdict.carried_days,
            is_warm=_is_warm(verdict, session.guidance.cold_c),
            has_hour=binding is not None and binding.includes_moment,
        )


def _version(container: Container) -> Hashable:
    """What a container's history is made of: the same again where nothing was added."""
    return (
        container.code,
        container.food,
        container.made_at,
        container.opened_at,
        container.end.at if container.end else None,
        len(container.placings),
        len(container.reheated),
        len(container.coolings),
        len(container.components),
    )


def _until(history: History, begun: int) -> History:
    """The history while its `begun`-th stay lasts: what came later is not known yet."""
    if begun >= len(history.stays):
        return history
    stays = history.stays[:begun]
    last = [replace(stays[-1], ended=None)] if stays else []
    return replace(history, stays=(*stays[:-1], *last))


def _is_warm(verdict: Verdict, cold_c: float) -> bool:
    """Whether slow cooling made the limit, or a fridge or freezer that was warm."""
    binding = verdict.binding
    if binding is None:
        return False
    kind = binding.rule.kind
    if kind in ("chill", "process"):
        return True
    if kind not in _WARM_KINDS and not (binding.via and binding.includes_moment):
        return False
    parts = [part.history for part in verdict.history.components]
    return any(
        stay.state in ("fridge", "freezer")
        and stay.temp_c is not None
        and stay.temp_c > cold_c
        for history in (verdict.history, *parts)
        for stay in history.stays
    )
