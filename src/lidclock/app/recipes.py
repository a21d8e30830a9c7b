"""Scaling a recipe: one document in, masses, containers, costs out; no kitchen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import floor
from typing import Any

from lidclock.app.recipe_question import (
    MOST_PORTIONS,
    Asked,
    read_loss,
    read_recipe,
)
from lidclock.app.recipe_tree import Tree
from lidclock.app.recipe_values import Values
from lidclock.domain.foods import merged_allergens
from lidclock.domain.masses import HEAVIEST_CONTAINER_G, HEAVIEST_G
from lidclock.domain.phrases import with_semicolons
from lidclock.domain.sentences import Figure, figure, sentence, sentences
from lidclock.errors import InputError
from lidclock.guidance.allergens import canonical, nearest_allergens
from lidclock.plan.recipe import Input, heaviest_first
from lidclock.plan.scale import (
    Scaled,
    cost,
    multiply,
    scale,
    to_buy_g,
    usable_price,
)
from lidclock.plan.split import split_whole
from lidclock.plan.units import Step, decimal_text, read_step, rounded_g, say_mass

MOST_CONTAINERS = 10_000
_MOST_TIMES = 100_000
_ABSURD = 10**100


@dataclass(frozen=True, slots=True)
class Size:
    """How much is wanted, as it was typed; empty texts leave it to the recipe.

    Either a count, or a factor: so many times what is written.
    """

    count: str = ""
    portion: str = ""
    loss: str = ""
    containers: str = ""
    weighed: str = ""
    exact: bool = False
    units: str = "metric"
    step: str = ""
    factor: str = ""


@dataclass(frozen=True, slots=True)
class Plan:
    """A recipe at a size, and how its masses are to be shown."""

    asked: Asked
    scaled: Scaled
    split_g: Fraction | None
    shares_g: tuple[int, ...]
    units: str
    step: Step | None
    remarks: tuple[str, ...]

    def say(self, grams: Fraction) -> str:
        """A mass, rounded to be shown."""
        return say_mass(grams, self.units, self.step)


def plan_recipe(
    text: str, size: Size, *, is_toml: bool = False, tree: Tree | None = None
) -> Plan:
    """The recipe in `text` at a size; FaultsError names everything that is wrong.

    With the `tree` of a kitchen, allergens of what it makes itself are looked up there.
    """
    values = Values()
    asked = read_recipe(text, is_toml=is_toml, values=values)
    if asked is not None and tree is not None:
        asked = replace(asked, recipe=tree.traced(asked.recipe))
    count = factor = None
    if size.factor:
        factor = values.positive("factor", size.factor, _MOST_TIMES)
    else:
        count = values.whole("count", size.count or None, MOST_PORTIONS)
    portion = None
    if size.portion:
        portion = values.grams("portion", size.portion, None, HEAVIEST_CONTAINER_G)
    loss = read_loss(values, size.loss) if size.loss else None
    weighed = None
    if size.weighed:
        weighed = values.grams("weighed", size.weighed, None, HEAVIEST_G)
    weights = _containers(values, size.containers)
    step = _step(values, size.step)
    if asked is not None:
        _check_size(values, asked, size, loss)
    values.end()
    assert asked is not None  # its faults were told
    if factor is not None:
        scaled = multiply(asked.recipe, factor, loss=loss)
    else:
        assert count is not None
        scaled = scale(
            asked.recipe, count, portion, loss=loss, to_whole_grams=not size.exact
        )
    if scaled.mix_g > HEAVIEST_G + 1:
        values.fault(
            "count",
            sentence(
                "that mix weighs {mass} kg; a batch is at most {most} kg",
                mass=Figure(decimal_text(scaled.mix_g / 1000, 1)),
                most=figure(HEAVIEST_G // 1000),
            ),
        )
    divided = _divided(scaled, weighed)
    weights = weights or (Fraction(1),) * min(scaled.count, MOST_CONTAINERS)
    if divided is not None and floor(divided) < len(weights):
        values.fault(
            "containers",
            sentences(
                "{count} container would hold no whole gram",
                "{count} containers would hold no whole gram",
                len(weights),
            ),
        )
    values.end()
    shares = split_whole(floor(divided), weights) if divided is not None else ()
    if scaled.count > MOST_CONTAINERS and not size.containers:
        shares = ()
    remarks = _remarks(asked, scaled, divided, weights)
    return Plan(asked, scaled, divided, shares, size.units, step, remarks)


def _divided(scaled: Scaled, weighed: Fraction | None) -> Fraction | None:
    """What is divided: what was weighed, else the mix, else what the recipe makes."""
    if weighed is not None:
        return weighed
    return scaled.mix_g if scaled.recipe.makes is None else scaled.made_g


def _check_size(
    values: Values, asked: Asked, size: Size, loss: Fraction | None
) -> None:
    """A portion must be known once, a loss must not be counted twice."""
    makes = asked.recipe.makes
    if size.factor:
        _check_factor(values, asked, size)
    elif makes is None and not size.portion:
        values.fault(
            "portion", sentence("is missing; give the mass of one, such as 300g")
        )
    if makes is None:
        return
    if loss:
        values.fault(
            "loss", sentence("the recipe says what it makes: its loss is in that")
        )
    if size.portion and makes.portion_g is None:
        values.fault(
            "portion",
            sentence(
                "the recipe does not say how large its portions are; write that into "
                "it, or leave the portion out"
            ),
        )


def _check_factor(values: Values, asked: Asked, size: Size) -> None:
    """A factor is of what is written, and there is no other size beside it."""
    if size.count or size.portion:
        values.fault(
            "factor",
            sentence("say how many portions, or how many times: one of the two"),
        )
    if not asked.recipe.is_weighed:
        values.fault(
            "factor",
            sentence(
                "the recipe is in percent alone: say how many portions, and how much "
                "in each"
            ),
        )


def _containers(values: Values, text: str) -> tuple[Fraction, ...]:
    """`6`, or sizes such as `2kg, 2kg, 1kg`: what each gets its share by."""
    if not text.strip():
        return ()
    parts = text.split(",")
    if len(parts) == 1 and parts[0].strip().isdecimal():
        count = values.whole("containers", parts[0], MOST_CONTAINERS)
        return (Fraction(1),) * (count or 0)
    if len(parts) > MOST_CONTAINERS:
        values.fault(
            "containers", f"{len(parts)} are too many; {MOST_CONTAINERS} at most"
        )
        return ()
    found = [
        values.grams(f"containers[{index}]", part, None, HEAVIEST_CONTAINER_G)
        for index, part in enumerate(parts)
    ]
    return tuple(one for one in found if one is not None)


def _step(values: Values, text: str) -> Step | None:
    if not text:
        return None
    try:
        return read_step(text)
    except InputError as error:
        values.fault("step", str(error))
        return None


def _remarks(
    asked: Asked,
    scaled: Scaled,
    divided: Fraction | None,
    weights: Sequence[Fraction],
) -> tuple[str, ...]:
    """What is odd, and what a cook should look at again."""
    found: list[str] = []
    made = scaled.made_g
    if scaled.recipe.makes is not None and made is not None and made > scaled.mix_g:
        found.append(
            sentence("makes more than goes in: is something missing, such as water?")
        )
    room = sum(weights, Fraction(0))
    if divided is not None and min(weights) > 1 and divided > room:
        over = Figure(decimal_text(divided - room, 1))
        found.append(sentence("{over} g more than these containers hold", over=over))
    for one in asked.recipe.inputs:
        for word in one.allergens or ():
            if not canonical(word):
                close = ", ".join(nearest_allergens(word))
                found.append(_unlisted(word, one.name, close))
    return tuple(found)


def _unlisted(word: str, name: str, close: str) -> str:
    said = sentence(
        "{word} of {name} is on no allergen list", word=repr(word), name=name
    )
    nearest = sentence("nearest: {names}", names=close) if close else ""
    return with_semicolons([said, nearest])


def plan_json(plan: Plan) -> dict[str, Any]:
    """A plan as JSON-ready data: numbers are decimals written as text."""
    scaled, recipe = plan.scaled, plan.scaled.recipe
    weighed = list(zip(recipe.inputs, scaled.masses_g, strict=True))
    costs = [cost(one, mass) for one, mass in weighed]
    known = [one for one in costs if one is not None]
    total = sum(known, Fraction(0)) if len(known) == len(costs) else None
    rounded = [rounded_g(mass, plan.units, plan.step) for _, mass in weighed]
    groups = [one.allergens for one in recipe.inputs]
    return {
        "name": recipe.name,
        "count": scaled.count,
        "portion_g": _text(scaled.portion_g),
        "loss": _text(scaled.loss),
        "factor": _text(scaled.factor),
        "needed_g": _text(scaled.needed_g),
        "mix_g": _text(scaled.mix_g),
        "made_g": _text(scaled.made_g),
        "base": list(recipe.base),
        "percent_total": _text(recipe.percent_total),
        "inputs": [_input_json(plan, one, mass) for one, mass in weighed],
        "rounding_g": _text(sum(rounded, Fraction(0)) - scaled.mix_g),
        "split": _split_json(plan),
        "ingredients": [one.name for one in heaviest_first(recipe.inputs)],
        "allergens": _listed(merged_allergens(groups)),
        "known_allergens": _listed(
            merged_allergens(one.known_allergens for one in recipe.inputs) or ()
        ),
        "currency": plan.asked.currency or None,
        "cost": _text(total),
        "cost_per_portion": _text(None if total is None else total / scaled.count),
        "cost_of_priced": _text(sum(known, Fraction(0))),
        "unknown": unknowns(plan),
        "remarks": list(plan.remarks),
    }


def _input_json(plan: Plan, one: Input, mass: Fraction) -> dict[str, Any]:
    recipe = plan.scaled.recipe
    return {
        "name": one.name,
        "percent": _text(recipe.percent(one)),
        "mass_g": _text(mass),
        "exact_g": _fraction(mass),
        "shown": plan.say(mass),
        "yield": _text(one.usable),
        "to_buy_g": _text(to_buy_g(one, mass)),
        "cost": _text(cost(one, mass)),
        "usable_price": _text(usable_price(one)),
        "price_per": one.price.per if one.price else None,
        "allergens": _listed(one.allergens),
    }


def _split_json(plan: Plan) -> dict[str, Any] | None:
    if plan.split_g is None or not plan.shares_g:
        return None
    return {
        "of_g": _text(plan.split_g),
        "containers_g": list(plan.shares_g),
        "rest_g": _text(plan.split_g - sum(plan.shares_g)),
    }


def unknowns(plan: Plan) -> list[str]:
    """What nobody recorded, so that sums over it are left out."""
    inputs = plan.scaled.recipe.inputs
    found = [f"allergens of {one.name}" for one in inputs if one.allergens is None]
    if any(one.price for one in inputs):
        found += [f"price of {one.name}" for one in inputs if one.price is None]
    return found


def _text(value: Fraction | None) -> str | None:
    return None if value is None else decimal_text(value)


def _fraction(value: Fraction) -> str | None:
    """`369400/339`; None where odd fractions in the recipe make it absurdly long."""
    figures = max(value.numerator, value.denominator)
    return str(value) if figures < _ABSURD else None


def _listed(names: tuple[str, ...] | None) -> list[str] | None:
    return None if names is None else list(names)
