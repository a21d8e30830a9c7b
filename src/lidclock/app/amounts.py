"""How much of each food to make for the days to come, and why."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

from lidclock.app.card_facts import FAR, Facts, facts_of
from lidclock.app.consumption import eaten, planned_demand
from lidclock.app.session import Unit
from lidclock.domain.moments import DAY
from lidclock.domain.planning import Occurrence
from lidclock.errors import InputError
from lidclock.plan.allot import issue_order
from lidclock.plan.demand import Demand, certain
from lidclock.plan.forecast import NAIVE, OURS, Chosen
from lidclock.plan.lots import Lot
from lidclock.plan.newsvendor import critical_ratio
from lidclock.plan.par import Option, Step, expected_outdating, options, to_make
from lidclock.plan.record import Series

# Meals are looked for no further.
LONGEST_DAYS = FAR.days
# Where waste costs nothing no amount would be enough: this is sure enough.
_SUREST = 0.999


@dataclass(frozen=True, slots=True)
class Stock:
    """Portions there: what can be eaten, what of it will pass its last moment unwanted,
    what is frozen, and what is not counted because nobody can say that it may be eaten.
    """

    usable: int = 0
    outdating: float = 0.0
    frozen: int = 0
    uncounted: int = 0


@dataclass(frozen=True, slots=True)
class Amount:
    """How many portions of one food to make so that they last until `until`.

    `share` is how likely that should be enough: from what one too few and one too many
    cost where `short` is known, else the kitchen's service level. `forecasts` are the
    portions that each method expects beyond planned ones, ours only where it may be
    shown; `chosen` is None where there is no record at all.
    """

    food: str
    days: int
    until: datetime
    make: int
    share: float
    short: float | None
    worth: float
    demand: Demand
    planned: float
    stock: Stock
    options: tuple[Option, ...]
    weeks: int = 0
    recorded_days: int = 0
    silent_days: int = 0
    ran_out_days: int = 0
    chosen: Chosen | None = None
    forecasts: Mapping[str, float | None] | None = None

    @property
    def wanted_at_most(self) -> int:
        """So many are enough with probability `share`."""
        return self.demand.quantile(self.share)

    @property
    def make_if_thawed(self) -> int:
        """What is left to make where all that is frozen is taken out in time."""
        return max(0, self.make - self.stock.frozen)


def amounts(
    unit: Unit, food: str | None = None, days: int | None = None
) -> list[Amount]:
    """The amount of each food that has a record or a meal, or of `food` alone.

    Of foods that this kitchen makes; those to make most of come first. InputError for a
    number of days out of range, UnknownThingError for a food that nobody described.
    """
    facts = facts_of(unit)
    days = min(facts.choices.cover_days, LONGEST_DAYS) if days is None else days
    if not 1 <= days <= LONGEST_DAYS:
        raise InputError(f"the days to cover lie from 1 to {LONGEST_DAYS}, not {days}")
    cover = _Cover(facts, days)
    keys = _worth_asking(cover) if food is None else [_named(unit, cover, food)]
    found = [cover.amount(key) for key in keys]
    return sorted(found, key=lambda one: (-one.make, one.food.casefold()))


def _named(unit: Unit, cover: _Cover, typed: str) -> str:
    key = typed.strip().casefold()
    is_known = key in cover.planned_foods or key in cover.records
    return key if is_known else unit.need_food(typed).name.casefold()


def _worth_asking(cover: _Cover) -> list[str]:
    eaten_here = {key for key, one in cover.records.items() if any(one.eaten)}
    known = cover.planned_foods | eaten_here
    return [key for key in sorted(known) if cover.is_made_here(key)]


class _Cover:
    """The time that one making has to last, from now on."""

    def __init__(self, facts: Facts, days: int) -> None:
        self.facts, self.days = facts, days
        # Days of the calendar: to the same hour, also where the clocks change.
        ends = facts.now.astimezone(facts.zone) + days * DAY
        self.until = ends.astimezone(UTC)
        self.records: dict[str, Series] = eaten(facts.unit, facts.now)
        self._there: Counter[str] = Counter()
        for known in facts.live.values():
            self._there[known.food.casefold()] += facts.portions(known)
        self.meals = [one for one in facts.far_occurrences if one.at < self.until]

    @property
    def planned_foods(self) -> set[str]:
        """The foods, casefolded, of the meals to come."""
        return {item.food.casefold() for one in self.meals for item in one.meal.items}

    def is_made_here(self, key: str) -> bool:
        """Whether this kitchen makes it; what comes in packs is bought."""
        food = self.facts.foods.get(key)
        return food is None or food.made_by == "kitchen"

    def amount(self, key: str) -> Amount:
        """What to make of the food called `key`, casefolded."""
        choices, series = self.facts.choices, self.records.get(key)
        short, worth = choices.short_of(key), choices.worth_of(key)
        share = _share(short, worth, choices.service)
        demand = self._demand(key, share, self.facts.now, self.until)
        stock = self._stock(key, share)
        make = to_make(demand, share, stock.usable, stock.outdating)
        shown = options(demand, make, stock.usable, stock.outdating)
        amount = Amount(
            *(self.facts.name(key), self.days, self.until, make, share, short, worth),
            demand=demand,
            planned=self._planned(key, self.facts.now, self.until).mean,
            stock=stock,
            options=shown,
        )
        if series is None or not series.eaten:
            return amount
        return self._with_record(amount, series)

    def _with_record(self, amount: Amount, series: Series) -> Amount:
        chosen = series.chosen(amount.share)
        methods = (OURS, *NAIVE) if chosen.shows_ours else NAIVE
        return replace(
            amount,
            weeks=series.weeks,
            recorded_days=len(series.eaten),
            silent_days=series.record.count(None),
            ran_out_days=series.ran_out,
            chosen=chosen,
            forecasts={
                method: series.expected(method, self.facts.now, self.until)
                for method in methods
            },
        )

    def _planned(self, key: str, begin: datetime, end: datetime) -> Demand:
        meals: Sequence[Occurrence] = [
            one for one in self.meals if begin <= one.at < end
        ]
        return planned_demand(key, meals)

    def _demand(self, key: str, share: float, begin: datetime, end: datetime) -> Demand:
        series = self.records.get(key)
        rest = certain(0) if series is None else series.wanted(share, begin, end)
        return rest.and_also(self._planned(key, begin, end))

    def _stock(self, key: str, share: float) -> Stock:
        facts = self.facts
        cold = facts.cold.get(key, [])
        frozen = sum(lot.portions for lot in facts.frozen.get(key, []))
        usable = sum(lot.portions for lot in cold)
        return Stock(
            usable=usable,
            outdating=expected_outdating(list(self._steps(key, share, cold))),
            frozen=frozen,
            uncounted=self._there[key] - usable - frozen,
        )

    def _steps(self, key: str, share: float, lots: Sequence[Lot]) -> Iterator[Step]:
        """What passes its last moment within the time, and what is wanted before it."""
        begin = self.facts.now
        for lot in sorted(lots, key=issue_order):
            end = lot.last_moment
            if end is None or end > self.until:
                continue
            yield Step(lot.portions, self._demand(key, share, begin, end))
            begin = end


def _share(short: float | None, worth: float, service: float) -> float:
    if short is None or short + worth <= 0:
        return service
    return min(_SUREST, critical_ratio(short, worth))


def amount_json(one: Amount, zone: ZoneInfo) -> dict[str, Any]:
    """An amount as JSON-ready data, its time in `zone`; odds are shares of one."""
    chosen = one.chosen
    return {
        "food": one.food,
        "days": one.days,
        "until": one.until.astimezone(zone).isoformat(timespec="seconds"),
        "make": one.make,
        "enough_with": round(one.share, 6),
        "by_costs": one.short is not None,
        "short": one.short,
        "worth": one.worth,
        "wanted_mean": _rounded(one.demand.mean),
        "wanted_at_most": one.wanted_at_most,
        "planned": _rounded(one.planned),
        "usable": one.stock.usable,
        "outdating": _rounded(one.stock.outdating),
        "frozen": one.stock.frozen,
        "uncounted": one.stock.uncounted,
        "make_if_thawed": one.make_if_thawed,
        "options": [
            {
                "make": option.make,
                "runs_short": round(option.short_odds, 6),
                "missing": _rounded(option.short),
                "left": _rounded(option.left),
            }
            for option in one.options
        ],
        "record": {
            "weeks": one.weeks,
            "days": one.recorded_days,
            "silent_days": one.silent_days,
            "ran_out_days": one.ran_out_days,
            "claims": bool(chosen and chosen.claims),
            "goes_by": chosen.method if chosen else None,
            "forecasts": [
                _forecast_json(method, portions, chosen)
                for method, portions in (one.forecasts or {}).items()
            ],
        },
    }


def _forecast_json(
    method: str, portions: float | None, chosen: Chosen | None
) -> dict[str, Any]:
    errors = chosen.errors.get(method) if chosen else None
    return {
        "method": method,
        "portions": _rounded(portions),
        "off_by": _rounded(errors.absolute) if errors else None,
        "loss": _rounded(errors.pinball) if errors else None,
        "tried_days": errors.days if errors else 0,
    }


def _rounded(number: float | None) -> float | None:
    return None if number is None or not math.isfinite(number) else round(number, 3)
