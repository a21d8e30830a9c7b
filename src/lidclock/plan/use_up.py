"""One meal out of what would be lost: the combination that saves most."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from lidclock.plan.lots import Lot
from lidclock.plan.surplus import Risk

# More than this on one plate is no meal any more; our choice.
MOST_FOODS = 4


@dataclass(frozen=True, slots=True)
class Dish:
    """What a kitchen eats together: so many portions of each food (casefolded)."""

    name: str
    wants: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Taken:
    """So many portions out of one container, of which `saved` would have been lost."""

    lot: Lot
    portions: int
    saved: float


@dataclass(frozen=True, slots=True)
class UseUp:
    """A meal that uses up; `dish=None` where nothing the kitchen eats together does."""

    dish: Dish | None
    taken: tuple[Taken, ...]
    saved: float
    money: float


def use_up(
    dishes: Iterable[Dish],
    shelf: Mapping[str, Sequence[Risk]],
    worth_of: Callable[[str], float],
    *,
    eaters: int | None = None,
) -> UseUp | None:
    """The dish that saves most money, or what is most at risk; None if nothing is.

    `shelf` holds what can be eaten at that meal, by food and in the order to take it.
    A dish needs all of its foods there. Of two that save the same the smaller one, and
    of those the first by name. Without a dish: up to `MOST_FOODS` surplus foods, the
    dearest first, and of each no more portions than `eaters`.
    """
    served = [_served(dish, shelf, worth_of) for dish in dishes]
    saving = [one for one in served if one is not None and _saves(one, shelf)]
    if saving:
        return min(saving, key=_best_first)
    return _loose(shelf, worth_of, eaters)


def _best_first(one: UseUp) -> tuple[float, int, str]:
    size = sum(taken.portions for taken in one.taken)
    return (-round(one.money, 6), size, one.dish.name if one.dish else "")


def _saves(one: UseUp, shelf: Mapping[str, Sequence[Risk]]) -> bool:
    """Whether anything in it is surplus: a meal of what is wanted anyway saves none."""
    surplus = {x.lot.code for risks in shelf.values() for x in risks if x.is_surplus}
    return any(taken.lot.code in surplus for taken in one.taken)


def _served(
    dish: Dish, shelf: Mapping[str, Sequence[Risk]], worth_of: Callable[[str], float]
) -> UseUp | None:
    taken: list[Taken] = []
    for food, portions in dish.wants:
        found = _take(shelf.get(food, ()), portions)
        if sum(one.portions for one in found) < portions:
            return None
        taken += found
    return _meal(dish, taken, worth_of)


def _loose(
    shelf: Mapping[str, Sequence[Risk]],
    worth_of: Callable[[str], float],
    eaters: int | None,
) -> UseUp | None:
    groups = []
    for food, risks in shelf.items():
        surplus = [one for one in risks if one.is_surplus]
        most = sum(one.lot.portions for one in surplus)
        found = _take(surplus, most if eaters is None else min(most, eaters))
        if found:
            money = worth_of(food) * sum(one.saved for one in found)
            groups.append((-money, food, found))
    chosen = [one for _, _, found in sorted(groups)[:MOST_FOODS] for one in found]
    return _meal(None, chosen, worth_of) if chosen else None


def _take(risks: Iterable[Risk], portions: int) -> list[Taken]:
    """Portions in the order of `risks`; of one container those least wanted anyway."""
    found = []
    for risk in risks:
        number = min(portions, risk.lot.portions)
        if number < 1:
            continue
        saved = sum(sorted((1 - odds for odds in risk.odds), reverse=True)[:number])
        found.append(Taken(risk.lot, number, saved))
        portions -= number
    return found


def _meal(
    dish: Dish | None, taken: list[Taken], worth_of: Callable[[str], float]
) -> UseUp:
    saved = sum(one.saved for one in taken)
    money = sum(worth_of(one.lot.food) * one.saved for one in taken)
    return UseUp(dish, tuple(taken), saved, money)
