"""A container's history: stays, openings, kill steps, components."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from lidclock.domain.foods import Food


@dataclass(frozen=True, slots=True)
class Stay:
    """One unbroken stay in one place; `ended=None` while it lasts.

    Ends are exclusive, so consecutive stays touch without overlapping. A stay with
    `recorded=False` is a gap that nobody recorded, counted as counter time.
    """

    state: str
    began: datetime
    ended: datetime | None = None
    place: str = ""
    temp_c: float | None = None
    recorded: bool = True

    def __post_init__(self) -> None:
        if self.ended is not None and self.ended < self.began:
            raise ValueError(f"stay in {self.place or self.state} ends before it began")

    def length(self, until: datetime) -> timedelta:
        """Time spent here up to `until`; zero if the stay had not begun by then."""
        end = until if self.ended is None else min(self.ended, until)
        return max(end - self.began, timedelta(0))


@dataclass(frozen=True, slots=True)
class Placing:
    """The moment a container was put somewhere."""

    at: datetime
    state: str
    place: str = ""
    temp_c: float | None = None


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
    `stays` are in order.
    """

    made_at: datetime | None = None
    mixed_at: datetime | None = None
    opened_at: datetime | None = None
    stays: tuple[Stay, ...] = ()
    reheated_at: tuple[datetime, ...] = ()
    cooled_at: datetime | None = None
    ended_at: datetime | None = None
    maker_use_by: date | None = None
    components: tuple[Component, ...] = ()

    @property
    def state(self) -> str:
        """Where the container is now: the state of its last stay, counter if none."""
        return self.stays[-1].state if self.stays else "counter"

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
        reheated = tuple(at for at in self.reheated_at if at <= mixed_at)
        if is_cooked and mixture.mixed_at is None:
            reheated += (mixed_at,)
        return replace(
            self,
            stays=(*before, *mixture.stays),
            reheated_at=reheated + mixture.reheated_at,
            ended_at=mixture.ended_at,
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
            Stay(placing.state, placing.at, None, placing.place, placing.temp_c)
        )
    return tuple(clipped(stays, ended_at)) if ended_at is not None else tuple(stays)


def _close(stays: list[Stay], at: datetime) -> None:
    """End the last stay at `at`; a stay of no length, or wholly later, is dropped."""
    last = stays.pop()
    if last.began < at:
        stays.append(replace(last, ended=at))
