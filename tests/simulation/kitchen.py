"""The script of eight weeks: what a home cook makes, and who wants to eat what.

Written down before any policy was run. Every figure that is not marked otherwise is our
own choice: of a usual order, no source, no kitchen was measured. Chance is drawn here
and only here, so that every policy meets the same making, the same eaters and the same
moods.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from lidclock.domain.foods import Food
from lidclock.domain.moments import from_local, zone_of

DAYS = 56
# A Monday; clocks go back on Sunday 1 November.
FIRST = date(2026, 10, 5)
ZONE = zone_of("America/New_York")
CARD, OPENED, LUNCH, MADE, DINNER = (
    time(7, 30),
    time(12, 0),
    time(12, 30),
    time(17, 0),
    time(19, 0),
)
# Draws for each morning of a container's life; none lives longer than 7 days.
_MORNINGS = 8
# Lids that a making may fill where its amount is not the script's.
MOST_LIDS = 16


@dataclass(frozen=True, slots=True)
class Stock:
    """A food of the kitchen; `rule` is the day count of `us-home` that binds it.

    `lunch` and `dinner` are how much it is liked beside the others at that meal.
    """

    food: Food
    rule: str
    days: int
    portion_g: int
    lunch: float
    dinner: float
    is_pack: bool = False

    @property
    def name(self) -> str:
        """Its name, as lots carry it."""
        return self.food.name


def _dish(name: str, category: str, rule: str, days: int, portion_g: int) -> Stock:
    return Stock(Food(name, category, ()), rule, days, portion_g, 0.7, 1.0)


def _pack(name: str, category: str, rule: str, days: int, portion_g: int) -> Stock:
    food = Food(name, category, (), made_by="maker")
    return Stock(food, rule, days, portion_g, 1.0, 0.3, is_pack=True)


# Days are the high end of the published range, which is what limits (design: range).
DISHES = (
    _dish("lentil soup", "soup-stew", "us.home.soup.fridge", 4, 400),
    _dish("roast chicken", "cooked-meat-poultry", "us.home.left_meat.fridge", 4, 250),
    _dish("baked pasta", "cooked-pasta", "us.home.rice_pasta.fridge", 4, 350),
    _dish("bean casserole", "cooked-leftovers", "us.home.left.fridge", 4, 350),
    _dish("egg salad", "egg-salad", "us.home.salads.fridge", 4, 150),
    _dish("corned beef", "corned-beef", "us.home.corned.fridge", 7, 250),
)
PACKS = (
    _pack("sliced ham", "deli-meat-opened", "us.home.lunchmeat_open.fridge", 5, 60),
    _pack("frankfurters", "hot-dogs-opened", "us.home.hotdog_open.fridge", 7, 100),
    _pack("soft cheese", "soft-cheese", "us.home.cheese_soft.fridge", 7, 60),
)
STOCKS = {one.name: one for one in (*DISHES, *PACKS)}

# Monday is 0. Which days the cook makes something, by how often in that week.
MAKING_DAYS = {2: (0, 3), 3: (0, 2, 5), 4: (0, 1, 3, 5)}
WEEKDAYS_SAID = "Monday Tuesday Wednesday Thursday Friday Saturday Sunday".split()
# One planned meal a week, as in the trials; the day is our choice.
USE_UP_DAYS = (3,)


@dataclass(frozen=True, slots=True)
class Kitchen:
    """Every figure that a run hangs on.

    Chances by weekday begin on Monday. `wants_else` is the chance that somebody at home
    eats what is not in stock, at lunch and at dinner; `accepts` how many foods, in the
    order of liking, somebody who wants one would take (equal chances); `dishes` and
    `packs` how many of them the kitchen ever has. `newest` is the
    share of careless picks that take the newest container, the others take any;
    `habit` the chance that somebody freezes a container unasked on any morning;
    `looks` that somebody who finds nothing in the fridge looks into the freezer;
    `joins` that somebody eats the planned meal though it is not what they wanted.
    """

    eaters: int = 4
    lunch_home: tuple[float, ...] = (0.35, 0.35, 0.35, 0.35, 0.35, 0.6, 0.6)
    dinner_home: tuple[float, ...] = (0.85, 0.85, 0.8, 0.85, 0.6, 0.55, 0.8)
    wants_else: tuple[float, float] = (0.3, 0.35)
    cancelled: float = 0.06
    guests: float = 0.06
    guest_count: int = 2
    accepts: tuple[int, ...] = (1, 2, 3, 5, 9)
    batches: tuple[int, ...] = (2, 2, 2, 3, 3, 3, 3, 4, 4, 4)
    batch_portions: tuple[int, ...] = (4, 5, 6, 7)
    dishes: int = len(DISHES)
    packs: int = len(PACKS)
    pack_chance: float = 0.5
    pack_portions: int = 4
    freezer_slots: int = 8
    newest: float = 0.5
    habit: float = 0.03
    looks: float = 0.5
    joins: float = 0.5


@dataclass(frozen=True, slots=True)
class Container:
    """One lid: its food, its portions, and draws for each morning of its life."""

    code: str
    stock: Stock
    portions: int
    made_at: datetime
    habit_draws: tuple[float, ...]
    obey_draws: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Making:
    """A dish on a day: the lids it may fill, and how many portions the cook fills.

    `obeys` is a draw for whether the cook makes what is proposed instead.
    """

    stock: Stock
    portions: int
    lids: tuple[Container, ...]
    obeys: float


@dataclass(frozen=True, slots=True)
class Want:
    """Somebody at a meal: what they would take, the best liked first, and their draws.

    `is_else` wants nothing from stock, but may join a planned meal.
    """

    is_else: bool
    ranks: tuple[str, ...]
    obeys: float
    newest: float
    which: float
    looks: float
    joins: float


@dataclass(frozen=True, slots=True)
class Table:
    """One meal on one day."""

    at: datetime
    is_dinner: bool
    wants: tuple[Want, ...]


@dataclass(frozen=True, slots=True)
class Day:
    """What happens on a day, whatever the policy; `use_up` is a draw for its plan."""

    on: date
    card_at: datetime
    opened: tuple[Container, ...]
    lunch: Table
    made: tuple[Making, ...]
    dinner: Table
    use_up: float


@dataclass(frozen=True, slots=True)
class Script:
    """Eight weeks of one kitchen."""

    kitchen: Kitchen
    seed: int
    days: tuple[Day, ...]


def script(kitchen: Kitchen, seed: int, days: int = DAYS) -> Script:
    """The same for the same seed; what is made and who eats are drawn apart."""
    making = _makings(kitchen, random.Random(f"{seed}/makes"), days)
    eating = random.Random(f"{seed}/wants")
    plans = random.Random(f"{seed}/plans")
    found = []
    for number in range(days):
        on = FIRST + timedelta(days=number)
        opened, made = making[number]
        found.append(
            Day(
                on,
                instant(on, CARD),
                opened,
                _table(kitchen, eating, on, is_dinner=False),
                made,
                _table(kitchen, eating, on, is_dinner=True),
                plans.random(),
            )
        )
    return Script(kitchen, seed, tuple(found))


def instant(on: date, clock: time) -> datetime:
    """That local time as an instant in UTC."""
    return from_local(datetime.combine(on, clock), ZONE)


_Making = tuple[tuple[Container, ...], tuple[Making, ...]]


def _makings(kitchen: Kitchen, chance: random.Random, days: int) -> list[_Making]:
    """What is opened and what is made on each day; no dish twice in a row."""
    opened: list[list[Container]] = [[] for _ in range(days)]
    made: list[list[Making]] = [[] for _ in range(days)]
    last, number = "", 0
    for monday in range(0, days, 7):
        for weekday in MAKING_DAYS[chance.choice(kitchen.batches)]:
            menu = DISHES[: kitchen.dishes]
            other = [one for one in menu if one.name != last]
            stock = chance.choice(other or menu)
            portions = chance.choice(kitchen.batch_portions)
            last, number, place = stock.name, number + 1, monday + weekday
            lids = tuple(
                _container(f"B{number:02}.{lid:02}", stock, 1, place, chance)
                for lid in range(1, MOST_LIDS + 1)
            )
            if place < days:
                made[place].append(Making(stock, portions, lids, chance.random()))
        for stock in PACKS[: kitchen.packs]:
            is_opened = chance.random() < kitchen.pack_chance
            number, place = number + 1, monday + chance.randrange(7)
            code, portions = f"P{number:02}", kitchen.pack_portions
            pack = _container(code, stock, portions, place, chance)
            if is_opened and place < days:
                opened[place].append(pack)
    return [(tuple(a), tuple(b)) for a, b in zip(opened, made, strict=True)]


def _container(
    code: str, stock: Stock, portions: int, place: int, chance: random.Random
) -> Container:
    on = FIRST + timedelta(days=place)
    made_at = instant(on, OPENED if stock.is_pack else MADE)
    habits, obeys = (tuple(chance.random() for _ in range(_MORNINGS)) for _ in range(2))
    return Container(code, stock, portions, made_at, habits, obeys)


def _table(
    kitchen: Kitchen, chance: random.Random, on: date, *, is_dinner: bool
) -> Table:
    """Who sits down; all draws are made whoever does, so that none moves another."""
    home = (kitchen.dinner_home if is_dinner else kitchen.lunch_home)[on.weekday()]
    is_cancelled = chance.random() < kitchen.cancelled and is_dinner
    has_guests = chance.random() < kitchen.guests and is_dinner
    there = []
    for number in range(kitchen.eaters + kitchen.guest_count):
        is_home = chance.random() < home
        want = _want(kitchen, chance, is_dinner=is_dinner)
        if number >= kitchen.eaters:
            is_home = has_guests
        if is_home and not is_cancelled:
            there.append(want)
    return Table(instant(on, DINNER if is_dinner else LUNCH), is_dinner, tuple(there))


def _want(kitchen: Kitchen, chance: random.Random, *, is_dinner: bool) -> Want:
    """Foods in a chance order in which the better liked ones tend to come first.

    Sorting by u^(1/weight) draws without replacement by weight (Efraimidis and
    Spirakis 2006, Information Processing Letters 97:181-185, from memory).
    """
    is_else = chance.random() < kitchen.wants_else[is_dinner]
    liked = sorted(
        (chance.random() ** (1 / (one.dinner if is_dinner else one.lunch)), name)
        for name, one in STOCKS.items()
        if one in DISHES[: kitchen.dishes] or one in PACKS[: kitchen.packs]
    )
    count = chance.choice(kitchen.accepts)
    ranks = tuple(name for _, name in reversed(liked))[:count]
    draws = [chance.random() for _ in range(5)]
    return Want(is_else, ranks, *draws)
