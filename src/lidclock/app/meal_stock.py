"""What is short for a meal: what it wants against what there will be by then."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from lidclock.app.meals import Numbered, coming, find_meal, occurrences
from lidclock.app.planning import meals_of
from lidclock.app.session import Unit
from lidclock.clock.status import days_left_at
from lidclock.domain.moments import say_near_day, zone_of
from lidclock.domain.phrases import boxed, with_commas
from lidclock.domain.planning import Meal, Occurrence
from lidclock.domain.sentences import figure, joined, sentences
from lidclock.domain.snapshots import Snapshot
from lidclock.plan.lots import portions_in

_DAYS_SHOWN = 4


@dataclass(frozen=True, slots=True)
class Short:
    """A food of which a meal wants more portions than there will be.

    `missing` of `wanted` are not there by `at`. `frozen` portions would have to be
    taken out, `undated` ones have no last day; neither counts. `taken` go to meals
    before it and would have been in date.
    """

    food: str
    missing: int
    wanted: int
    at: datetime
    frozen: int = 0
    undated: int = 0
    taken: int = 0

    def says(self, meal: Meal, now: datetime) -> str:
        """`short: 2 of 6 portions of bun dough by Thu 5 Nov 18:30 (3 are frozen)`."""
        zone = zone_of(meal.zone_name)
        local, today = self.at.astimezone(zone), now.astimezone(zone).date()
        day = say_near_day(local.date(), today)
        says = sentences(
            "short: {missing} of {count} portion of {food} by {when}",
            "short: {missing} of {count} portions of {food} by {when}",
            self.wanted,
            missing=figure(self.missing),
            food=self.food,
            when=joined("{day} {clock}", day=day, clock=f"{local:%H:%M}"),
        )
        more = with_commas(list(self._more()))
        return boxed(says, more) if more else says

    def _more(self) -> Iterator[str]:
        """What is there besides, and does not count."""
        if self.frozen:
            yield sentences(
                "{count} more is frozen", "{count} more are frozen", self.frozen
            )
        if self.undated:
            yield sentences(
                "{count} more without a last day",
                "{count} more without a last day",
                self.undated,
            )
        if self.taken:
            yield sentences(
                "{count} go to meals before it",
                "{count} go to meals before it",
                self.taken,
            )


@dataclass(frozen=True, slots=True)
class Outlook:
    """A meal with its next days, and what is short for the first of them."""

    known: Numbered
    coming: tuple[Occurrence, ...]
    short: tuple[Short, ...]


def outlook(unit: Unit, typed: str) -> Outlook:
    """How the meal of that number or name stands."""
    known = find_meal(unit, typed)
    days = coming(known.meal, unit.session.now, _DAYS_SHOWN)
    return Outlook(known, tuple(days), tuple(shorts(unit, days[0])) if days else ())


def shorts(unit: Unit, one: Occurrence) -> list[Short]:
    """What is short for a meal, after what the meals before it want.

    A container counts while its last moment lies after the meal; the one whose last
    moment comes first is eaten first.
    """
    before = occurrences(meals_of(unit), unit.session.now, one.at)
    found = [_short(unit, one, food, before) for food in _wanted(one.meal)]
    return [short for short in found if short is not None]


def _wanted(meal: Meal) -> dict[str, int]:
    return {item.food: meal.portions_of(item) for item in meal.items}


def _short(
    unit: Unit, one: Occurrence, food: str, before: Sequence[Occurrence]
) -> Short | None:
    lots, frozen, undated = _stock(unit, food, one.at)
    before_it = _in_date(lots, one.at)
    for earlier in before:
        for name, count in _wanted(earlier.meal).items():
            if name.casefold() == food.casefold():
                _eat(lots, count, earlier.at)
    there, wanted = _in_date(lots, one.at), _wanted(one.meal)[food]
    if there >= wanted:
        return None
    taken = before_it - there
    return Short(food, wanted - there, wanted, one.at, frozen, undated, taken)


def _in_date(lots: list[tuple[datetime, int]], at: datetime) -> int:
    """The portions whose last moment lies after `at`."""
    return sum(portions for last_moment, portions in lots if last_moment > at)


def _eat(lots: list[tuple[datetime, int]], count: int, at: datetime) -> None:
    """Take up to `count` portions in date at `at`, those that end soonest first."""
    for place, (last_moment, portions) in enumerate(lots):
        if last_moment > at:
            eaten = min(portions, count)
            lots[place] = (last_moment, portions - eaten)
            count -= eaten


def _stock(
    unit: Unit, food: str, at: datetime
) -> tuple[list[tuple[datetime, int]], int, int]:
    """Portions by last moment, those frozen, and those that nobody dated."""
    known = unit.snapshots.food(food)
    portion_g = known.portion_g if known else None
    lots: list[tuple[datetime, int]] = []
    frozen = undated = 0
    for box in unit.snapshots.twins(food):
        portions = portions_in(box.mass_g, portion_g)
        if box.standing == "paused":
            frozen += portions if _thaws_by(unit, box, at) else 0
        elif box.last_moment is not None and _is_dated(unit, box):
            lots.append((box.last_moment, portions))
        else:
            undated += portions
    return sorted(lots), frozen, undated


def _thaws_by(unit: Unit, box: Snapshot, at: datetime) -> bool:
    """Whether a frozen one still has a day on the day of the meal."""
    zone = unit.session.kitchen.zone
    return days_left_at(box.days_left, box.last_moment, at, zone) != 0


def _is_dated(unit: Unit, box: Snapshot) -> bool:
    is_silent = box.place.casefold() in unit.session.silent
    return box.standing == "dated" and not is_silent
