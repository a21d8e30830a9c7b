"""Filling containers from a form: foods to choose from, and each form filled once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from lidclock.app.categories import find
from lidclock.app.filled_again import refuse_again
from lidclock.app.food_names import food_name, listed_allergens
from lidclock.app.mixing import recipe_words
from lidclock.app.now import new_ids
from lidclock.app.prep import Filled, Input, Order, adopt, open_pack, prep, shares
from lidclock.app.recipe_book import find_recipe
from lidclock.app.session import Session, Unit, View
from lidclock.domain.foods import Food
from lidclock.domain.sentences import sentence
from lidclock.errors import InputError, UnknownThingError
from lidclock.guidance.categories import leaves
from lidclock.guidance.load import load_categories
from lidclock.guidance.model import Category
from lidclock.guidance.other_words import folded

_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
_MOST_FOUND = 8
BATCH, PACK, ADOPT = KINDS = ("batch", "pack", "adopt")


@dataclass(frozen=True, slots=True)
class Known:
    """A food to choose, with what its last batch was like."""

    food: Food
    count: int = 1
    portion_g: float | None = None


@dataclass(frozen=True, slots=True)
class NewFood:
    """What is said of a food that this kitchen has not had yet; texts as typed."""

    category: str = ""
    allergens: str = ""
    has_none: bool = False
    house_days: int | None = None


@dataclass(frozen=True, slots=True)
class Filling:
    """A form that was filled in; `once` names it, so that it counts once.

    `placed_at` is when it went into its place, None for now: what lies between counts
    as counter time. A pack goes there when it is opened. With `asks` the same filled
    again within minutes is asked for once more.
    `inputs` are containers that went into a batch, `recipe` is the version of the
    food's recipe by which it was made.
    """

    kind: str
    food: str
    once: str
    new: NewFood | None = None
    count: int = 1
    portion_g: float | None = None
    total_g: float | None = None
    at: datetime | None = None
    place: str = ""
    placed_at: datetime | None = None
    lot: str = ""
    maker: str = ""
    code: str = ""
    use_by: date | None = None
    inputs: tuple[Input, ...] = ()
    recipe: int | None = None
    anyway: bool = False
    asks: bool = False


def new_once() -> str:
    """A name for a form that is about to be filled in."""
    return new_ids(1)[0]


def known_foods(session: Session, kind: str = BATCH) -> list[Known]:
    """The foods of this kitchen, those made last first; bought ones for a pack."""
    maker = "maker" if kind == PACK else "kitchen"
    with session.read() as unit:
        foods = [food for food in unit.snapshots.foods() if food.made_by == maker]
        batches = unit.snapshots.batches()
    last = {x.food.casefold(): x for x in sorted(batches, key=lambda x: x.made_at)}
    known = []
    for food in foods:
        batch = last.get(food.name.casefold())
        if batch is None:
            known.append((0.0, Known(food, portion_g=food.portion_g)))
            continue
        each = batch.total_g / batch.count if batch.total_g and batch.count else None
        portion_g = food.portion_g or (round(each) if each else None)
        made = -batch.made_at.timestamp()
        known.append((made, Known(food, max(1, batch.count), portion_g)))
    return [one for _, one in sorted(known, key=_recent_first)]


def _recent_first(pair: tuple[float, Known]) -> tuple[float, str]:
    return pair[0], pair[1].food.name.casefold()


def known_food(session: Session, typed: str, kind: str = BATCH) -> Known | None:
    """The food of that name as a choice, None where there is none yet."""
    name = food_name(typed)
    with session.read() as unit:
        food = unit.known_food(name)
    if food is None:
        return None
    found = (x for x in known_foods(session, kind) if x.food.name == food.name)
    return next(found, Known(food, portion_g=food.portion_g))


def fitting_categories(
    words: str, phrases: Mapping[str, Iterable[str]] | None = None
) -> Sequence[Category]:
    """The categories that fit everyday words, a handful, the best first.

    `phrases` are their names and words in another language, by id.
    """
    return find(words, phrases)[:_MOST_FOUND] if words.strip() else ()


def every_category(named: Callable[[str], str] = str) -> Sequence[Category]:
    """All kinds of food that have none below them, by name, accents aside.

    `named` says a name in the reader's language.
    """
    found = leaves(load_categories())
    return sorted(found, key=lambda one: folded(named(one.name)))


def fill(session: Session, filling: Filling) -> str:
    """Record what a form says, once however often it is sent; the act it is.

    Errors as for doing it at a keyboard; nothing is recorded then.
    """
    if not _ID.fullmatch(filling.once):
        raise InputError("this form is stale: open the page again")
    if filling.placed_at is not None and not filling.place:
        raise InputError(
            sentence("say where it is, or leave out when it was put there")
        )
    with session.write() as unit, unit.one_act(filling.once):
        if unit.ledger.act(filling.once):
            return filling.once
        food = _food(unit, filling)
        if filling.asks and filling.kind != ADOPT and isinstance(food, Food):
            refuse_again(unit, food.name, _masses(filling, food))
        _FILL[filling.kind](unit, filling, food)
    return filling.once


def filled_in(session: Session, act: str) -> list[View]:
    """The containers that an act filled, by number; UnknownThingError if none."""
    with session.read() as unit:
        events = unit.ledger.standing(unit.ledger.act(act)) if act else []
        codes = dict.fromkeys(x.subject for x in events if x.kind == "filled")
        views = [unit.view(code) for code in codes if unit.snapshots.get(code)]
    if not views:
        raise UnknownThingError(
            sentence("nothing was filled there, or it was taken back")
        )
    return sorted(views, key=lambda view: view.container.index or 0)


def _food(unit: Unit, filling: Filling) -> Food | str:
    name = food_name(filling.food)
    known = unit.known_food(name)
    if known is not None or filling.new is None:
        return known or name
    new = filling.new
    if not new.category:
        raise InputError(
            sentence(
                "say what kind of food {food} is: choose one of the kinds",
                food=repr(name),
            )
        )
    allergens = () if new.has_none else listed_allergens(new.allergens or None)
    made_by = "maker" if filling.kind == PACK else "kitchen"
    food = Food(name, new.category, allergens, made_by)
    return replace(food, house_days=new.house_days) if new.house_days else food


def _masses(filling: Filling, food: Food) -> list[float | None]:
    """What would be in each container."""
    if filling.kind != BATCH:
        return [filling.portion_g]
    portion_g = filling.portion_g
    if portion_g is None and filling.total_g is None:
        portion_g = food.portion_g
    order = Order(food, filling.count, portion_g=portion_g, total_g=filling.total_g)
    return shares(order)


def _batch(unit: Unit, filling: Filling, food: Food | str) -> Filled:
    recipe = ""
    if filling.recipe is not None:
        name = food if isinstance(food, str) else food.name
        recipe = recipe_words(find_recipe(unit.session, name, filling.recipe))
    order = Order(
        food,
        filling.count,
        portion_g=filling.portion_g,
        total_g=filling.total_g,
        made_at=filling.at,
        place=unit.session.place(filling.place) if filling.place else None,
        placed_at=filling.placed_at,
        lot=filling.lot,
        inputs=filling.inputs,
        recipe=recipe,
        anyway=filling.anyway,
    )
    return prep(unit, order)


def _pack(unit: Unit, filling: Filling, food: Food | str) -> Filled:
    return open_pack(
        unit,
        food,
        mass_g=filling.portion_g,
        maker_use_by=filling.use_by,
        opened_at=filling.at,
        place=unit.session.place(filling.place) if filling.place else None,
        lot=filling.lot,
        maker=filling.maker,
    )


def _adopt(unit: Unit, filling: Filling, food: Food | str) -> Filled:
    return adopt(
        unit,
        food,
        code=filling.code or None,
        mass_g=filling.portion_g,
        made_at=filling.at,
        maker_use_by=filling.use_by,
        place=unit.session.place(filling.place) if filling.place else None,
        placed_at=filling.placed_at,
    )


_FILL = {BATCH: _batch, PACK: _pack, ADOPT: _adopt}
