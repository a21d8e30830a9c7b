"""What to mix for a batch of a food: its recipe at a size, in the kitchen's units."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from lidclock.app.recipe_book import Kept, find_recipe, written
from lidclock.app.recipe_sheet import allergen_line, say_percent
from lidclock.app.recipe_tree import Tree, tree_of
from lidclock.app.recipes import Plan, Size, plan_json, plan_recipe
from lidclock.app.session import Session
from lidclock.domain.foods import merged_allergens
from lidclock.domain.masses import read_mass
from lidclock.domain.sentences import figure, sentence
from lidclock.errors import InputError, UnknownThingError
from lidclock.plan.recipe import Recipe
from lidclock.plan.units import decimal_text


@dataclass(frozen=True, slots=True)
class Weighing:
    """One thing to weigh: its share in percent, and its mass as a scale shows it."""

    name: str
    percent: str
    mass: str


@dataclass(frozen=True, slots=True)
class Mix:
    """A kept recipe, and at a size what to weigh; `shares` are how it is divided.

    `fault` says why it could not be scaled. `loss` is in percent, empty where the
    recipe says what it makes. `factor` is how many times what is written goes in, empty
    where that is in percent alone. `known_allergens` are None where those of one input
    were not recorded.
    """

    kept: Kept
    loss: str
    known_allergens: tuple[str, ...] | None
    plan: Plan | None = None
    rows: tuple[Weighing, ...] = ()
    total: str = ""
    factor: str = ""
    shares: tuple[tuple[int, str], ...] = ()
    allergens: str = ""
    note: str = ""
    remarks: tuple[str, ...] = ()
    fault: str = ""


def recipe_of(session: Session, food: str, version: int | None = None) -> Kept | None:
    """The kept recipe by the name of a food, or None where there is none."""
    try:
        return find_recipe(session, food, version)
    except UnknownThingError:
        return None


def recipe_words(kept: Kept) -> str:
    """How a batch names the recipe it was made by."""
    return f"{kept.name}, version {kept.version}"


def mix_of(
    session: Session, food: str, *, count: str, portion: str, loss: str = ""
) -> Mix | None:
    """What to mix for so many containers of so much each; None without a recipe.

    Texts are as typed; without a size only the recipe is told.
    """
    kept = recipe_of(session, food)
    if kept is None:
        return None
    recipe = written(kept.text, is_toml=kept.is_toml).recipe
    tree = tree_of(session)
    allergens = _allergens_of(tree.traced(recipe))
    known = Mix(kept, loss.strip() or _loss_of(recipe), allergens)
    has_size = recipe.makes is None or recipe.makes.portion_g is not None
    if not count.strip() or (has_size and not portion.strip()):
        return known
    if has_size:
        return _sized(session, known, count, portion, tree)
    mix = _sized(session, known, count, "", tree)
    unlike = _unlike(mix, portion, session.kitchen.units)
    return replace(mix, remarks=(unlike, *mix.remarks)) if unlike else mix


_TOLD = (
    *("name", "count", "portion_g", "loss", "factor", "needed_g", "mix_g", "made_g"),
    *("inputs", "split", "allergens", "known_allergens", "unknown", "remarks"),
)


def mix_json(session: Session, name: str, size: Size) -> dict[str, Any]:
    """What to mix as JSON-ready data, as `plan_json` has it.

    UnknownThingError where no such recipe is kept, InputError for a wrong size.
    """
    kept = find_recipe(session, name)
    told = plan_json(plan_kept(session, kept, size))
    return {"version": kept.version, **{key: told[key] for key in _TOLD}}


def plan_kept(session: Session, kept: Kept, size: Size) -> Plan:
    """A kept recipe at a size, in the kitchen's units, allergens from its tree."""
    sized = replace(size, units=session.kitchen.units)
    return plan_recipe(kept.text, sized, is_toml=kept.is_toml, tree=tree_of(session))


def with_unit(text: str, units: str) -> str:
    """A mass as it was typed; a bare number is in the kitchen's small unit."""
    bare = text.strip()
    if not bare or not bare[-1].isdigit():
        return bare
    return f"{bare} oz" if units == "us" else f"{bare} g"


def as_share(text: str) -> str:
    """A share as it was typed in percent, with or without the sign."""
    bare = text.strip().replace(",", ".")
    return f"{bare.removesuffix('%').strip()}%" if bare else ""


def _loss_of(recipe: Recipe) -> str:
    return "" if recipe.makes is not None else decimal_text(recipe.loss * 100, 2)


def _allergens_of(recipe: Recipe) -> tuple[str, ...] | None:
    return merged_allergens([one.allergens for one in recipe.inputs])


def _sized(session: Session, known: Mix, count: str, portion: str, tree: Tree) -> Mix:
    kept, units = known.kept, session.kitchen.units
    size = Size(
        count=count.strip(),
        portion=with_unit(portion, units),
        loss=as_share(known.loss),
        units=units,
    )
    try:
        plan = plan_recipe(kept.text, size, is_toml=kept.is_toml, tree=tree)
    except InputError as error:
        return Mix(kept, known.loss, known.known_allergens, fault=str(error))
    scaled, recipe = plan.scaled, plan.scaled.recipe
    rows = tuple(
        Weighing(one.name, say_percent(recipe.percent(one)), plan.say(mass))
        for one, mass in zip(recipe.inputs, scaled.masses_g, strict=True)
    )
    return Mix(
        kept,
        known.loss,
        known.known_allergens,
        plan,
        rows,
        plan.say(scaled.mix_g),
        "" if scaled.factor is None else decimal_text(scaled.factor, 5),
        _shares(plan),
        allergen_line(plan),
        plan.asked.note,
        plan.remarks,
    )


def _unlike(mix: Mix, portion: str, units: str) -> str:
    """What to know where the boxes will not hold what is mixed, if they will not.

    For a recipe that does not say how large its portions are, so that the mass of one
    tells nothing about the mix.
    """
    try:
        each = Fraction(read_mass(with_unit(portion, units)))
    except InputError:
        return ""
    if mix.plan is None:
        return ""
    scaled = mix.plan.scaled
    if abs(each * scaled.count - scaled.mix_g) < scaled.count:
        return ""
    return sentence(
        "{count} × {each} are {all}, but {mix} are mixed: the recipe does not say how "
        "large its portions are, so the mass in each does not change the mix",
        count=figure(scaled.count),
        each=mix.plan.say(each),
        all=mix.plan.say(each * scaled.count),
        mix=mix.total,
    )


def _shares(plan: Plan) -> tuple[tuple[int, str], ...]:
    """`5 of 308 g, 1 of 307 g`: how many containers get how much."""
    counts: dict[int, int] = {}
    for share in plan.shares_g:
        counts[share] = counts.get(share, 0) + 1
    return tuple((number, plan.say(Fraction(x))) for x, number in counts.items())
