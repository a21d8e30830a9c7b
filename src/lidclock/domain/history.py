"""A container's history: stays, openings, kill steps, components."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from itertools import zip_longest

from lidclock.domain.foods import Food

MELTING_C = 0.0


@dataclass(frozen=True, slots=True)
class Stay:
    """One unbroken stay in one place; `ended=None` while it lasts.

    Ends are exclusive, so consecutive stays touch without overlapping. A stay with
    `recorded=False` is a gap that nobody recorded, counted as counter time.
    `is_silent` where nobody read the place though somebody had: `temp_c` is then what
    it counts as, None if as cold.
    """

    state: str
    began: datetime
    ended: datetime | None = None
    place: str = ""
    temp_c: float | None = None
    recorded: bool = True
    is_silent: bool = False

    def __post_init__(self) -> None:
        if self.ended is not None and self.ended < self.began:
            raise ValueError(f"stay in {self.place or self.state} ends before it began")

    @property
    def is_frozen(self) -> bool:
        """In a freezer, and not known to be above the melting point of ice."""
        is_warm = self.temp_c is not None and self.temp_c > MELTING_C
        return self.state == "freezer" and not is_warm

    def length(self, until: datetime) -> timedelta:
        """Time spent here up to `until`; zero if the stay had not begun by then."""
        end = until if self.ended is None else min(self.ended, until)
        return max(end - self.began, timedelta(0))


@dataclass(frozen=True, slots=True)
class Placing:
    """The moment a container was put somewhere.

    `ready_at` is when its cook expects it to be thawed; no limit hangs on it.
    """

    at: datetime
    state: str
    place: str = ""
    temp_c: float | None = None
    recorded: bool = True
    ready_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Component:
    """Something that went into a mixture, with its own past."""

    name: str
    food: Food
    history: History


@dataclass(frozen=True, slots=True)
class History:
    """All that the clock needs to know about one container.

    `made_at=None` means that the making time is not known. `mixed_at` is set where
    the components were put together without being cooked, later than they were made.
    `stays` are in order. `reheated_c` goes with `reheated_at`; `coolings` are readings
    with their times. What was not measured is None, or left out at the end.
    `packed_until` is when a part left its pack for a mixture. `probes` are temperatures
    of the container itself, told apart from those of its cooling.
    """

    made_at: datetime | None = None
    mixed_at: datetime | None = None
    opened_at: datetime | None = None
    stays: tuple[Stay, ...] = ()
    reheated_at: tuple[datetime, ...] = ()
    reheated_c: tuple[float | None, ...] = ()
    coolings: tuple[tuple[datetime, float | None], ...] = ()
    ended_at: datetime | None = None
    maker_use_by: date | None = None
    components: tuple[Component, ...] = ()
    packed_until: datetime | None = None
    probes: tuple[tuple[datetime, float], ...] = ()

    @property
    def is_frozen(self) -> bool:
        """Whether the container is in a freezer now."""
        return bool(self.stays) and self.stays[-1].is_frozen

    @property
    def was_frozen(self) -> bool:
        """Whether it ever was in a freezer."""
        return any(stay.state == "freezer" for stay in self.stays)

    @property
    def thawed_at(self) -> datetime | None:
        """When it first came out of a freezer; None if it never did."""
        was_frozen = False
        for stay in self.stays:
            was_frozen |= stay.state == "freezer"
            if was_frozen and not stay.is_frozen:
                return stay.began
        return None

    def reheatings(self) -> list[tuple[datetime, float | None]]:
        """Each reheating with its temperature, None where nobody measured it."""
        return list(zip_longest(self.reheated_at, self.reheated_c))

    def kill_steps(self, hot_c: float) -> tuple[datetime, ...]:
        """The reheatings that were not measured to stay below `hot_c`."""
        return tuple(at for at, c in self.reheatings() if c is None or c >= hot_c)

    def mixed_into(self, mixture: History, *, is_cooked: bool = False) -> History:
        """This history up to the mixing, then the stays of the mixture.

        The part of a mixture goes on ageing from where it was: what the mixture does
        later (freezing, warming, reheating) happens to the part as well. Time between
        the end of the part's own record and the mixing counts as counter time. Where
        the mixture was cooked when it was made, that was a kill step for the part.
        """
        mixed_at = mixture.mixed_at or mixture.made_at
        if mixed_at is None:
            return self
        before = clipped(self.stays, mixed_at)
        ended = before[-1].ended if before else None
        if ended is not None and ended < mixed_at:
            before.append(Stay("counter", ended, mixed_at, recorded=False))
        heated = [pair for pair in self.reheatings() if pair[0] <= mixed_at]
        if is_cooked and mixture.mixed_at is None:
            heated.append((mixed_at, None))
        heated += [pair for pair in mixture.reheatings() if pair[0] >= mixed_at]
        return replace(
            self,
            stays=(*before, *mixture.stays),
            reheated_at=tuple(at for at, _ in heated),
            reheated_c=tuple(temp_c for _, temp_c in heated),
            ended_at=mixture.ended_at,
            packed_until=min(mixed_at, self.packed_until or mixed_at),
        )


def clipped(stays: Iterable[Stay], end: datetime) -> list[Stay]:
    """The parts of `stays` before `end`; the last one is closed there."""
    kept = []
    for stay in stays:
        if stay.began >= end:
            break
        over = stay.ended is None or stay.ended > end
        kept.append(replace(stay, ended=end) if over else stay)
    return kept


def stays_of(
    begun_at: datetime | None,
    placings: Iterable[Placing],
    ended_at: datetime | None = None,
) -> tuple[Stay, ...]:
    """Unbroken stays from `begun_at` on; time before the first place is counter time.

    `placings` are in order. Without any, everything since `begun_at` is counter time.
    """
    stays: list[Stay] = []
    if begun_at is not None:
        stays.append(Stay("counter", begun_at, recorded=False))
    for placing in placings:
        if ended_at is not None and placing.at >= ended_at:
            break
        if stays:
            _close(stays, placing.at)
        stays.append(
            Stay(
                placing.state,
                placing.at,
                None,
                placing.place,
                placing.temp_c,
                placing.recorded,
            )
        )
    return tuple(clipped(stays, ended_at)) if ended_at is not None else tuple(stays)


def _close(stays: list[Stay], at: datetime) -> None:
    """End the last stay at `at`; a stay of no length, or wholly later, is dropped."""
    last = stays.pop()
    if last.began < at:
        stays.append(replace(last, ended=at))
