"""The prep list of one day: what to make for the meals to come, less what is there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from statistics import median_low

from lidclock.app.list_words import say_when
from lidclock.app.lists import Listed
from lidclock.app.meals import named, occurrences
from lidclock.app.mixing import plan_kept
from lidclock.app.planning import choices_of, meals_of
from lidclock.app.pull import moment_of
from lidclock.app.recipe_book import find_recipe
from lidclock.app.recipe_sheet import allergen_line
from lidclock.app.recipes import Size
from lidclock.app.session import Session, Unit
from lidclock.app.thawing import thawing
from lidclock.domain.moments import DAY, end_of_day, local_date
from lidclock.domain.phrases import told_of
from lidclock.domain.planning import Occurrence
from lidclock.domain.sentences import figure, quoted, sentence
from lidclock.domain.snapshots import Snapshot
from lidclock.errors import InputError, UnknownThingError
from lidclock.plan.allot import Need, Serving, allot
from lidclock.plan.lists import PrepLine, Weighing
from lidclock.plan.lots import Lot, portions_in
from lidclock.plan.units import say_mass


@dataclass(frozen=True, slots=True)
class PrepList:
    """What to make on `day`, for meals up to and with `last_on`.

    `enough` are the foods of those meals of which nothing has to be made.
    """

    day: date
    at: datetime
    last_on: date
    lines: tuple[PrepLine, ...]
    enough: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Portion:
    """The mass of a portion: the food's own, else that of a container as it is kept."""

    own_g: float | None = None
    kept_g: float | None = None

    @property
    def exact_g(self) -> Fraction | None:
        """What a recipe is scaled by; None where nobody weighed anything."""
        grams = self.own_g if self.own_g is not None else self.kept_g
        return None if grams is None else Fraction(str(grams))


@dataclass(frozen=True, slots=True)
class _Wanted:
    """One food, in the words of its meals, and what each meal gets of what is there."""

    food: str
    portion: Portion
    servings: tuple[tuple[Occurrence, Serving], ...]
    frozen_codes: frozenset[str] = frozenset()

    @property
    def portions(self) -> int:
        """All that the meals want."""
        return sum(one.need.portions for _, one in self.servings)

    @property
    def short(self) -> int:
        """What nothing is there for."""
        return sum(one.short for _, one in self.servings)

    @property
    def frozen(self) -> int:
        """Portions that have to come out of a freezer first."""
        return sum(
            share.portions
            for _, serving in self.servings
            for share in serving.shares
            if share.lot.code in self.frozen_codes
        )


def prep_list(
    session: Session, day: date | None = None, more: Iterable[PrepLine] = ()
) -> PrepList:
    """The list for `day` (today if None); `more` are lines that others worked out.

    It looks ahead as many days as one making has to last. What is there goes to the
    meals in the order in which it ends; what would be over by then, has no last day or
    no place is not counted. InputError for a day that is past or far ahead.
    """
    with session.read() as unit:
        at = moment_of(unit, day)
        zone = session.kitchen.zone
        on = local_date(at, zone)
        last_on = on + (choices_of(unit).cover_days - 1) * DAY
        meals = occurrences(meals_of(unit), at, end_of_day(last_on, zone))
        wanted = _wanted(unit, meals, at)
    lines = [_line(session, one) for one in wanted if one.short]
    enough = [told_of(one.food, _there(one)) for one in wanted if not one.short]
    return PrepList(on, at, last_on, (*lines, *more), tuple(enough))


def _wanted(unit: Unit, meals: Sequence[Occurrence], at: datetime) -> list[_Wanted]:
    asked = [
        (meal, item.food, meal.meal.portions_of(item))
        for meal in meals
        for item in meal.meal.items
    ]
    asked = [(meal, food, count) for meal, food, count in asked if count > 0]
    needs = [
        Need(meal.at, food.casefold(), count, meal.key) for meal, food, count in asked
    ]
    names = dict.fromkeys(need.food for need in needs)
    stock = {name: unit.snapshots.find(food=name) for name in names}
    portions = {name: _portion(unit, name, stock[name]) for name in names}
    ready = {x.code: one.ready_at for one in thawing(unit) for x in one.containers}
    lots = [
        _lot(one, portions[name], ready)
        for name in names
        for one in stock[name]
        if _is_usable(one, at, unit)
    ]
    served = allot(lots, needs).servings
    found = []
    for name in names:
        mine = [
            (meal, food, serving)
            for (meal, food, _), serving in zip(asked, served, strict=True)
            if serving.need.food == name
        ]
        pairs = tuple((meal, serving) for meal, _, serving in mine)
        frozen = frozenset(x.code for x in stock[name] if x.standing == "paused")
        found.append(_Wanted(mine[0][1], portions[name], pairs, frozen))
    return found


def _portion(unit: Unit, name: str, stock: Sequence[Snapshot]) -> Portion:
    known = unit.snapshots.food(name)
    masses = [one.mass_g for one in stock if one.mass_g]
    kept = median_low(masses) if masses else None
    return Portion(known.portion_g if known else None, kept)


def _lot(one: Snapshot, portion: Portion, ready: Mapping[str, datetime]) -> Lot:
    """A container as so many portions; a frozen one waits, but for a maker's date."""
    return Lot(
        one.code,
        one.food.casefold(),
        portions_in(one.mass_g, portion.own_g),
        one.last_moment,
        ready.get(one.code),
        one.opened_at,
        one.made_at,
        one.mass_g,
        one.index or 0,
    )


def _is_usable(one: Snapshot, at: datetime, unit: Unit) -> bool:
    session = unit.session
    if one.is_unmarked or one.place.casefold() in session.silent:
        return False
    if one.standing == "paused":
        return bool(Listed(one, "paused", at, session.kitchen.zone).days_left)
    return one.last_moment is not None and one.last_moment > at


def _line(session: Session, one: _Wanted) -> PrepLine:
    zone = session.kitchen.zone
    portion, units = one.portion.exact_g, session.kitchen.units
    mass = "" if portion is None else say_mass(portion * one.short, units)
    as_kept = ""
    if portion is not None and one.portion.own_g is None:
        as_kept = sentence(
            "a portion taken as {mass}, as in the boxes there",
            mass=say_mass(portion, units),
        )
    recipe, fault = _weighing(session, one.food, one.short, portion)
    return PrepLine(
        food=one.food,
        portions=one.short,
        mass=mass,
        recipe=recipe,
        for_meals=tuple(
            sentence(
                "{meal}, {when}: {missing} of {wanted} missing",
                meal=named(meal.meal.name) or sentence("meal"),
                when=say_when(meal.at, zone),
                missing=figure(serving.short),
                wanted=figure(serving.need.portions),
            )
            for meal, serving in one.servings
            if serving.short
        ),
        notes=tuple(filter(None, (_there(one), as_kept, fault))),
    )


def _there(one: _Wanted) -> str:
    """What the other portions come from, so that the frozen ones are taken out."""
    wanted, there = figure(one.portions), figure(one.portions - one.short)
    if not one.frozen:
        return sentence(
            "{wanted} wanted, {there} there that count", wanted=wanted, there=there
        )
    return sentence(
        "{wanted} wanted, {there} there that count, {frozen} of them frozen: take out "
        "in time",
        wanted=wanted,
        there=there,
        frozen=figure(one.frozen),
    )


def _weighing(
    session: Session, food: str, count: int, portion: Fraction | None
) -> tuple[Weighing | None, str]:
    """The recipe of that name at that size, or why there is none."""
    try:
        kept = find_recipe(session, food)
    except UnknownThingError:
        return None, ""
    size = Size(
        str(count),
        "" if portion is None else f"{float(portion):g} g",
        units=session.kitchen.units,
    )
    try:
        plan = plan_kept(session, kept, size)
    except InputError as error:
        return None, sentence(
            "its recipe could not be scaled: {error}", error=quoted(str(error))
        )
    inputs = tuple(
        (one.name, plan.say(mass))
        for one, mass in zip(
            plan.scaled.recipe.inputs, plan.scaled.masses_g, strict=True
        )
    )
    name = sentence(
        "{recipe}, version {number}", recipe=kept.name, number=figure(kept.version)
    )
    total = plan.say(plan.scaled.mix_g)
    return Weighing(name, inputs, total, allergen_line(plan)), ""
