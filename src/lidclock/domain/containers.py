"""What the events make of a kitchen: its foods, batches and containers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Any

from lidclock.domain.cooling import CoolingLog
from lidclock.domain.events import Event
from lidclock.domain.foods import Food, merged_allergens
from lidclock.domain.history import Component, History, Placing, stays_of

UNKNOWN_FOOD = "unknown food"


@dataclass(slots=True)
class Batch:
    """One making of a food, numbered from 1 in each kitchen."""

    id: str
    number: int
    food: str
    made_at: datetime
    total_g: float | None = None
    components: tuple[str, ...] = ()
    lot: str = ""
    count: int = 0
    facts: Food | None = None
    recipe: str = ""


@dataclass(slots=True)
class End:
    """How a container ended: used, discarded, given, missing, split or combined."""

    kind: str
    at: datetime
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Printed:
    """What one label on a lid said, numbered from 1; the last one counts.

    The others are void: they may still be on the lid, or on the floor.
    """

    at: datetime
    number: int
    body: Mapping[str, Any]


@dataclass(slots=True)
class Container:
    """One lidded portion as the events so far describe it."""

    code: str
    food: str
    filled_g: float | None = None
    mass_g: float | None = None
    batch: str | None = None
    index: int | None = None
    of: int | None = None
    made_at: datetime | None = None
    mixed_at: datetime | None = None
    opened_at: datetime | None = None
    filled_at: datetime | None = None
    maker_use_by: date | None = None
    place: str = ""
    state: str = ""
    lot: str = ""
    maker: str = ""
    gtin: str = ""
    end: End | None = None
    components: tuple[str, ...] = ()
    parent: str | None = None
    facts: Food | None = None
    reheated: list[tuple[datetime, float | None]] = field(default_factory=list)
    coolings: list[tuple[datetime, float | None]] = field(default_factory=list)
    probes: list[tuple[datetime, float]] = field(default_factory=list)
    cooling: CoolingLog | None = None
    cools_alone: bool = False
    placings: list[Placing] = field(default_factory=list)
    after_end: list[Event] = field(default_factory=list)
    labels: list[Printed] = field(default_factory=list)

    @property
    def labelled(self) -> bool:
        """Whether its lid was ever labelled; `printed` is what the last label said."""
        return bool(self.labels)

    @property
    def printed(self) -> Mapping[str, Any] | None:
        """What the label that counts says; None where there was none."""
        return self.labels[-1].body if self.labels else None

    @property
    def next_label(self) -> int:
        """The number of the next label: no number comes twice."""
        return max((label.number for label in self.labels), default=0) + 1

    @property
    def is_live(self) -> bool:
        """Whether there is still something in it."""
        return self.end is None

    @property
    def cooling_since(self) -> datetime | None:
        """When its cooling log began, while it waits for readings or for its close."""
        log = self.cooling
        return log.began if log is not None and log.is_open and self.is_live else None

    @property
    def ready_at(self) -> datetime | None:
        """When its cook expects it to be thawed, while it lies where that was said."""
        is_there = self.is_live and self.placings
        return self.placings[-1].ready_at if is_there else None

    @property
    def begins_at(self) -> datetime | None:
        """Before this nothing can have happened to it: its making, split or mixing."""
        is_later = self.parent is not None or self.mixed_at is not None
        return self.filled_at if is_later else self.made_at

    def forget_before(self, at: datetime) -> None:
        """What is recorded of it from before `at` holds from then on, or not at all."""
        self.placings = [replace(x, at=max(x.at, at)) for x in self.placings]
        self.reheated = [x for x in self.reheated if x[0] >= at]
        self.coolings = [x for x in self.coolings if x[0] >= at]
        self.probes = [x for x in self.probes if x[0] >= at]

    @property
    def is_placed(self) -> bool:
        """Whether anybody recorded where it is."""
        return bool(self.placings)


@dataclass(slots=True)
class Inventory:
    """Everything folded from a set of events; `members` are the containers by batch."""

    foods: dict[str, Food] = field(default_factory=dict)
    batches: dict[str, Batch] = field(default_factory=dict)
    containers: dict[str, Container] = field(default_factory=dict)
    members: dict[str, list[Container]] = field(default_factory=dict)

    def food_of(self, container: Container) -> Food:
        """The food as it was when it was filled; later changes are for later fillings.

        A food that nobody described has an unknown category.
        """
        if container.facts is not None:
            return container.facts
        known = self.foods.get(container.food.casefold())
        return known or Food(container.food or UNKNOWN_FOOD, category="")

    def allergens_of(self, container: Container) -> tuple[str, ...] | None:
        """Allergens of its food and of everything that went into it; None if unknown.

        An unrecorded list anywhere makes the whole unknown.
        """
        groups = [self.food_of(part).allergens for part in self._parts(container)]
        return merged_allergens(groups)

    def known_allergens_of(self, container: Container) -> tuple[str, ...]:
        """The allergens recorded in any of its parts, whatever is missing in others."""
        groups = [self.food_of(part).allergens for part in self._parts(container)]
        return merged_allergens(group or () for group in groups) or ()

    def history_of(self, container: Container) -> History:
        """The history that the clock judges, components included."""
        return self._history(container, frozenset())

    def _history(self, container: Container, seen: frozenset[str]) -> History:
        ended_at = container.end.at if container.end else None
        begun_at = container.mixed_at or container.made_at or container.opened_at
        parts = tuple(
            Component(part.food, self.food_of(part), self._history(part, inner))
            for inner in [seen | {container.code}]
            for part in self._components(container)
            if part.code not in inner
        )
        return History(
            made_at=container.made_at,
            mixed_at=container.mixed_at,
            # Opening a lid is no new start for what was made and filled here.
            opened_at=container.opened_at
            if container.made_at is None or self.food_of(container).made_by == "maker"
            else None,
            stays=stays_of(begun_at, container.placings, ended_at),
            reheated_at=tuple(at for at, _ in container.reheated),
            reheated_c=tuple(temp_c for _, temp_c in container.reheated),
            coolings=tuple(container.coolings),
            probes=tuple(container.probes),
            ended_at=ended_at,
            maker_use_by=container.maker_use_by,
            components=parts,
        )

    def _components(self, container: Container) -> Iterator[Container]:
        for code in container.components:
            yield self.containers.get(code) or Container(code, UNKNOWN_FOOD)

    def _parts(self, container: Container) -> Iterator[Container]:
        """The container and everything upstream of it, each once."""
        waiting, seen = [container], set()
        while waiting:
            part = waiting.pop()
            if part.code in seen:
                continue
            seen.add(part.code)
            yield part
            waiting.extend(self._components(part))
