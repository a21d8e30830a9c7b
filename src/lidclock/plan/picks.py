"""Which container was taken, and when: out of order, in time, saved late, how old."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from statistics import median
from zoneinfo import ZoneInfo

from lidclock.domain.containers import Container, Inventory
from lidclock.domain.events import Event
from lidclock.domain.fold import Before
from lidclock.domain.moments import local_date
from lidclock.plan.causes import Stood
from lidclock.plan.waste import Period

# Used, frozen or handed on with less than this to go: saved late (our choice).
LATE_SAVE = timedelta(days=1)
# Twins taken within this of each other are one meal: which came first is no matter.
SAME_MEAL = timedelta(hours=1)

Stand = Callable[[Inventory, Container, datetime], Stood]


@dataclass(frozen=True, slots=True)
class Pick:
    """The first time that something was taken from a container.

    `earlier` are the containers of the same food, in reach at that moment, that had
    an earlier last moment; at the same one, those already open, then the oldest.
    """

    code: str
    at: datetime
    earlier: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Rescue:
    """A container used, given or frozen, with its last moment as it then stood.

    `age_days` counts local days since it was made, or opened where it is a pack;
    `days_left` are those that a freezing carried over. `recorded_at` is when somebody
    wrote it down.
    """

    code: str
    kind: str
    at: datetime
    recorded_at: datetime
    stood: Stood
    age_days: int | None = None
    days_left: int | None = None

    @property
    def over_at(self) -> datetime | None:
        """The first instant past its last moment; None while paused or unknown."""
        return self.stood.over_at if self.stood.standing == "dated" else None

    @property
    def is_late_save(self) -> bool:
        """Whether it happened within a day before its last day was over.

        A limit of hours is short by nature: nothing was about to be lost there.
        """
        if self.over_at is None or self.stood.has_hour:
            return False
        return timedelta(0) < self.over_at - self.at <= LATE_SAVE

    @property
    def was_over(self) -> bool:
        """Whether it happened after its last moment."""
        return self.over_at is not None and self.at >= self.over_at

    @property
    def is_marked_late(self) -> bool:
        """In time, but written down only when its last moment had passed."""
        if self.over_at is None:
            return False
        return self.at < self.over_at <= self.recorded_at


class Watch:
    """What was live beside what was taken; `heard` is for the fold.

    Only what happened within `period` is looked at; the rest is followed, so that it is
    known what was there.
    """

    def __init__(self, period: Period, zone: ZoneInfo, stand: Stand) -> None:
        self.picks: list[Pick] = []
        self.rescues: list[Rescue] = []
        self.discards: dict[str, Stood] = {}
        self._period = period
        self._zone = zone
        self._stand = stand
        self._live: dict[str, dict[str, Container]] = {}
        self._food: dict[str, str] = {}
        self._touched: dict[str, list[datetime]] = {}

    def heard(
        self, inventory: Inventory, container: Container, event: Event, before: Before
    ) -> None:
        """Look at one event, then follow what is live after it."""
        if event.happened_at in self._period:
            self._look(inventory, container, event, before)
        if event.kind in ("used", "taken"):
            self._touched.setdefault(container.code, []).append(event.happened_at)
        self._follow(inventory, container, event)

    def _look(
        self, inventory: Inventory, container: Container, event: Event, before: Before
    ) -> None:
        kind, end = event.kind, container.end
        if kind in ("used", "taken") and container.code not in self._touched:
            self._pick(inventory, container, event)
        if kind == "discarded":
            self.discards[container.code] = self._stood(inventory, container, event)
        elif end is not None and end.kind in ("used", "given") and end != before.end:
            stood = self._stood(inventory, container, event)
            self._keep(container, event, end.kind, stood)
        elif kind == "placed" and _is_freezing(container):
            stood = self._stood(inventory, container, event, is_placing=True)
            days = self._stand(inventory, container, event.happened_at).days_left
            self._keep(container, event, "frozen", stood, days)

    def _keep(
        self,
        container: Container,
        event: Event,
        kind: str,
        stood: Stood,
        days_left: int | None = None,
    ) -> None:
        self.rescues.append(
            Rescue(
                code=container.code,
                kind=kind,
                at=event.happened_at,
                recorded_at=event.recorded_at,
                stood=stood,
                age_days=self._age(container, event.happened_at),
                days_left=days_left,
            )
        )

    def _age(self, container: Container, at: datetime) -> int | None:
        began = container.made_at or container.opened_at
        if began is None:
            return None
        return (local_date(at, self._zone) - local_date(began, self._zone)).days

    def _stood(
        self,
        inventory: Inventory,
        container: Container,
        event: Event,
        *,
        is_placing: bool = False,
    ) -> Stood:
        """How it stood just before this event."""
        placings = container.placings[:-1] if is_placing else container.placings
        then = replace(container, end=None, placings=placings)
        return self._stand(inventory, then, event.happened_at)

    def _pick(self, inventory: Inventory, container: Container, event: Event) -> None:
        at = event.happened_at
        own = _rank(container, self._stood(inventory, container, event), at)
        earlier = []
        for code, twin in self._live.get(container.food.casefold(), {}).items():
            if code == container.code or twin.state == "freezer":
                continue
            stood = self._stand(inventory, twin, at)
            is_first = stood.standing == "dated" and not stood.is_over(at)
            if is_first and _rank(twin, stood, at) < own:
                earlier.append(code)
        self.picks.append(Pick(container.code, at, tuple(earlier)))

    def _follow(self, inventory: Inventory, container: Container, event: Event) -> None:
        """Keep the live containers by food; a part of another one has its food late."""
        self._note(container)
        if event.kind == "split":
            for code in event.body["into"]:
                child = inventory.containers.get(code)
                if child is not None:
                    self._note(child)

    def _note(self, container: Container) -> None:
        code, food = container.code, container.food.casefold()
        known = self._food.get(code)
        if known is not None and known != food:
            self._live[known].pop(code, None)
        self._food[code] = food
        live = self._live.setdefault(food, {})
        if container.is_live:
            live[code] = container
        else:
            live.pop(code, None)

    @property
    def out_of_order(self) -> list[Pick]:
        """The picks that left an earlier one standing, which no hand took meanwhile."""
        return [one for one in self.picks if any(map(self._stayed(one), one.earlier))]

    def _stayed(self, pick: Pick) -> Callable[[str], bool]:
        def stayed(code: str) -> bool:
            times = self._touched.get(code, ())
            return all(abs(at - pick.at) > SAME_MEAL for at in times)

        return stayed


def _is_freezing(container: Container) -> bool:
    """Whether its latest placing put it into a freezer, out of something else."""
    states = ["", *(one.state for one in container.placings)]
    return states[-1] == "freezer" != states[-2]


def _rank(
    container: Container, stood: Stood, at: datetime
) -> tuple[bool, float, bool, float]:
    """Earliest last moment first, then the one that was open before, then the oldest.

    One without a last moment, frozen or unknown, comes after all that have one.
    """
    over_at = stood.over_at if stood.standing == "dated" else None
    opened, made = container.opened_at, container.made_at
    return (
        over_at is None,
        over_at.timestamp() if over_at else 0.0,
        opened is None or opened >= at,
        made.timestamp() if made else 0.0,
    )


def middle(numbers: Iterable[int | None]) -> float | None:
    """The median of those that are known; None where none is."""
    known = [one for one in numbers if one is not None]
    return float(median(known)) if known else None
