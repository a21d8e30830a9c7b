"""What the card is made of: what is there, what is planned, what was chosen."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo

from lidclock.app.meals import named, occurrences
from lidclock.app.planning import choices_of, meals_of
from lidclock.app.session import Session, Unit
from lidclock.clock.status import days_left_at
from lidclock.domain.foods import Food
from lidclock.domain.moments import last_date, local_date, say_near_day
from lidclock.domain.phrases import with_and, with_commas
from lidclock.domain.planning import (
    ACCEPTED,
    ANSWER_SUBJECT,
    Answer,
    Choices,
    Meal,
    Occurrence,
    answers_from,
)
from lidclock.domain.sentences import figure, joined, sentence, typed
from lidclock.domain.snapshots import Snapshot
from lidclock.plan.allot import Allotment, Need, allot
from lidclock.plan.card import card_hours, is_agreed
from lidclock.plan.lots import Lot, portions_in
from lidclock.plan.proposal import Picked, proposal_from

# Where nobody said how long a food takes to thaw: the day before, as cooks do.
# Common practice, no source.
THAWS_IN = timedelta(hours=24)
# So far ahead meals are looked for: a thaw may take days.
AHEAD = timedelta(days=4)
# Further ahead no meal is looked for.
FAR = timedelta(days=28)
MOST_NAMED = 6
# What was said longer ago answers nothing any more.
_REMEMBERED = timedelta(days=60)


@dataclass(frozen=True)
class Facts:
    """One kitchen at one moment, read once."""

    unit: Unit
    choices: Choices
    meals: list[Meal]
    live: Mapping[str, Snapshot]
    foods: Mapping[str, Food]
    answers: Mapping[str, Answer]

    @property
    def session(self) -> Session:
        """Whose kitchen it is."""
        return self.unit.session

    @property
    def now(self) -> datetime:
        """The moment of the card."""
        return self.session.now

    @property
    def zone(self) -> ZoneInfo:
        """The kitchen's time zone."""
        return self.session.kitchen.zone

    @property
    def today(self) -> date:
        """The local day."""
        return local_date(self.now, self.zone)

    @cached_property
    def hours(self) -> tuple[datetime, datetime]:
        """When the card spoke last, and when it speaks next."""
        return card_hours(self.choices.card_hours, self.zone, self.now)

    @cached_property
    def occurrences(self) -> list[Occurrence]:
        """The meals that come up, but for those that were eaten already."""
        until = self.now + max(AHEAD, timedelta(days=self.choices.cover_days))
        return [one for one in self.far_occurrences if one.at < until]

    @cached_property
    def far_occurrences(self) -> list[Occurrence]:
        """The same, as far as anything is looked at."""
        found = occurrences(self.meals, self.now, self.now + FAR)
        return [one for one in found if not self._is_eaten(one)]

    @cached_property
    def needs(self) -> list[Need]:
        """What those meals want."""
        return [
            Need(one.at, item.food.casefold(), one.meal.portions_of(item), one.key)
            for one in self.occurrences
            for item in one.meal.items
        ]

    def _is_eaten(self, one: Occurrence) -> bool:
        """Whether somebody said so, before its hour."""
        answer = self.answers.get(f"use/{one.key}")
        if answer is None or answer.answer != ACCEPTED or not answer.proposal:
            return False
        return not is_agreed(proposal_from(answer.proposal), answer)

    @cached_property
    def cold(self) -> dict[str, list[Lot]]:
        """By food, what can be eaten now: placed, dated, in time, its place read."""
        found: dict[str, list[Lot]] = defaultdict(list)
        silent = self.session.silent
        for one in self.live.values():
            is_dated = one.standing == "dated" and not one.is_unmarked
            if is_dated and one.place.casefold() not in silent and self._in_time(one):
                found[one.food.casefold()].append(self._lot(one))
        return found

    @cached_property
    def frozen(self) -> dict[str, list[Lot]]:
        """By food, what could be thawed, from when on."""
        found: dict[str, list[Lot]] = defaultdict(list)
        for one in self.live.values():
            left = days_left_at(one.days_left, one.last_moment, self.now, self.zone)
            if one.standing == "paused" and left and self._in_time(one):
                ready_at = self.now + self.thaws_in(one.food)
                found[one.food.casefold()].append(self._lot(one, ready_at))
        return found

    @cached_property
    def allotment(self) -> Allotment:
        """Which container goes to which meal."""
        both = (self.cold, self.frozen)
        lots = (lot for kind in both for group in kind.values() for lot in group)
        return allot(lots, self.needs)

    def is_frozen(self, lot: Lot) -> bool:
        """Whether it has to be taken out before it can be eaten."""
        return self.live[lot.code].standing == "paused"

    def thaws_in(self, food: str) -> timedelta:
        """How long it takes to thaw in a fridge, as the kitchen said, or a day."""
        own = self.choices.food(food).thaw_h
        return THAWS_IN if own is None else timedelta(hours=own)

    def portions(self, one: Snapshot) -> int:
        """How many whole portions a container holds."""
        food = self.foods.get(one.food.casefold())
        return portions_in(one.mass_g, food.portion_g if food else None)

    def planned(self, food: str, until: datetime) -> int:
        """Portions of a food (casefolded) that meals before `until` want."""
        return sum(
            one.meal.portions_of(item)
            for one in self.far_occurrences
            if one.at < until
            for item in one.meal.items
            if item.food.casefold() == food
        )

    def name(self, food: str) -> str:
        """A food as the kitchen writes it."""
        known = self.foods.get(food)
        return known.name if known else food

    def day(self, instant: datetime) -> str:
        """`Thu 5 Nov`."""
        return say_near_day(local_date(instant, self.zone), self.today)

    def last_day(self, last_moment: datetime) -> date:
        """The local day on which a last moment falls."""
        return last_date(last_moment, self.zone)

    def names(self, codes: Iterable[str]) -> str:
        """`bun dough box 2 and 3, pickled radish`."""
        groups: dict[str, list[Snapshot]] = defaultdict(list)
        for code in codes:
            one = self.live[code]
            groups[one.food].append(one)
        return with_commas([_group(*one) for one in groups.items()])

    def _in_time(self, one: Snapshot) -> bool:
        return one.last_moment is None or one.last_moment > self.now

    def _lot(self, one: Snapshot, ready_at: datetime | None = None) -> Lot:
        return Lot(
            one.code,
            one.food.casefold(),
            self.portions(one),
            one.last_moment,
            ready_at,
            one.opened_at,
            one.made_at,
            one.mass_g,
            one.index or 0,
        )


def facts_of(unit: Unit) -> Facts:
    """Everything that proposals hang on, in a handful of queries."""
    live = {one.code: one for one in unit.snapshots.find()}
    foods = {food.name.casefold(): food for food in unit.snapshots.foods()}
    answers = answers_of(unit)
    return Facts(unit, choices_of(unit), meals_of(unit), live, foods, answers)


def answers_of(unit: Unit) -> dict[str, Answer]:
    """What was said to proposals of late, by their keys."""
    session = unit.session
    first = local_date(session.now - _REMEMBERED, session.kitchen.zone)
    since = f"{ANSWER_SUBJECT}{first.isoformat()}"
    return answers_from(unit.ledger.starting(ANSWER_SUBJECT, since))


def called(meal: Meal) -> str:
    """A meal by its name, or by what is eaten."""
    if meal.name:
        return named(meal.name)
    return with_and([item.food for item in meal.items[:2]]) or sentence("meal")


def when(facts: Facts, at: datetime) -> str:
    """`18:30` today, `Thu 5 Nov 18:30` else."""
    clock = f"{at.astimezone(facts.zone):%H:%M}"
    is_today = at.astimezone(facts.zone).date() == facts.today
    if is_today:
        return typed(clock)
    return joined("{day} {clock}", day=facts.day(at), clock=clock)


def whole(lot: Lot, portions: int) -> Picked:
    """So many portions of a container, as a pick."""
    return Picked(lot.code, portions, portions >= lot.portions)


def _group(food: str, group: list[Snapshot]) -> str:
    boxes = [one for one in group if one.index and (one.of or 1) > 1]
    batches = {one.batch_number for one in boxes}
    if len(boxes) < len(group) or len(batches) > 1 or len(group) > MOST_NAMED:
        if len(group) == 1:
            return typed(food)
        return joined("{count} x {food}", count=figure(len(group)), food=food)
    numbers = [figure(number) for number in sorted(one.index or 0 for one in boxes)]
    if len(numbers) == 1:
        return sentence("{food} box {number}", food=food, number=numbers[0])
    return sentence("{food} box {numbers}", food=food, numbers=with_and(numbers))
