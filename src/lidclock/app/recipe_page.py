"""One recipe as a page shows it: as it is written, or at a size."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from lidclock.app.guidance_words import allergen_names
from lidclock.app.mixing import plan_kept
from lidclock.app.recipe_book import Kept, find_recipe, versions_of, written
from lidclock.app.recipe_question import Asked
from lidclock.app.recipe_sheet import allergens_in, say_percent
from lidclock.app.recipe_tree import Tree, tree_of
from lidclock.app.recipes import Plan, Size, plan_json
from lidclock.app.session import Session
from lidclock.domain.phrases import with_and, with_commas
from lidclock.domain.sentences import Figure, joined, sentence, sentences
from lidclock.errors import FaultsError
from lidclock.plan.recipe import Input, Recipe
from lidclock.plan.scale import to_buy_g
from lidclock.plan.units import decimal_text, say_mass
from lidclock.store.recipes import Recipes

_FACTOR_PLACES = 5


@dataclass(frozen=True, slots=True)
class Row:
    """One ingredient; without a size there is no mass. `recipe` makes it, if one does.

    `to_buy` is empty where all that is bought can be used.
    """

    name: str
    percent: str
    mass: str
    to_buy: str
    allergens: str
    recipe: str


@dataclass(frozen=True, slots=True)
class Mixing:
    """How many containers of how much would be filled; no mass where nobody knows."""

    count: int
    mass: str


@dataclass(frozen=True, slots=True)
class RecipePage:
    """A version of a recipe; `latest` is the one on the list, 0 if it was taken off.

    `faults` say where a size was wrong: then the rows are without masses.
    """

    kept: Kept
    latest: int
    versions: tuple[Kept, ...]
    makes: str
    rows: tuple[Row, ...]
    allergens: str
    note: str
    total: str = ""
    factor: str = ""
    comes_to: str = ""
    shares: tuple[tuple[int, str], ...] = ()
    cost: str = ""
    remarks: tuple[str, ...] = ()
    mixing: Mixing | None = None
    is_weighed: bool = True
    loss: str = ""
    faults: tuple[tuple[str, str], ...] = ()


def recipe_page(
    session: Session, name: str, version: int | None, size: Size
) -> RecipePage:
    """A recipe at a size; without one as it is written, where that is by mass.

    UnknownThingError where there is no such recipe, or no such version.
    """
    kept = find_recipe(session, name, version)
    tree, asked = tree_of(session), written(kept.text, is_toml=kept.is_toml)
    asked = replace(asked, recipe=tree.traced(asked.recipe))
    page = _as_written(session, kept, asked, tree)
    if not (size.count or size.factor or size.portion):
        if not asked.recipe.is_weighed:
            return page
        size = Size(factor="1")
    try:
        return _sized(page, plan_kept(session, kept, size), tree)
    except FaultsError as error:
        return replace(page, faults=error.faults)


def _as_written(session: Session, kept: Kept, asked: Asked, tree: Tree) -> RecipePage:
    with session.database.read() as connection:
        known = versions_of(Recipes(connection, session.kitchen.id), kept.name)
    recipe, latest = asked.recipe, known[-1]
    return RecipePage(
        kept,
        latest.version if latest.text else 0,
        tuple(one for one in known if one.text),
        _makes(recipe, session.kitchen.units),
        tuple(
            Row(one.name, say_percent(recipe.percent(one)), "", "", *_of(one, tree))
            for one in recipe.inputs
        ),
        allergens_in(recipe.inputs),
        asked.note,
        is_weighed=recipe.is_weighed,
        loss="" if recipe.makes else decimal_text(recipe.loss * 100, 2),
    )


def _sized(page: RecipePage, plan: Plan, tree: Tree) -> RecipePage:
    scaled, recipe = plan.scaled, plan.scaled.recipe
    rows = tuple(
        Row(
            one.name,
            say_percent(recipe.percent(one)),
            plan.say(mass),
            "" if one.usable == 1 else plan.say(to_buy_g(one, mass)),
            *_of(one, tree),
        )
        for one, mass in zip(recipe.inputs, scaled.masses_g, strict=True)
    )
    factor = scaled.factor
    shares = Counter(plan.shares_g)
    return replace(
        page,
        rows=rows,
        total=plan.say(scaled.mix_g),
        factor="" if factor is None else decimal_text(factor, _FACTOR_PLACES),
        comes_to=_comes_to(plan),
        shares=tuple((many, plan.say(Fraction(one))) for one, many in shares.items()),
        cost=_cost(plan),
        remarks=plan.remarks,
        mixing=Mixing(scaled.count, _typed(scaled.portion_g)),
    )


def _typed(grams: Fraction | None) -> str:
    """A mass as it might be typed into a form."""
    return "" if grams is None else f"{decimal_text(grams, 2)} g"


def _of(one: Input, tree: Tree) -> tuple[str, str]:
    """Its allergens in words, and the recipe by which it is made here."""
    recipe = tree.recipe_of(one.name)
    names = allergen_names(one.known_allergens)
    if one.allergens is not None:
        said = names or sentence("none")
    elif names:
        said = sentence("{known}; NOT RECORDED for all of it", known=names)
    else:
        said = sentence("NOT RECORDED")
    return said, recipe.name if recipe else ""


def _makes(recipe: Recipe, units: str) -> str:
    """What the recipe makes as it is written."""
    if recipe.makes is not None:
        return _portions(recipe.makes.count, recipe.makes.portion_g, units)
    if not recipe.is_weighed:
        base = with_and(list(recipe.base)) or sentence("the whole")
        return sentence("In percent of {base}, for any amount", base=base)
    made = say_mass(recipe.parts * (1 - recipe.loss), units)
    if not recipe.loss:
        return made
    return sentence(
        "{mass}; {percent} % get lost on the way",
        mass=made,
        percent=Figure(decimal_text(recipe.loss * 100, 2)),
    )


def _portions(count: int, portion_g: Fraction | None, units: str) -> str:
    if portion_g is None:
        return sentences("{count} portion", "{count} portions", count)
    return sentences(
        "{count} portion of {mass}",
        "{count} portions of {mass}",
        count,
        mass=say_mass(portion_g, units),
    )


def _comes_to(plan: Plan) -> str:
    """What is there to fill in the end."""
    scaled = plan.scaled
    if scaled.recipe.makes is None and scaled.made_g is not None and scaled.count == 1:
        return plan.say(scaled.made_g)
    return _portions(scaled.count, scaled.portion_g, plan.units)


def _cost(plan: Plan) -> str:
    """Money to two decimals: common practice, no source. Empty without any price."""
    answer = plan_json(plan)
    if not any(one["cost"] for one in answer["inputs"]):
        return ""
    money = plan.asked.currency
    if answer["cost"] is not None:
        return sentence(
            "{total}, {each} a portion",
            total=_money(answer["cost"], money),
            each=_money(answer["cost_per_portion"], money),
        )
    return sentence(
        "unknown; {part} without {names}",
        part=_money(answer["cost_of_priced"], money),
        names=with_commas(list(_unpriced(plan))),
    )


def _money(amount: str, money: str) -> str:
    said = Figure(f"{float(amount):.2f}")
    return joined("{amount} {money}", amount=said, money=money) if money else said


def _unpriced(plan: Plan) -> Iterator[str]:
    for one in plan.scaled.recipe.inputs:
        if one.price is None:
            yield one.name
