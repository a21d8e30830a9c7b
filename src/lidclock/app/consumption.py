"""What a kitchen ate of each food, day by day, and what it will want of it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping
from datetime import date, datetime
from itertools import accumulate, pairwise

from lidclock.app.meals import occurrences
from lidclock.app.planning import meals_of
from lidclock.app.session import Unit
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.moments import DAY, working_day, working_day_begins
from lidclock.domain.planning import Choices, Occurrence
from lidclock.plan.demand import Demand, certain, eaters, round_up_half
from lidclock.plan.lots import portions_in
from lidclock.plan.record import Series
from lidclock.store.rows import micros

WEEKS = 8


def eaten(unit: Unit, now: datetime, weeks: int = WEEKS) -> dict[str, Series]:
    """What was eaten of each food, by casefolded name, over the last `weeks` weeks.

    Days are working days in the kitchen's zone, whole ones: today is not among them. A
    food's record begins on the day on which it was first made here. What was used up or
    taken was eaten, or went into another food; what was given or discarded was not.
    """
    days = _Days(unit.session.kitchen, now, weeks)
    planned, first_made = _planned(unit, days), unit.snapshots.first_made()
    found = {}
    for food, tally in _tallied(unit, days).items():
        made_at = first_made.get(food)
        made = days.count if made_at is None else max(0, days.place(micros(made_at)))
        first = min(made, tally.first)
        found[food] = tally.series(food, first, planned.get(food, {}))
    return found


def demand_until(
    series: Series | None,
    choices: Choices,
    now: datetime,
    until: datetime,
    planned: Demand | int = 0,
) -> Demand:
    """How many portions may be wanted from `now` until `until`.

    `planned` is what meals want by then (`planned_demand`); the rest follows the food's
    record, which leaves out what meals had planned. A part of a day wants its part.
    """
    asked = certain(planned) if isinstance(planned, int) else planned
    if series is None or until <= now:
        return asked
    return series.wanted(choices.service, now, until).and_also(asked)


def planned_demand(food: str, meals: Iterable[Occurrence]) -> Demand:
    """What `meals` want of `food`, in any case: certain, or as its eaters vary."""
    wanted = certain(0)
    for one in meals:
        for item in one.meal.items:
            if item.food.casefold() != food.casefold():
                continue
            guests, spread = one.meal.eaters, one.meal.spread
            if item.portions is None and guests is not None and spread:
                wanted = wanted.and_also(eaters(guests, spread))
            else:
                wanted = wanted.plus(one.meal.portions_of(item))
    return wanted


class _Days:
    """The whole working days of the last weeks, and which of them an instant is in."""

    def __init__(self, kitchen: Kitchen, now: datetime, weeks: int) -> None:
        zone, start_h = kitchen.zone, kitchen.day_start_h
        today = working_day(now, zone, start_h)
        self.count = 7 * weeks
        self.first_on = today - self.count * DAY
        days = (self.first_on + number * DAY for number in range(self.count + 1))
        self.begins = [working_day_begins(day, zone, start_h) for day in days]
        self._begins_us = [micros(at) for at in self.begins]

    def place(self, us: int) -> int:
        """The day's place from 0 on; -1 before the first day, `count` for today."""
        return bisect_right(self._begins_us, us) - 1

    def date(self, place: int) -> date:
        """The day at a place."""
        return self.first_on + place * DAY


class _Tally:
    """What the containers of one food tell of each day.

    `until[n]` is the last day on which there was one of those that came on day `n`.
    """

    def __init__(self, days: _Days, portion_g: float | None) -> None:
        self.days, self.portion_g = days, portion_g
        self.eaten = [0.0] * (days.count + 1)
        self.until = [-1] * (days.count + 1)
        self.first = days.count

    def add_stay(self, begun_us: int | None, ended_us: int | None) -> None:
        """One container was there; where nobody knows since when, it tells nothing."""
        if begun_us is None:
            return
        place = self.days.place
        first = max(0, place(begun_us))
        last = self.days.count if ended_us is None else place(ended_us)
        if first < self.first:
            self.first = first
        if last > self.until[first]:
            self.until[first] = last

    def add_taken(self, at_us: int, mass_g: float) -> None:
        """Part of a container; without the food's portion its end tells all of it."""
        if self.portion_g:
            self._add(at_us, mass_g / self.portion_g)

    def add_used(self, ended_us: int, mass_g: float | None, *, is_rest: bool) -> None:
        """All of a container, or what others had left of it."""
        if is_rest and mass_g is not None and self.portion_g:
            self._add(ended_us, mass_g / self.portion_g)
        elif mass_g != 0 or not self.portion_g:
            self._add(ended_us, portions_in(mass_g, self.portion_g))

    def _add(self, us: int, portions: float) -> None:
        place = self.days.place(us)
        if 0 <= place <= self.days.count:
            self.eaten[place] += portions
            self.first = min(self.first, place)

    def series(self, food: str, first: int, planned: Mapping[int, int]) -> Series:
        """The record from the day at `first` on."""
        days = range(first, self.days.count)
        until = list(accumulate(self.until, max))
        return Series(
            food=food,
            first_on=self.days.date(first),
            ends_at=self.days.begins[-1],
            eaten=_whole(self.eaten[place] for place in days),
            planned=tuple(planned.get(place, 0) for place in days),
            was_there=tuple(until[place] >= place for place in days),
            ran_out=sum(self.eaten[at] > 0 and until[at] <= at for at in days),
        )


def _whole(portions: Iterable[float]) -> tuple[int, ...]:
    """Whole portions a day: what is left of one day counts on the next."""
    sums = [round_up_half(total) for total in accumulate(portions, initial=0.0)]
    return tuple(later - earlier for earlier, later in pairwise(sums))


def _tallied(unit: Unit, days: _Days) -> dict[str, _Tally]:
    portions_g = {
        food.name.casefold(): food.portion_g for food in unit.snapshots.foods()
    }
    takes: dict[str, list[tuple[int, float]]] = {}
    for code, at_us, grams in unit.ledger.taken(days.begins[0]):
        takes.setdefault(code, []).append((at_us, grams))
    tallies: dict[str, _Tally] = {}
    for row in unit.snapshots.there_since(days.begins[0]):
        code, food, end_kind, mass_g, ended_us, begun_us = row
        tally = tallies.get(food)
        if tally is None:
            tally = tallies[food] = _Tally(days, portions_g.get(food))
        tally.add_stay(begun_us, ended_us)
        taken = takes.get(code, ())
        for at_us, grams in taken:
            # The fold does not look at what was recorded after the end either.
            if ended_us is None or at_us <= ended_us:
                tally.add_taken(at_us, grams)
        if end_kind == "used":
            tally.add_used(ended_us, mass_g, is_rest=bool(taken))
    return tallies


def _planned(unit: Unit, days: _Days) -> dict[str, dict[int, int]]:
    """Portions that the meals of each day asked for, by food and the day's place."""
    planned: dict[str, dict[int, int]] = {}
    meals = occurrences(meals_of(unit), days.begins[0], days.begins[-1])
    for one in meals:
        place = days.place(micros(one.at))
        for item in one.meal.items:
            of_food = planned.setdefault(item.food.casefold(), {})
            of_food[place] = of_food.get(place, 0) + one.meal.portions_of(item)
    return planned
